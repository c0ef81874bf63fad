"""Sphinx settings: ``sphinx-build -n -W docs docs/_build/html``."""

from importlib.metadata import version as version_of

project = "leadsheet_theory"
author = "the leadsheet_theory authors"
copyright = "the leadsheet_theory authors, MIT licence"
release = version = version_of("leadsheet-theory")

extensions = ["sphinx.ext.autodoc", "sphinx.ext.napoleon", "sphinx.ext.viewcode"]
exclude_patterns = ["_build"]
default_role = "code"
html_theme = "alabaster"
html_theme_options = {
    "description": "The theory behind a jazz lead sheet",
    "fixed_sidebar": True,
    "page_width": "1060px",
}
html_show_sourcelink = False

autodoc_member_order = "bysource"
autodoc_typehints = "signature"
autodoc_preserve_defaults = True
python_use_unqualified_type_names = True
toc_object_entries_show_parents = "hide"

# The standard library is not linked, so that the site builds without a network.
nitpick_ignore_regex = [
    ("py:.*", r"(fractions|collections|typing|pathlib|enum|xml|os|builtins)\..*"),
    (
        "py:class",
        r"(Fraction|Sequence|Iterable|Iterator|Mapping|Callable|Path|ValueError"
        r"|LookupError|Exception|NewType|Final|Literal|optional)",
    ),
]
