"""Note values in words, as tables and golden files hold them.

``eighth``, ``dotted quarter``, ``triplet eighth``, ``half rest``, several alike as
``3 eighths``; parted by commas, and a plus sign after a note that is tied on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from leadsheet_theory.rhythm import (
    VALUE_NAMES,
    NoteValue,
    RhythmEvent,
    Tuplet,
    ValueName,
    lay_out,
)

DOTS = ("", "dotted ", "double-dotted ", "triple-dotted ")
NAMES: dict[str, ValueName] = {
    form: name
    for name in VALUE_NAMES
    for form in (name, "halves" if name == "half" else f"{name}s")
}
_WORDS = re.compile(
    r"(?:(?P<count>\d+) )?(?P<triplet>triplet )?(?P<dots>\S*dotted )?(?P<name>\w+)"
    r"(?P<rest> rests?)?(?: \+)?"
)


def _read(text: str) -> Iterator[tuple[NoteValue, bool]]:
    """The values, and whether each is a rest."""
    for words in filter(None, text.split(", ")):
        match = _WORDS.fullmatch(words)
        assert match is not None, words
        value = NoteValue(
            NAMES[match["name"]],
            DOTS.index(match["dots"] or ""),
            Tuplet(3, 2) if match["triplet"] else None,
        )
        for _ in range(int(match["count"] or 1)):
            yield value, bool(match["rest"])


def values_of(text: str) -> list[NoteValue]:
    """The values that words name."""
    return [value for value, _ in _read(text)]


def events_of(text: str) -> tuple[RhythmEvent, ...]:
    """A bar in words, laid out from its start; ties are left to the words."""
    read = list(_read(text))
    rests = [place for place, (_, rest) in enumerate(read) if rest]
    return lay_out([value for value, _ in read], rests=rests)


def value_text(value: NoteValue) -> str:
    """One value in words, whatever its tuplet."""
    return f"{DOTS[value.dots]}{value.name}"


def events_text(events: Iterable[RhythmEvent]) -> str:
    """A bar in words; a tuplet in brackets after the number that is printed over it."""
    text = ""
    for event in events:
        ratio = event.value.tuplet
        text += f"{ratio.actual}[" if ratio and ratio.starts else ""
        text += value_text(event.value) + " rest" * (event.kind == "rest")
        text += " +" * event.tied_to_next
        text += "]" if ratio and ratio.ends else ""
        text += ", "
    return text.removesuffix(", ")
