"""Proofreading the chord symbols: place, text, readings, basses, bars without one."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final

from ..chords import Chord, ChordSymbol, NoChord, PolyChord, parse_symbol, typed_sounds
from ..chords.respell import chord_colour
from ..errors import ChordSymbolError
from ..key import Key
from ..leadsheet.model import Bar, Note, PlacedChord, Rest
from ..pitch import NoteName
from ..spelling.roots import HeardChord, spell_chord_roots
from ._fit import chord_cost, family_of
from ._remarks import Remark, place_text
from ._view import View, degrees_of

__all__ = ("check_chords",)

_HALF: Final = Fraction(1, 2)
_SOME_BARS: Final = 4
"""So many bars without a symbol are asked after, if the melody leaves the chord …"""
_MANY_BARS: Final = 7
"""… and so many in any case: three of 180 song sheets reach that (counted)."""
_FEW_NOTES: Final = 3


def check_chords(view: View) -> Iterator[Remark]:
    """Everything that concerns the chord symbols."""
    sheet = view.sheet
    if not any(bar.chords for bar in sheet.bars):
        yield Remark("no-chords", "no chord symbol in the whole chart")
        return
    ambiguous: dict[str, Remark] = {}
    for bar in sheet.bars:
        for place, placed in enumerate(bar.chords):
            yield from _place(bar, placed, place)
            yield from _text(bar, placed)
            for text, remark in _readings(bar, placed):
                ambiguous.setdefault(text, remark)
            yield from _double_accidentals(bar, placed)
        yield from _words(bar)
    yield from ambiguous.values()
    yield from _missing(view)
    yield from _left_alone(view)
    yield from _repeated(view)
    yield from _basses(view)
    yield from _names(view)


# -- where they stand


def _place(bar: Bar, placed: PlacedChord, place: int) -> Iterator[Remark]:
    before = bar.chords[place - 1].onset if place else None
    if not 0 <= placed.onset < bar.length:
        yield Remark("chord-place", f"{placed.symbol} stands outside its bar", bar)
    elif before == placed.onset:
        return  # told with the first symbol of the stack
    else:
        here = [other for other in bar.chords if other.onset == placed.onset]
        if len(here) > 1:
            yield _stacked(bar, here)
        yield from _beat(bar, placed)


def _stacked(bar: Bar, here: Sequence[PlacedChord]) -> Remark:
    """Several symbols on one place, or one several times."""
    onset = here[0].onset
    names = list(dict.fromkeys(str(placed.symbol) for placed in here))
    if len(names) > 1:
        told = f"{', '.join(names[:-1])} and {names[-1]} stand on one beat"
        return Remark("stacked-chords", told, bar, onset, found=names[0])
    told = f"{names[0]} {len(here)} times on one beat"
    return Remark("chord-repeated", told, bar, onset, found=names[0])


def _beat(bar: Bar, placed: PlacedChord) -> Iterator[Remark]:
    """A symbol on no beat: a slip unless something starts there."""
    unit = Fraction(4, bar.meter.beat_type) if bar.meter.beat_type < 8 else _HALF
    onset = placed.onset
    if onset % min(unit, Fraction(1)) == 0 or any(
        event.onset == onset for event in (*bar.melody, *bar.hits) if event.duration
    ):
        return
    near = _nearest_beat(bar, onset)
    yield Remark(
        "chord-beat",
        f"{placed.symbol} stands where no note begins, off the beat",
        bar,
        onset,
        found=str(placed.symbol),
        proposed="" if near is None else place_text(bar, near),
        severity="note" if onset % _HALF == 0 else None,
    )


def _nearest_beat(bar: Bar, onset: Fraction) -> Fraction | None:
    """The nearest beat of the bar that no other symbol has."""
    taken = {placed.onset for placed in bar.chords}
    beats = [span.onset for span in bar.meter.beat_spans]
    free = [beat for beat in beats if beat not in taken]
    return min(free, key=lambda beat: abs(beat - onset), default=None)


# -- what they say


def _text(bar: Bar, placed: PlacedChord) -> Iterator[Remark]:
    """What is printed against what is meant; degrees may be printed beside the text."""
    printed = placed.symbol.source
    if not printed:
        return
    try:
        read = parse_symbol(printed)
    except ChordSymbolError as error:
        yield Remark(
            "chord-text",
            f"“{printed}” can't be read ({error.problem}); meant is {placed.symbol}",
            bar,
            placed.onset,
            advice=f"print {error.suggestion}" if error.suggestion else "",
            found=printed,
            proposed=str(placed.symbol),
            severity="error",
        )
        return
    if read != placed.symbol and not _is_part_of(read, placed.symbol):
        yield Remark(
            "chord-text",
            f"printed is “{printed}”, meant is {placed.symbol}",
            bar,
            placed.onset,
            found=printed,
            proposed=str(placed.symbol),
            severity="note" if _same_family(read, placed.symbol) else None,
        )


def _is_part_of(read: ChordSymbol, meant: ChordSymbol) -> bool:
    """Whether the text says all but degrees that MusicXML prints beside it (W3C,
    MusicXML 4.0, degree: printed unless ``print-object`` says no)."""
    if not (isinstance(read, Chord) and isinstance(meant, Chord)):
        return False
    numbers = {degree.number for degree in read.quality.degrees}
    return (
        (read.root, read.bass) == (meant.root, meant.bass)
        and all(
            degree in meant.quality
            or any(other.number == degree.number for other in meant.quality.degrees)
            for degree in read.quality.degrees
        )
        and len(meant.quality.degrees) > len(numbers)
    )


def _same_family(read: ChordSymbol, meant: ChordSymbol) -> bool:
    """Whether one only colours the other: same root, third and seventh."""
    if not (isinstance(read, Chord) and isinstance(meant, Chord)):
        return False
    if (read.root, read.bass) != (meant.root, meant.bass):
        return False
    return {3, 4, 10, 11} & read.quality.semitones == (
        {3, 4, 10, 11} & meant.quality.semitones
    )


_PLAIN_DIM: Final = re.compile(r"(?:dim|°|o)(?:/.*)?$")


def _readings(bar: Bar, placed: PlacedChord) -> Iterator[tuple[str, Remark]]:
    """Symbols that are read in two ways; a plain *dim* is left in peace: jazz charts
    mean the four notes or the three, and both do."""
    printed = placed.symbol.source
    if not printed or _PLAIN_DIM.search(printed):
        return
    for other in placed.symbol.ambiguities:
        root = placed.symbol.root if isinstance(placed.symbol, Chord) else ""
        degrees = (
            placed.symbol.quality.degrees if isinstance(placed.symbol, Chord) else ()
        )
        if set(other.chord.quality.degrees) < set(degrees):
            continue  # a tone that players may leave out, such as the 11th of a 13th
        yield (
            printed.removeprefix(str(root)),
            Remark(
                "chord-ambiguous",
                f"“{printed}” is read as {placed.symbol}; some read {other}",
                bar,
                placed.onset,
                found=printed,
            ),
        )


_DAMAGED: Final = re.compile("[\ufffd\u0080-\u009f]|[ÃÂ][\u0080-\u00bf]|â€")

_FOREIGN: Final = re.compile(r"\(?[A-G]\W*(?:[À-ÖÙ-öù-ÿ]\W*){2,}$")
"""Letters that no chart prints, behind a root."""


def _words(bar: Bar) -> Iterator[Remark]:
    """Words that are chord symbols, or that came out damaged."""
    taken = {placed.onset for placed in bar.chords}
    for direction in bar.directions:
        if direction.kind != "words" or not direction.text:
            continue
        text = direction.text
        said = typed_sounds(text)
        if said.unreadable or _DAMAGED.search(text) or _FOREIGN.match(text):
            yield Remark("words", f"“{text}” is damaged", bar, direction.onset)
        elif direction.onset not in taken and any(
            not sound.is_pedal for sound in said.sounds
        ):
            yield Remark(
                "words",
                f"the words “{text}” are a chord symbol",
                bar,
                direction.onset,
                advice="enter it as a chord symbol: words are not transposed",
                found=text,
            )


def _double_accidentals(bar: Bar, placed: PlacedChord) -> Iterator[Remark]:
    for chord in _single_chords(placed.symbol):
        for name in (chord.root, chord.bass):
            if name is not None and abs(name.alter) > 1:
                yield Remark(
                    "double-accidental",
                    f"{name.glyphs} in {placed.symbol}",
                    bar,
                    placed.onset,
                )


def _single_chords(symbol: ChordSymbol) -> tuple[Chord, ...]:
    if isinstance(symbol, PolyChord):
        return (symbol.upper, symbol.lower)
    return (symbol,) if isinstance(symbol, Chord) else ()


# -- where they are missing, or need not be


def _missing(view: View) -> Iterator[Remark]:
    bars = view.bars
    first = next(index for index, bar in enumerate(bars) if bar.chords)
    sung = [index for index in range(first) if _sings(bars[index])]
    full = [index for index in sung if not bars[index].is_pickup]
    if full and not (len(full) == 1 and _late(bars[full[0]])):
        yield Remark(
            "chord-missing",
            f"no chord before bar {bars[first].number}",
            bars[full[0]],
            severity="note" if len(full) == 1 else None,
        )
    start = first
    for index in range(first + 1, len(bars) + 1):
        if index < len(bars) and not bars[index].chords:
            continue
        if index - start - 1 >= _SOME_BARS:
            yield from _long_wait(view, start, index)
        start = index


def _late(bar: Bar) -> bool:
    """Whether a bar begins with a rest, as a pickup does that fills its bar."""
    return bool(bar.melody) and isinstance(bar.melody[0], Rest)


def _sings(bar: Bar) -> bool:
    return any(isinstance(event, Note) for event in bar.melody)


def _long_wait(view: View, start: int, end: int) -> Iterator[Remark]:
    """Many bars after a chord without another, if the melody leaves it."""
    symbol = view.bars[start].chords[-1].symbol
    if isinstance(symbol, NoChord) or not isinstance(symbol, Chord):
        return
    foreign = [
        note
        for note in view.sung
        if start < note.bar < end
        and note.length >= view.grid
        and chord_cost(note.midi % 12, symbol) >= 0.8
    ]
    if len(foreign) >= _FEW_NOTES or end - start > _MANY_BARS:
        yield Remark(
            "chord-missing",
            f"{end - start - 1} bars without a chord after {symbol}"
            + (", which the melody leaves" if foreign else ""),
            view.bars[start + 1],
            severity="query",
        )


def _left_alone(view: View) -> Iterator[Remark]:
    """A bar without a symbol none of whose notes is a tone of the chord carried on."""
    notes: dict[int, list[int]] = {}
    for place, note in enumerate(view.sung):
        notes.setdefault(note.bar, []).append(place)
    for bar, places in notes.items():
        if view.bars[bar].chords or view.bars[bar].is_pickup:
            continue
        chords = {view.chord_over(place) for place in places}
        sounds = {view.sung[place].midi % 12 for place in places}
        chord = chords.pop()
        if chord is None or chords or len(sounds) < 2 or sounds & chord.pitch_classes:
            continue
        if all(view.sung[place].length >= view.grid for place in places):
            yield Remark(
                "chord-missing",
                f"no note of the bar is a tone of {chord}, which is carried on",
                view.bars[bar],
                severity="note",
            )


def _repeated(view: View) -> Iterator[Remark]:
    """The same symbol again, where nothing begins."""
    for index in range(1, len(view.spans)):
        span, before = view.spans[index], view.spans[index - 1]
        bar = view.bars[span.bar]
        if span.symbol != before.symbol or span.crowded or span.start == before.start:
            continue
        begins = span.placed.onset == 0 and (
            bar.form.begins
            or view.bars[span.bar - 1].form.repeat_end
            or view.bars[span.bar - 1].form.barline != "regular"
            or span.bar % 4 == 0
        )
        if not begins:
            yield Remark(
                "chord-repeated",
                f"{span.symbol} again",
                bar,
                span.placed.onset,
                found=str(span.symbol),
            )


def _names(view: View) -> Iterator[Remark]:
    """A chromatic root that the chords beside it would have named otherwise."""
    spans = [span for span in view.spans if isinstance(span.symbol, Chord)]
    whole: tuple[NoteName, ...] | None = None
    for at, span in enumerate(spans):
        chord = span.symbol
        key = view.bars[span.bar].key
        after = spans[at + 1].symbol if at + 1 < len(spans) else chord
        if not isinstance(chord, Chord) or not isinstance(after, Chord):
            continue
        if key.is_diatonic(chord.root) and key.is_diatonic(after.root):
            continue
        start = max(0, at - 2)
        window = tuple(s.symbol for s in spans[start : at + 3])
        name = _root_names(window, key)[at - start]
        if name == chord.root or name.pitch_class != chord.root.pitch_class:
            continue
        if family_of(chord) != "dim" and _signs(chord.respelled(name)) > _signs(chord):
            continue
        if whole is None:  # seldom needed, and slow
            whole = _root_names(
                tuple(s.symbol for s in spans),
                tuple(view.bars[s.bar].key for s in spans),
            )
        if whole[at] == name:
            yield Remark(
                "chord-spelling",
                f"{chord.root.glyphs} in {chord}, as {name.glyphs} the usual name here",
                view.bars[span.bar],
                span.placed.onset,
                found=str(chord),
                proposed=str(chord.respelled(name)),
            )


def _signs(chord: Chord) -> int:
    return sum(abs(tone.alter) for tone in chord.tones)


@lru_cache(maxsize=512)
def _root_names(
    chords: tuple[ChordSymbol, ...], key: Key | tuple[Key, ...]
) -> tuple[NoteName, ...]:
    heard = [
        HeardChord(
            chord.root.pitch_class,
            chord_colour(chord),
            None if chord.bass is None else chord.bass.pitch_class,
        )
        for chord in chords
        if isinstance(chord, Chord)
    ]
    return spell_chord_roots(heard, key=key)


def _basses(view: View) -> Iterator[Remark]:
    """A slash bass that is no tone, no tension and no step of a line."""
    lows = [
        (symbol.bass or symbol.root) if isinstance(symbol, Chord) else None
        for symbol in (span.symbol for span in view.spans)
    ]
    often = Counter(span.symbol for span in view.spans)
    for index, span in enumerate(view.spans):
        symbol = span.symbol
        if not isinstance(symbol, Chord) or symbol.bass is None or often[symbol] > 1:
            continue
        own = symbol.quality.semitones
        root, _ = degrees_of(symbol)
        above = (symbol.bass.pitch_class - root) % 12
        if above in own or above in (2, 5, 9, 10, 11):
            continue
        beside = [
            low
            for at in (index - 1, index + 1)
            if 0 <= at < len(lows) and (low := lows[at]) is not None
        ]
        steps = {(low.pitch_class - symbol.bass.pitch_class) % 12 for low in beside}
        if steps & {0, 1, 2, 10, 11}:
            continue
        yield Remark(
            "chord-bass",
            f"{symbol.bass.glyphs} under {Chord(symbol.root, symbol.quality)} is no "
            "tone of it and leads nowhere",
            view.bars[span.bar],
            span.placed.onset,
            found=str(symbol),
        )
