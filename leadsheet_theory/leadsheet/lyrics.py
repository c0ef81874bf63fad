"""Lyrics: syllables that hang together.

A hyphen joins a syllable to the next one of its verse.  Where the next one begins a
word, nothing follows within a bar of rest, or the tune ends, the word is at its end
(common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final, Literal

from attrs import evolve

from .._doors import door
from .findings import Finding, bar_list
from .mended import MendedBars
from .model import Bar, Note

__all__ = ("close_words",)

_Syllabic = Literal["single", "begin", "middle", "end"]
_CLOSED: Final[dict[_Syllabic, _Syllabic]] = {"begin": "single", "middle": "end"}
_OPENED: Final[dict[_Syllabic, _Syllabic]] = {"end": "single", "middle": "begin"}
_Place = tuple[int, int, int]


@door
def close_words(bars: Sequence[Bar], /) -> MendedBars:
    """The bars with each word of the lyrics begun and ended: no hyphen leads to a
    syllable that begins a word, across a rest of a bar or more, or past the end.

    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet import Lyric
    >>> from leadsheet_theory.pitch import Pitch
    >>> from leadsheet_theory.rhythm import Meter
    >>> def note(onset, text, syllabic):
    ...     return Note(onset=Fraction(onset), duration=Fraction(1),
    ...                 pitches=(Pitch.parse("C5"),),
    ...                 lyrics=(Lyric(text, syllabic),))
    >>> words = (("Oh", "begin"), ("Sea", "begin"), ("gull", "end"))
    >>> sung = tuple(note(at, *word) for at, word in enumerate(words))
    >>> bar = Bar(number=1, key=Key.parse("C"), meter=Meter(3, 4), length=Fraction(3),
    ...           melody=sung)
    >>> closed = close_words([bar])
    >>> [note.lyrics[0].syllabic for note in closed.bars[0].melody]
    ['single', 'begin', 'end']
    >>> print(*closed.remarks)
    bar 1: a word of the lyrics is closed where the next one begins
    """
    changed: dict[_Place, _Syllabic] = {}
    # verse: the place of a syllable that goes on, and what it is
    going_on: dict[int, tuple[_Place, _Syllabic]] = {}
    # the note before, and the index of its bar
    last: tuple[Note, int] | None = None
    for number, bar in enumerate(bars):
        for at, event in enumerate(bar.melody):
            if not isinstance(event, Note):
                continue
            for which, lyric in enumerate(event.lyrics):
                if not lyric.text:
                    continue
                syllabic = lyric.syllabic
                if syllabic == "single" and not going_on:
                    continue
                here = number, at, which
                before = going_on.pop(lyric.verse, None)
                far = (
                    before is not None
                    and last is not None
                    and _is_far(bars, last, (event, number))
                )
                begins = syllabic in ("single", "begin")
                if before is not None and (begins or far):
                    changed[before[0]] = _CLOSED[before[1]]
                if (before is None or far) and not begins:
                    syllabic = changed[here] = _OPENED[syllabic]
                if syllabic in _CLOSED:
                    going_on[lyric.verse] = here, syllabic
            last = event, number
    for place, syllabic in going_on.values():
        changed[place] = _CLOSED[syllabic]
    return _with(bars, changed) if changed else MendedBars(tuple(bars))


def _is_far(
    bars: Sequence[Bar], last: tuple[Note, int], following: tuple[Note, int]
) -> bool:
    """Whether a bar or more is silent between a note and a later one, each with the
    index of its bar."""
    (before, start), (after, end) = last, following
    if start == end:
        return False
    beside = bars[start].melody[-1] is before and bars[end].melody[0] is after
    if beside and end == start + 1:
        return False
    return _silence(bars, last, following) >= bars[end].meter.bar_length


def _silence(
    bars: Sequence[Bar], last: tuple[Note, int], following: tuple[Note, int]
) -> Fraction:
    """How long nothing sounds between a note and a later one, each with the index of
    its bar."""
    note, start = last
    after, end = following
    between = sum([bar.length for bar in bars[start:end]], start=after.onset)
    return between - note.onset - note.duration


def _with(bars: Sequence[Bar], changed: dict[_Place, _Syllabic]) -> MendedBars:
    done = list(bars)
    for (number, at, which), syllabic in changed.items():
        bar = done[number]
        note = bar.melody[at]
        if not isinstance(note, Note):
            continue
        lyrics = list(note.lyrics)
        lyrics[which] = evolve(lyrics[which], syllabic=syllabic)
        melody = list(bar.melody)
        melody[at] = evolve(note, lyrics=tuple(lyrics))
        done[number] = evolve(bar, melody=tuple(melody))
    numbers = sorted({bars[number].number for number, _, _ in changed})
    message = "a word of the lyrics is closed where the next one begins"
    if len(numbers) > 1:
        message = f"words of the lyrics are closed (bars {bar_list(numbers)})"
    return MendedBars(
        tuple(done),
        (Finding(rule="lyrics", severity="note", message=message, bar=numbers[0]),),
    )
