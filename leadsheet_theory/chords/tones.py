"""What a soloist and an arranger ask of a chord: guide tones and tensions.

Common practice, no source: guide tones are third (or the tone suspended for
it) and seventh (or sixth).  A tension is available a whole tone above a chord
tone and not a semitone above one; dominant chords also take the altered ones.
"""

from __future__ import annotations

from typing import Final

from .quality import Degree, Quality

__all__ = ("guide_degrees", "tensions")

_TENSIONS: Final = tuple(map(Degree.parse, ("9", "11", "#11", "b13", "13")))
_DOMINANT: Final = tuple(map(Degree.parse, ("b9", "9", "#9", "#11", "b13", "13")))
_SUSPENDED_DOMINANT: Final = tuple(map(Degree.parse, ("b9", "9", "b13", "13")))
_THIRD: Final = Degree(3)
_FOURTH: Final = Degree(4)
_RAISED_FIFTH: Final = Degree(5, 1)
_THIRTEENTH: Final = Degree(13)
_MINOR_SEVENTH: Final = Degree(7, -1)
_MAJOR_SEVENTH: Final = Degree(7)
_DIMINISHED_SEVENTH: Final = Degree(7, -2)


def guide_degrees(quality: Quality, /) -> tuple[Degree, ...]:
    """Third and seventh, or what stands for them.

    >>> from leadsheet_theory.chords import Quality
    >>> [str(d) for d in guide_degrees(Quality.from_formula("1 4 5 b7 9"))]
    ['4', 'b7']
    """
    lower = [d for d in quality.degrees if d.number == 3] or [
        d for d in quality.degrees if d.number in (2, 4)
    ]
    upper = [d for d in quality.degrees if d.number == 7] or [
        d for d in quality.degrees if d.number == 6
    ]
    return (*lower, *upper)


def tensions(quality: Quality, /) -> tuple[Degree, ...]:
    """The degrees from 9 up that may join the chord and do not stand in it yet.

    A chord that states one ninth (or 13th) takes no natural one beside an
    altered one, nor the other way round; a raised fifth takes no natural 13th.

    >>> from leadsheet_theory.chords import Quality
    >>> [str(d) for d in tensions(Quality.from_formula("1 3 5 7"))]
    ['9', '#11', '13']
    >>> [str(d) for d in tensions(Quality.from_formula("1 3 5 b7 b9"))]
    ['#9', '#11', 'b13', '13']
    """
    degrees = quality.degrees
    chord = [d.semitones % 12 for d in degrees if d.number <= 7]
    sounding = quality.semitones
    if _MINOR_SEVENTH in degrees and _THIRD in degrees:
        offered: tuple[Degree, ...] = _DOMINANT
    elif _MINOR_SEVENTH in degrees and _FOURTH in degrees:
        offered = _SUSPENDED_DOMINANT
    else:
        offered = tuple(d for d in _TENSIONS if _lies_well(d.semitones % 12, chord))
        if _DIMINISHED_SEVENTH in degrees:
            offered += (_MAJOR_SEVENTH,)
    return tuple(
        d
        for d in offered
        if d.semitones % 12 not in sounding and not _contradicts(d, degrees)
    )


def _lies_well(tone: int, chord: list[int]) -> bool:
    """A whole tone above one chord tone and a semitone above none."""
    return (tone - 2) % 12 in chord and (tone - 1) % 12 not in chord


def _contradicts(tension: Degree, degrees: tuple[Degree, ...]) -> bool:
    return any(
        degree.number == tension.number and (not degree.alter) != (not tension.alter)
        for degree in degrees
        if degree.number > 7
    ) or (tension == _THIRTEENTH and _RAISED_FIFTH in degrees)
