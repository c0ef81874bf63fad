"""The parts of the rhythm section's books, made of what all parts share."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from math import lcm

from attrs import evolve, frozen

from ..chords.respell import WrittenChords
from ..instruments.clefs import TREBLE_CLEF
from ..instruments.rhythm_books import RhythmBook
from ..interval import UNISON, Interval
from ..key import Key
from ..leadsheet.bar_numbers import bars_text
from ..leadsheet.findings import Finding
from ..leadsheet.model import Bar, Hit, Note, Rest
from ._added import Events, line_bars
from ._rhythm import written_figure
from ._shared import Shared
from .bass_line import bass_line_clef
from .hits import CueBar
from .model import AddedStaff, Part, PartBar, PartReport, SharedBar
from .rhythm_part import RhythmBar, rhythm_bars

__all__ = ("ConcertPitch", "rhythm_part")

_MELODY = "melody"
"""What stands over the melody's small notes."""


@frozen(order=False)
class ConcertPitch:
    """How a part at concert pitch is spelled: its bars, the tune's and then the solo
    page's, their keys, the intervals from the source to them, and the chords."""

    written: Sequence[SharedBar]
    keys: Sequence[Key]
    moves: Sequence[Interval]
    chords: WrittenChords


def rhythm_part(
    shared: Shared,
    book: RhythmBook,
    headings: tuple[str, ...],
    spelling: ConcertPitch,
    *,
    cue_label: str,
    cued: bool,
    stop_time: Collection[int] | None,
) -> Part:
    """The part of one of the rhythm section's books, with hits above the staff if it is
    `cued`."""
    tune = [rhythm.bar for rhythm in shared.rhythms]
    shows = rhythm_bars(
        tune,
        label=cue_label,
        at_no_chord=book.stops_at_no_chord,
        player=book.player,
        only=stop_time,
    )
    if not cued:
        shows = tuple(evolve(each, cue=CueBar()) for each in shows)
    bars = [
        *(
            _tune_bar(shared, index, each, spelling, book)
            for index, each in enumerate(shows)
        ),
        *(
            _without_melody(shared, index, spelling, book)
            for index in range(len(tune), len(shared.written))
        ),
    ]
    added = tuple(_added(shared, book, shows, spelling))
    return Part(
        name=book.name,
        source=shared.sheet,
        headings=headings,
        clef=book.clef,
        to_sounding=UNISON,
        sound_id=book.sound_id,
        plan=shared.plan,
        divisions=_divisions(shared.divisions, bars, added),
        bars=tuple(bars[: len(tune)]),
        solo=tuple(bars[len(tune) :]),
        order=shared.order,
        report=PartReport(
            key=spelling.keys[0],
            low=None,
            high=None,
            findings=(*shared.remarks, *_told(tune, shows)),
        ),
        added=added,
    )


def _told(tune: Sequence[Bar], shows: Sequence[RhythmBar]) -> Iterator[Finding]:
    """Where hits stand in the staff, which nobody has asked for."""
    numbers = [
        bar.number
        for bar, each in zip(tune, shows, strict=True)
        if any(isinstance(event, Hit) for event in each.figure)
    ]
    if numbers:
        bars = "bar" if len(numbers) == 1 else "bars"
        yield Finding(
            rule="stop-time",
            severity="note",
            message="time stops, and hits stand in the staff: "
            f"{bars} {bars_text(numbers)}",
            advice='stop_time="none" or the bars where it does',
        )


def _tune_bar(
    shared: Shared,
    index: int,
    shows: RhythmBar,
    spelling: ConcertPitch,
    book: RhythmBook,
) -> PartBar:
    rhythm = shared.rhythms[index]
    source = rhythm.bar
    cue, cue_beams = written_figure(shows.cue.events, source, style=shared.style)
    label = shows.cue.label
    if rhythm.cue and cue and not shows.figure:
        # cut and labelled as other players read it
        cue, cue_beams, label = rhythm.cue, rhythm.cue_beams, rhythm.cue_label
    figure, beams = written_figure(shows.figure, source, style=shared.style)
    bar = _without_melody(shared, index, spelling, book)
    return evolve(
        bar,
        shared=evolve(
            bar.shared,
            cue=cue,
            cue_beams=cue_beams,
            cue_label=label,
            slashes=shows.slashes,
            figure=figure,
            figure_beams=beams,
        ),
    )


def _without_melody(
    shared: Shared, index: int, spelling: ConcertPitch, book: RhythmBook
) -> PartBar:
    """A bar with its words, its signs of form and, if the book has them, its chords;
    on the solo page without the small notes that lead back to the head."""
    written = spelling.written[index]
    source = evolve(written.source, melody=(), counterline=())
    symbols = spelling.chords.symbols[
        shared.change_starts[index] : shared.change_starts[index + 1]
    ]
    if not book.chords:
        source, symbols = evolve(source, chords=()), ()
    return PartBar(
        shared=evolve(
            written,
            source=source,
            melody_beams=(),
            counterline_beams=(),
            counterline_label="",
        ),
        key=spelling.keys[index],
        symbols=symbols,
    )


def _added(
    shared: Shared,
    book: RhythmBook,
    shows: Sequence[RhythmBar],
    spelling: ConcertPitch,
) -> Iterator[AddedStaff]:
    """The staves beside the section's own: the melody above, the bass line below."""
    bars = [rhythm.bar for rhythm in shared.rhythms]
    if book.melody and any(_has_notes(bar.melody) for bar in bars):
        lines = [_without_words(bar.melody) for bar in bars]
        yield AddedStaff(
            clef=TREBLE_CLEF,
            bars=line_bars(
                shared,
                lines,
                clef=TREBLE_CLEF,
                keys=spelling.keys,
                moves=spelling.moves,
                label=_MELODY,
            ),
            above=True,
            small=True,
        )
    if book.bass_line and any(_has_notes(bar.bass_line) for bar in bars):
        clef = bass_line_clef(bars)
        yield AddedStaff(
            clef=clef,
            bars=line_bars(
                shared,
                [_bass_line(bar, show) for bar, show in zip(bars, shows, strict=True)],
                clef=clef,
                keys=spelling.keys,
                moves=spelling.moves,
                slashes=[show.slashes for show in shows],
            ),
        )


def _bass_line(bar: Bar, shows: RhythmBar) -> Events:
    """The bass line of a bar; none where it is left to the player, rests where time
    stops too."""
    if _has_notes(bar.bass_line) or not shows.figure:
        return bar.bass_line
    return (Rest(Fraction(0), bar.length, whole_bar=not bar.is_pickup),)


def _has_notes(line: Events) -> bool:
    return any(isinstance(event, Note) for event in line)


def _without_words(line: Events) -> Events:
    if not _has_notes(line):
        return ()
    return tuple(
        evolve(event, lyrics=()) if isinstance(event, Note) and event.lyrics else event
        for event in line
    )


def _divisions(
    divisions: int, bars: Sequence[PartBar], added: Sequence[AddedStaff]
) -> int:
    """The divisions that the written values ask for, beside those of all parts."""
    found = {divisions}
    for bar in bars:
        shared = bar.shared
        for events in (shared.cue, shared.figure, shared.slashes):
            found.update(event.duration.denominator for event in events)
    for staff in added:
        for each in staff.bars:
            found.update(event.duration.denominator for event in each.events)
    return lcm(*found)
