"""Notebooks as pages of the documentation: executed while it is built.

A Sphinx extension: a file ``.ipynb`` becomes a page with its words, its code and what
the code shows.  An error in a cell fails the build.
"""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
from docutils.nodes import document
from nbclient import NotebookClient
from sphinx.application import Sphinx
from sphinx.parsers import RSTParser

ROOT = Path(__file__).resolve().parents[2]
LINES = {1: "=", 2: "-", 3: "~"}


def executed(text: str) -> nbformat.NotebookNode:
    """The notebook with what its cells show, run from the project's folder."""
    notebook = nbformat.reads(text, as_version=4)
    resources = {"metadata": {"path": str(ROOT)}}
    return NotebookClient(notebook, timeout=120, resources=resources).execute()


def as_page(notebook: nbformat.NotebookNode) -> str:
    """The notebook as reStructuredText."""
    pieces: list[str] = []
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            pieces += map(_words, cell.source.split("\n\n"))
            continue
        pieces.append(_directive("code-block:: python", cell.source))
        pieces += map(_output, cell.outputs)
    return "\n\n".join(pieces) + "\n"


def _words(text: str) -> str:
    heading = re.fullmatch(r"(#+) (.*)", text)
    if heading:
        return f"{heading[2]}\n{LINES[len(heading[1])] * len(heading[2])}"
    return re.sub(r"(?<!`)`([^`]+)`(?!`)", r"``\1``", text)


def _output(output: nbformat.NotebookNode) -> str:
    if output.output_type == "stream":
        return _directive("code-block:: text", output.text)
    data = output.get("data", {})
    for kind in ("text/html", "image/svg+xml"):
        if kind in data:
            shown = f'<div class="notebook-output">{data[kind]}</div>'
            return _directive("raw:: html", shown)
    return _directive("code-block:: text", data.get("text/plain", ""))


def _directive(name: str, text: str) -> str:
    lines = "\n".join(f"   {line}".rstrip() for line in text.splitlines())
    return f".. {name}\n\n{lines}"


class NotebookParser(RSTParser):
    """Reads a notebook as a page."""

    supported = ("ipynb",)

    def parse(self, inputstring: str, document: document) -> None:
        """Run the notebook and parse it as a page."""
        super().parse(as_page(executed(inputstring)), document)


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the kind of file and its parser."""
    app.add_source_suffix(".ipynb", "ipynb")
    app.add_source_parser(NotebookParser)
    return {"parallel_read_safe": True}
