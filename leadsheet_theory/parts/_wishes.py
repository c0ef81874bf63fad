"""What the arranger wants to see otherwise: chords and notes of single parts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from attrs import frozen

from .._printed import symbol_text
from ..chords import ChordSymbol, NoChord
from ..chords.respell import deciding_chord
from ..errors import RespellError
from ..instruments.rhythm_books import PartReader
from ..leadsheet.findings import beat_text
from ..leadsheet.model import Note
from ..pitch import NoteName, Pitch
from ._shared import Shared
from .model import Respell, RespellNote

__all__ = ("PartNames", "Wish", "asked_chords", "asked_notes", "check_books")

Wish = Respell | RespellNote


@frozen(order=False)
class PartNames:
    """The names of a part in which nothing is wished for: its chord symbols, and the
    pitches of its melody and of its counterline."""

    symbols: Sequence[ChordSymbol]
    melody: Sequence[Pitch]
    counterline: Sequence[Pitch]


def check_books(wishes: Sequence[Wish], readers: Sequence[PartReader]) -> None:
    """Every wish must be for one of the parts that are made."""
    for wish in wishes:
        if wish.book and not any(_is_for(wish, reader) for reader in readers):
            names = ", ".join(reader.name for reader in readers)
            wanted = wish.root if isinstance(wish, Respell) else wish.name
            raise RespellError(
                f"no part called {wish.book!r} to respell {wanted} in: "
                f"there are {names}"
            )


def _is_for(wish: Wish, reader: PartReader) -> bool:
    return wish.book.casefold() in (
        reader.name.casefold(),
        reader.ascii_name.casefold(),
    )


def asked_chords(
    shared: Shared,
    wishes: Sequence[Wish],
    reader: PartReader,
    names: Callable[[], PartNames],
) -> dict[int, NoteName]:
    """The roots wished for in this part, by the index of the change; `names` gives what
    errors tell that is there."""
    asked: dict[int, NoteName] = {}
    for wish in wishes:
        if not isinstance(wish, Respell) or (wish.book and not _is_for(wish, reader)):
            continue
        index = _find_change(shared, wish, names)
        if not wish.book:
            chord = deciding_chord(shared.changes[index][1])
            if chord is None:
                continue
            root = chord.root - reader.transposition
            if root.pitch_class != wish.root.pitch_class:
                continue
        asked[index] = wish.root
    return asked


def _find_change(shared: Shared, wish: Respell, names: Callable[[], PartNames]) -> int:
    here: list[tuple[int, Fraction]] = []
    for index, (_, symbol) in enumerate(shared.changes):
        at = shared.change_bars[index]
        if shared.written[at].number != wish.bar or isinstance(symbol, NoChord):
            continue
        beat = shared.bars[at].beat_of(shared.change_onset(index))
        if beat == wish.beat:
            return index
        here.append((index, beat))
    symbols = [symbol for _, symbol in shared.changes]
    if wish.book and here:
        symbols = list(names().symbols)
    told = [
        f"{symbol_text(symbols[index])} on beat {beat_text(beat)}"
        for index, beat in here
    ]
    raise RespellError(
        f"no chord to respell in bar {wish.bar}, beat {beat_text(wish.beat)}: "
        + (f"there are {', '.join(told)}" if told else "the bar has none")
    )


def asked_notes(
    shared: Shared,
    wishes: Sequence[Wish],
    reader: PartReader,
    names: Callable[[], PartNames],
) -> tuple[dict[int, NoteName], dict[int, NoteName]]:
    """The names wished for in this part, by the index of the pitch: in the melody,
    and in the counterline."""
    asked: tuple[dict[int, NoteName], dict[int, NoteName]] = {}, {}
    for wish in wishes:
        if not isinstance(wish, RespellNote):
            continue
        if wish.book and not _is_for(wish, reader):
            continue
        found = False
        there: list[tuple[int, int, Fraction]] = []
        sound = (wish.name.pitch_class + reader.transposition.chromatic) % 12
        for line, index, beat, pitch in _pitches_in(shared, wish.bar):
            if beat == wish.beat and pitch.pitch_class == sound:
                asked[line][index] = wish.name
                found = True
            there.append((line, index, beat))
        if not found and wish.book:
            told = list(_told(names, there))
            raise RespellError(
                f"no note that sounds like {wish.name} to respell in bar {wish.bar}, "
                f"beat {beat_text(wish.beat)}: "
                + (f"there are {', '.join(told)}" if told else "the bar has no notes")
            )
    return asked


def _told(
    names: Callable[[], PartNames], there: Sequence[tuple[int, int, Fraction]]
) -> Iterator[str]:
    """The notes of a bar as the part has them."""
    if there:
        of_part = names()
        for line, index, beat in there:
            pitches = of_part.counterline if line else of_part.melody
            yield f"{pitches[index].name.glyphs} on beat {beat_text(beat)}"


def _pitches_in(
    shared: Shared, number: int
) -> Iterator[tuple[int, int, Fraction, Pitch]]:
    """The pitches of a bar: 0 for the melody or 1 for the counterline, the index among
    all of that line, the beat and the concert pitch."""
    melody = counterline = 0
    for rhythm in shared.rhythms:
        bar = rhythm.bar
        if bar.number == number:
            for line, events, start in (
                (0, bar.melody, melody),
                (1, bar.counterline, counterline),
            ):
                at = start
                for event in events:
                    if not isinstance(event, Note):
                        continue
                    beat = bar.beat_of(event.onset)
                    for pitch in event.pitches:
                        yield line, at, beat, pitch
                        at += 1
        melody += len(rhythm.melody.pitches)
        counterline += len(rhythm.counterline.pitches)
