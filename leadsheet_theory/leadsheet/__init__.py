"""Lead sheets: model, form, hits, systems, parts, solo changes, checks."""
