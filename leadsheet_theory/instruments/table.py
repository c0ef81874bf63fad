"""Every instrument the library knows, and finding one by name.

The rows themselves, with the source of each, are in ``_rows.py``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from functools import lru_cache
from typing import Final, cast

from ..errors import (
    UnknownInstrumentError,
)
from ..interval import Interval
from ._names import CHAIRS, DRUM_SET, KEYS, words_of
from ._rows import ROWS, SOURCES
from .clefs import BASS_CLEF, CLEFS, TREBLE_CLEF, Clef
from .instrument import Family, Instrument
from .transposing import PitchRange

__all__ = (
    "INSTRUMENTS",
    "find_instrument",
)


def _clefs_named(name: str) -> tuple[Clef, ...]:
    return (TREBLE_CLEF, BASS_CLEF) if name == "grand" else (CLEFS[name],)


def _source_text(letters: str) -> str:
    parts = zip(
        ("range", "transposition", "comfortable range"), letters.split(), strict=True
    )
    return "; ".join(f"{what}: {SOURCES[letter]}" for what, letter in parts)


def _build_instruments() -> tuple[Instrument, ...]:
    built = []
    for family, rows in ROWS.items():
        for name, others, sound_id, clef, interval, span, easy, source in rows:
            aliases = tuple(each.strip() for each in others.split(";") if each.strip())
            built.append(
                Instrument(
                    name=name,
                    clefs=_clefs_named(clef),
                    transposition=Interval.parse(interval),
                    written_range=PitchRange.parse(span),
                    comfortable_range=PitchRange.parse(easy),
                    family=cast(Family, family),
                    sound_id=sound_id,
                    aliases=aliases,
                    source=_source_text(source),
                )
            )
    return tuple(built)


INSTRUMENTS: Final[tuple[Instrument, ...]] = _build_instruments()
"""Every row of the table."""


# ── Finding an instrument by name ────────────────────────────────────────────────


def _index(instruments: tuple[Instrument, ...]) -> Mapping[str, tuple[Instrument, ...]]:
    """From the sorted words of every name and alias to the instruments so called.

    An instrument's own name beats another's alias; of two with one name the
    first stands.
    """
    names: dict[str, tuple[Instrument, ...]] = {}
    aliases: dict[str, tuple[Instrument, ...]] = {}
    for instrument in instruments:
        own = _sorted_words(instrument.name)
        if own in names:
            continue
        names[own] = (instrument,)
        for alias in instrument.aliases:
            key = _sorted_words(alias)
            known = aliases.get(key, ())
            if instrument not in known:
                aliases[key] = (*known, instrument)
    return {**aliases, **names}


def _sorted_words(name: str) -> str:
    return " ".join(sorted(words_of(name)))


_index_cached = lru_cache(maxsize=8)(_index)


@lru_cache(maxsize=1)
def _table_index() -> Mapping[str, tuple[Instrument, ...]]:
    return _index(INSTRUMENTS)


def find_instrument(
    name: str, /, *, instruments: Sequence[Instrument] = INSTRUMENTS
) -> Instrument:
    """The instrument of that name, in any of the ways parts are headed.

    Read are the table's names and their aliases, abbreviations, the words in
    any order, a key (``in B♭``) where it is the instrument's own, the number of a
    chair, and MusicXML sound ids.  Put instruments of your own in front of the
    table to have them found too.

    >>> for name in ("Alto Sax", "asx", "Tpt. in B♭", "2nd Bb Trumpet"):
    ...     print(find_instrument(name))
    Alto Saxophone in E♭
    Alto Saxophone in E♭
    Trumpet in B♭
    Trumpet in B♭

    Raises:
        UnknownInstrumentError: if nothing, or more than one instrument, is so called.
    """
    pool = tuple(instruments)
    index = _table_index() if instruments is INSTRUMENTS else _index_cached(pool)
    words = words_of(name)
    for attempt in (words, tuple(word for word in words if word not in CHAIRS)):
        found = index.get(" ".join(sorted(attempt)), ())
        if not found:
            found = _without_key(attempt, index)
        if len(found) == 1:
            return found[0]
        if found:
            raise UnknownInstrumentError(
                name, tuple(each.name for each in found), ambiguous=True
            )
    for instrument in pool:
        if instrument.sound_id == name:
            return instrument
    if words in map(words_of, DRUM_SET):
        raise UnknownInstrumentError(name, ("the book Drums",))
    raise UnknownInstrumentError(name, *_suggestions(words, pool, index))


def _without_key(
    words: Sequence[str], index: Mapping[str, tuple[Instrument, ...]]
) -> tuple[Instrument, ...]:
    """Instruments named by all words but a key that is their own."""
    for word in words:
        if word in KEYS and len(words) > 1:
            rest = sorted(other for other in words if other != word)
            found = tuple(
                instrument
                for instrument in index.get(" ".join(rest), ())
                if instrument.transposition.chromatic % 12 == KEYS[word]
            )
            if found:
                return found
    return ()


def _suggestions(
    words: tuple[str, ...],
    pool: tuple[Instrument, ...],
    index: Mapping[str, tuple[Instrument, ...]],
) -> tuple[tuple[str, ...], bool]:
    """Names that may have been meant, and whether all of them hold every word."""
    wanted = set(words)
    holding = [each.name for each in pool if wanted <= set(words_of(each.name))]
    if wanted and len(holding) > 1:
        return tuple(holding), True
    known = sorted({word for key in index for word in key.split()})
    for word in wanted.difference(known):
        wanted.remove(word)
        wanted.update(get_close_matches(word, known, n=1, cutoff=0.7))
    likeness: dict[str, float] = {}
    for key, instruments in index.items():
        own = set(key.split())
        for each in instruments:
            alike = len(wanted & own) / len(wanted | own)
            likeness[each.name] = max(alike, likeness.get(each.name, 0))
    best = sorted(likeness, key=lambda name: -likeness[name])
    return tuple(name for name in best[:3] if likeness[name] > 0), False
