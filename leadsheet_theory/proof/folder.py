"""One style for all charts of a folder: chord symbols, titles, letters, credits.

A band reads its charts from one stand: what one chart writes one way and the next
another way is asked after once (common practice, no source).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from ..chords import Chord
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet

__all__ = ("check_folder",)

# what a chord symbol means, by the ways to print it after the root
_FORMS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "1 3 5 7": ("maj7", "Maj7", "M7", "Ma7", "ma7", "Δ", "Δ7", "j7"),
        "1 b3 5": ("m", "min", "mi", "-"),
        "1 b3 5 b7": ("m7", "min7", "mi7", "-7"),
        "1 b3 b5 b7": ("m7b5", "m7(b5)", "ø", "ø7", "-7b5", "min7b5"),
        "1 b3 b5 bb7": ("dim7", "°7", "o7"),
        "1 3 #5": ("+", "aug"),
    }
)


def check_folder(sheets: Sequence[LeadSheet], /) -> tuple[Finding, ...]:
    """What is not of one style in several charts, each matter once.

    >>> from fractions import Fraction
    >>> from leadsheet_theory import Key, Meter, parse_chord
    >>> from leadsheet_theory.leadsheet import Bar, PlacedChord
    >>> def tune(title, chord):
    ...     placed = (PlacedChord(Fraction(0), parse_chord(chord)),)
    ...     return LeadSheet(title=title,
    ...                      bars=(Bar(number=1, key=Key.parse("C"), meter=Meter(4, 4),
    ...                                length=Fraction(4),
    ...                                  chords=placed),), composer="the pilot")
    >>> print(*check_folder([tune("Slack Water", "Dm7"), tune("Low Tide", "D-7")]))
    chord symbols in several styles: m7 in Slack Water, -7 in Low Tide (choose one)
    """
    return tuple(
        Finding(
            rule="house-style",
            severity="query",
            message=message,
            advice="choose one",
            why="a band reads all its charts from one stand",
            source="common practice, no source",
        )
        for message in (*_chords(sheets), *_titles(sheets), *_letters(sheets))
    )


def _chords(sheets: Sequence[LeadSheet]) -> Iterator[str]:
    """Chords of one meaning printed in several ways."""
    ways: dict[str, dict[str, Counter[str]]] = {}
    for sheet in sheets:
        for bar in sheet.bars:
            for placed in bar.chords:
                symbol = placed.symbol
                if not isinstance(symbol, Chord) or not symbol.source:
                    continue
                forms = _FORMS.get(symbol.quality.formula)
                if forms is None:
                    continue
                suffix = symbol.source.partition("/")[0].lstrip("ABCDEFG")
                suffix = suffix.lstrip("#b♯♭") if suffix[:1] in "#b♯♭" else suffix
                if suffix in forms:
                    by_form = ways.setdefault(symbol.quality.formula, {})
                    by_form.setdefault(suffix, Counter())[_name(sheet)] += 1
    for by_form in ways.values():
        if len(by_form) > 1:
            told = ", ".join(
                f"{form} in {charts.most_common(1)[0][0]}"
                for form, charts in by_form.items()
            )
            yield f"chord symbols in several styles: {told}"


def _titles(sheets: Sequence[LeadSheet]) -> Iterator[str]:
    """Titles in capitals beside titles in small letters."""
    titles = [sheet.title for sheet in sheets if sum(map(str.isalpha, sheet.title)) > 3]
    loud = [title for title in titles if title.isupper()]
    if loud and len(loud) < len(titles):
        yield f"titles in capitals and in small letters: {loud[0]} is in capitals"


def _letters(sheets: Sequence[LeadSheet]) -> Iterator[str]:
    """Sections with letters in one chart, with figures or words in another."""
    kinds: dict[str, str] = {}
    for sheet in sheets:
        for bar in sheet.bars:
            name = bar.form.section.strip()
            if name:
                kind = "figures" if name.isdigit() else "words"
                kind = "letters" if len(name) <= 2 and name[0].isalpha() else kind
                kinds.setdefault(kind, f"{name} in {_name(sheet)}")
    if len(kinds) > 1:
        told = ", ".join(f"{kind} ({where})" for kind, where in kinds.items())
        yield f"sections named in several ways: {told}"


def _name(sheet: LeadSheet) -> str:
    return sheet.title or "an untitled chart"
