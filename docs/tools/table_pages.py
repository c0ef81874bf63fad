"""The library's tables as tables for people: a Sphinx directive.

``.. table-of:: instruments`` (or ``books``, ``chords``, ``findings``, ``errors``) is
replaced by the table as the code has it, so that page and code are one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final

from docutils import nodes
from docutils.parsers.rst import Directive
from sphinx.application import Sphinx

from leadsheet_theory import errors
from leadsheet_theory.chords import Chord, Quality
from leadsheet_theory.chords.table import FORMS
from leadsheet_theory.errors import TheoryError
from leadsheet_theory.instruments import FAMILIES, INSTRUMENTS, STANDARD_BOOKS
from leadsheet_theory.leadsheet import FINDING_CODES
from leadsheet_theory.pitch import NoteName
from leadsheet_theory.proof import PROOF_RULES

Rows = Iterator[Sequence[str]]


def instruments() -> Rows:
    """Every instrument, by families."""
    yield "instrument", "clef", "sounds", "written range", "comfortable", "also called"
    order = {family: place for place, family in enumerate(FAMILIES)}
    for each in sorted(INSTRUMENTS, key=lambda one: order.get(one.family, len(order))):
        yield (
            each.name,
            ", ".join(clef.name for clef in each.clefs),
            each.sounds,
            each.written_range.glyphs,
            each.comfortable_range.glyphs,
            ", ".join(each.aliases[:4]),
        )


def books() -> Rows:
    """The five books."""
    yield "book", "clef", "sounds", "written range", "comfortable"
    for each in STANDARD_BOOKS:
        yield (
            each.name,
            each.clef.name,
            each.sounds,
            each.written_range.glyphs,
            each.comfortable_range.glyphs,
        )


def chords() -> Rows:
    """Every chord that has a printed form, each with all its forms."""
    yield "degrees", "tones on C", "printed after C", "who prints it so"
    forms: dict[str, list[str]] = {}
    sources: dict[str, dict[str, None]] = {}
    for formula, source, printed in FORMS:
        known = forms.setdefault(formula, [])
        for form in printed.split() or [""]:
            if form not in known:
                known.append(form)
        author = source.partition(",")[0].partition(":")[0].strip("'")
        sources.setdefault(formula, {})[author] = None
    for formula, printed in forms.items():
        chord = Chord(NoteName("C"), Quality.from_formula(formula))
        yield (
            formula.replace("b", "♭").replace("#", "♯"),
            " ".join(tone.glyphs for tone in chord.tones),
            ", ".join(f"C{form}" for form in printed),
            "; ".join(sources[formula]),
        )


def findings() -> Rows:
    """The codes of all findings."""
    yield "code", "what it tells"
    codes = {rule.name: rule.looks_for for rule in PROOF_RULES} | dict(FINDING_CODES)
    yield from sorted(codes.items())


def error_codes() -> Rows:
    """The codes of all errors."""
    yield "code", "class", "what it tells"
    for name in errors.__all__:
        kind = getattr(errors, name)
        if kind is not TheoryError:
            first = (kind.__doc__ or "").strip().splitlines()[0]
            yield kind.code, name, first


TABLES: Final[dict[str, Callable[[], Rows]]] = {
    "instruments": instruments,
    "books": books,
    "chords": chords,
    "findings": findings,
    "errors": error_codes,
}


class TableOf(Directive):
    """A table as the code has it."""

    required_arguments = 1

    def run(self) -> list[nodes.Node]:
        """The table."""
        head, *rows = TABLES[self.arguments[0]]()
        table = nodes.table(classes=["wide"])
        group = nodes.tgroup(cols=len(head))
        group += [nodes.colspec(colwidth=1) for _ in head]
        group += nodes.thead("", _row(head))
        group += nodes.tbody("", *(_row(row) for row in rows))
        table += group
        return [table]


def _row(cells: Iterable[str]) -> nodes.row:
    entries = (nodes.entry("", nodes.paragraph(text=cell)) for cell in cells)
    return nodes.row("", *entries)


def setup(app: Sphinx) -> dict[str, bool]:
    """Register the directive."""
    app.add_directive("table-of", TableOf)
    return {"parallel_read_safe": True}
