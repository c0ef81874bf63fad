"""Sphinx settings: ``sphinx-build -n -W docs docs/_build/html``."""

from __future__ import annotations

import sys
from importlib.metadata import version as version_of
from pathlib import Path

import attrs
from sphinx import addnodes
from sphinx.application import Sphinx
from sphinx.ext.napoleon import Config, GoogleDocstring

project = "leadsheet_theory"
author = "the leadsheet_theory authors"
copyright = "the leadsheet_theory authors, MIT licence"
release = version = version_of("leadsheet-theory")

sys.path.insert(0, str(Path(__file__).parent / "tools"))
extensions = [
    "sphinx.ext.autodoc",
    "sphinx.ext.viewcode",
    "notebook_pages",
    "table_pages",
]
exclude_patterns = ["_build", "tools"]
default_role = "code"
html_theme = "alabaster"
html_theme_options = {
    "description": "The theory behind a jazz lead sheet",
    "fixed_sidebar": True,
    "page_width": "1220px",
    "sidebar_width": "250px",
}
html_static_path = ["_static"]
html_css_files = ["page.css"]
html_show_sourcelink = False

autodoc_member_order = "bysource"
autodoc_typehints = "signature"
autodoc_preserve_defaults = True
python_use_unqualified_type_names = True
python_display_short_literal_types = True
maximum_signature_line_length = 84
toc_object_entries_show_parents = "hide"

# The standard library is not linked, so that the site builds without a network;
# private helpers have no page.
nitpick_ignore_regex = [
    ("py:.*", r"(fractions|collections|typing|pathlib|enum|xml|os|builtins|attr)\..*"),
    ("py:.*", r"leadsheet_theory\.(.*\.)?_.*"),
    (
        "py:(class|exc)",
        r"(Fraction|Sequence|Iterable|Iterator|Mapping|Callable|Path|ValueError"
        r"|KeyError|LookupError|OSError|TypeError|Exception|NewType|Final|Literal"
        r"|Json)",  # it holds itself
    ),
]


LONGEST_VALUE = 60


def read_sections(
    app: Sphinx, what: str, name: str, obj: object, options: object, lines: list[str]
) -> None:
    """Read ``Args:``, ``Raises:`` and ``Attributes:``; nothing else is a heading.

    The stock extension takes a colon in an attribute's first line for a type.
    """
    lines[:] = GoogleDocstring(lines, Config(napoleon_use_ivar=True)).lines()


def tidy_defaults(
    app: Sphinx,
    what: str,
    name: str,
    obj: object,
    options: object,
    signature: str | None,
    returns: str | None,
) -> tuple[str, str | None] | None:
    """Show the defaults of values as they are written, not as attrs keeps them."""
    if signature is None or not isinstance(obj, type) or not attrs.has(obj):
        return None
    for field in attrs.fields(obj):
        text = repr(field.default)
        shown = text if len(text) <= 24 else "..."
        signature = signature.replace(f"attr_dict['{field.name}'].default", shown)
    return signature, returns


def hide_long_values(
    app: Sphinx, domain: str, objtype: str, content: addnodes.desc_content
) -> None:
    """Leave tables out of the heads of constants: pages of their own show them."""
    if objtype != "data" or content.parent is None:
        return
    for note in list(content.parent.findall(addnodes.desc_annotation)):
        if (
            note.astext().lstrip().startswith("=")
            and len(note.astext()) > LONGEST_VALUE
        ):
            note.parent.remove(note)


def setup(app: Sphinx) -> None:
    """Connect what is written above."""
    app.connect("object-description-transform", hide_long_values)
    app.connect("autodoc-process-docstring", read_sections)
    app.connect("autodoc-process-signature", tidy_defaults)
