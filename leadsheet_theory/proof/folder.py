"""One style for all charts of a folder: chord symbols, titles, letters, credits.

A band reads its charts from one stand: what one chart writes one way and the next
another way is asked after once (common practice, no source).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Final

from attrs import frozen

from ..chords import Chord
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet

__all__ = ("ChartStyle", "chart_style", "check_folder")

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


@frozen(order=False)
class ChartStyle:
    """How a chart, or all charts of a folder, are written.

    `forms` holds for each meaning of a chord symbol the ways it is printed, with how
    often in which chart; `loud` a title in capitals and `quiet` another title, where
    there are any; `sections` a kind of names of sections and where it stands.

    >>> one = ChartStyle((("1 b3 5", "m", 4, "Slack Water"),))
    >>> other = ChartStyle((("1 b3 5", "-", 2, "Low Tide"),))
    >>> print(*one.joined(other).findings())
    chord symbols in several styles: m in Slack Water, - in Low Tide (choose one)
    """

    forms: tuple[tuple[str, str, int, str], ...] = ()
    loud: str = ""
    quiet: str = ""
    sections: tuple[tuple[str, str], ...] = ()

    def joined(self, other: ChartStyle, /) -> ChartStyle:
        """The style of these charts and others: of each way, where it stands most."""
        forms = {(form, way): (many, where) for form, way, many, where in self.forms}
        for form, way, many, where in other.forms:
            most, _ = forms.get((form, way), (0, ""))
            if many > most:
                forms[form, way] = many, where
        return ChartStyle(
            tuple((*key, *value) for key, value in forms.items()),
            self.loud or other.loud,
            self.quiet or other.quiet,
            tuple((dict(other.sections) | dict(self.sections)).items()),
        )

    def findings(self) -> Iterator[Finding]:
        """What is not of one style, each matter once."""
        for message in self._messages():
            yield Finding(
                rule="house-style",
                severity="query",
                message=message,
                advice="choose one",
                why="a band reads all its charts from one stand",
                source="common practice, no source",
            )

    def _messages(self) -> Iterator[str]:
        for form in dict.fromkeys(form for form, *_ in self.forms):
            ways = [each for each in self.forms if each[0] == form]
            if len(ways) > 1:
                told = ", ".join(f"{way} in {where}" for _, way, _, where in ways)
                yield f"chord symbols in several styles: {told}"
        if self.loud and self.quiet:
            yield (
                f"titles in capitals and in small letters: {self.loud} is in capitals"
            )
        if len(self.sections) > 1:
            told = ", ".join(f"{kind} ({where})" for kind, where in self.sections)
            yield f"sections named in several ways: {told}"


def check_folder(sheets: Iterable[LeadSheet], /) -> tuple[Finding, ...]:
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
    style = ChartStyle()
    for sheet in sheets:
        style = style.joined(chart_style(sheet))
    return tuple(style.findings())


def chart_style(sheet: LeadSheet, /) -> ChartStyle:
    """How a chart is written."""
    name = sheet.title or "an untitled chart"
    letters = sum(map(str.isalpha, sheet.title)) > 3
    loud = letters and sheet.title.isupper()
    return ChartStyle(
        tuple(
            (form, way, many, name) for (form, way), many in _chord_forms(sheet).items()
        ),
        sheet.title if loud else "",
        sheet.title if letters and not loud else "",
        tuple(_sections(sheet, name).items()),
    )


def _chord_forms(sheet: LeadSheet) -> Counter[tuple[str, str]]:
    """How often each way to print a chord symbol stands in a chart."""
    found: Counter[tuple[str, str]] = Counter()
    for bar in sheet.bars:
        for placed in bar.chords:
            symbol = placed.symbol
            if not isinstance(symbol, Chord) or not symbol.source:
                continue
            suffix = symbol.source.partition("/")[0].lstrip("ABCDEFG")
            suffix = suffix.lstrip("#b♯♭") if suffix[:1] in "#b♯♭" else suffix
            if suffix in _FORMS.get(symbol.quality.formula, ()):
                found[symbol.quality.formula, suffix] += 1
    return found


def _sections(sheet: LeadSheet, chart: str) -> dict[str, str]:
    """The kinds of names that sections have, and where each stands first."""
    kinds: dict[str, str] = {}
    for bar in sheet.bars:
        name = bar.form.section.strip()
        if name:
            kind = "figures" if name.isdigit() else "words"
            kind = "letters" if len(name) <= 2 and name[0].isalpha() else kind
            kinds.setdefault(kind, f"{name} in {chart}")
    return kinds
