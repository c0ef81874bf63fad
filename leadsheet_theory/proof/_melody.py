"""Proofreading the melody's signs: ties, slurs, words, and how notes are spelled."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ..chords import Chord
from ..leadsheet.model import Bar, LeadSheet, Lyric, Note, Rest
from ._remarks import Remark
from ._view import View

__all__ = ("check_melody",)


def check_melody(view: View) -> Iterator[Remark]:
    """Everything that concerns the signs at the notes of the melody."""
    yield from _ties(view.sheet)
    yield from _slurs(view.sheet)
    yield from _double_accidentals(view.sheet)
    yield from _words(view.sheet)
    yield from _enharmonic(view)


# -- ties and slurs


def _ties(sheet: LeadSheet) -> Iterator[Remark]:
    pending: tuple[Bar, Note] | None = None
    for bar in sheet.bars:
        first = True
        for event in bar.melody:
            if isinstance(event, Note) and event.grace:
                continue
            arrives = isinstance(event, Note) and event.tied_from_previous
            jumps_in = first and (
                bar.form.arrives or (bar.form.ending_starts and bar.form.ending[0] > 1)
            )
            if pending is not None and not jumps_in:
                yield from _tie_between(*pending, event)
            elif arrives and pending is None and not jumps_in:
                yield Remark("tie", "a tie comes from nowhere", bar, event.onset)
            pending = None
            if isinstance(event, Note) and event.tied_to_next:
                pending = (bar, event)
            first = False
        if bar.form.repeat_end or bar.form.jump:
            pending = None
    if pending is not None:
        yield Remark("tie", "a tie leads nowhere", pending[0], pending[1].onset)


def _tie_between(bar: Bar, left: Note, right: Note | Rest) -> Iterator[Remark]:
    where = bar, left.onset
    if isinstance(right, Rest):
        yield Remark("tie", "tied to a rest", *where)
        return
    if not right.tied_from_previous:
        yield Remark("tie", f"{left.pitch.glyphs} has half a tie", *where)
        return
    sounds = {pitch.midi: pitch for pitch in right.pitches}
    same = sounds.get(left.pitch.midi)
    if same is None:
        lost = left.pitch.step == right.pitch.step and left.pitch.octave == (
            right.pitch.octave
        )
        yield Remark(
            "tie",
            f"{left.pitch.glyphs} is tied to {right.pitch.glyphs}",
            *where,
            advice="the sign holds over the tie"
            if lost
            else "a slur, or the same note",
        )
    elif same != left.pitch:
        yield Remark(
            "tie",
            f"{left.pitch.glyphs} is tied to {same.glyphs}, which sounds the same",
            *where,
            advice="spell tied notes alike",
            severity="note",
        )


def _slurs(sheet: LeadSheet) -> Iterator[Remark]:
    open_: dict[tuple[str, int], tuple[Bar, Fraction]] = {}
    for bar in sheet.bars:
        for event in (*bar.melody, *bar.counterline):
            for slur in event.slurs if isinstance(event, Note) else ():
                key = (slur.kind, slur.number)
                if slur.end == "start":
                    open_[key] = (bar, event.onset)
                elif open_.pop(key, None) is None:
                    yield Remark(
                        "slur", f"a {slur.kind} ends that never began", bar, event.onset
                    )
    for (kind, _number), (bar, onset) in open_.items():
        yield Remark("slur", f"a {kind} begins and never ends", bar, onset)


# -- words


def _words(sheet: LeadSheet) -> Iterator[Remark]:
    """Words that are left open or never begun, and syllables under notes that are only
    held: one remark a chart for each, as one cause makes many."""
    open_: dict[int, tuple[Bar, Fraction, Lyric]] = {}
    broken: list[tuple[Bar, Fraction, str]] = []
    held: list[tuple[Bar, Fraction, str]] = []
    for bar in sheet.bars:
        for event in bar.melody:
            if not isinstance(event, Note):
                continue
            for lyric in event.lyrics:
                if event.tied_from_previous and not event.grace and lyric.text:
                    held.append((bar, event.onset, lyric.text))
                begun = open_.pop(lyric.verse, None)
                goes_on = lyric.syllabic in ("middle", "end")
                if begun is not None and not goes_on:
                    broken.append((begun[0], begun[1], f"{begun[2].text}-"))
                elif begun is None and goes_on:
                    broken.append((bar, event.onset, f"-{lyric.text}"))
                if lyric.syllabic in ("begin", "middle"):
                    open_[lyric.verse] = (bar, event.onset, lyric)
    broken += [(bar, onset, f"{lyric.text}-") for bar, onset, lyric in open_.values()]
    for places, what in (
        (broken, "part of a word stands alone"),
        (held, "a syllable stands under a note that is only held"),
    ):
        if places:
            bar, onset, text = places[0]
            more = f", and {len(places) - 1} more" if len(places) > 1 else ""
            yield Remark("lyric", f"{what}: “{text}”{more}", bar, onset)


# -- spelling


def _double_accidentals(sheet: LeadSheet) -> Iterator[Remark]:
    for bar in sheet.bars:
        for event in (*bar.melody, *bar.counterline):
            if isinstance(event, Note) and not event.tied_from_previous:
                for pitch in event.pitches:
                    if abs(pitch.alter) > 1:
                        yield Remark(
                            "double-accidental", f"{pitch.glyphs}", bar, event.onset
                        )


def _enharmonic(view: View) -> Iterator[Remark]:
    """Chord tones that are spelled otherwise than the chord spells them; not where the
    line asks for it: a neighbour or passing note keeps the letter beside its goal."""
    for place, sung in enumerate(view.sung):
        chord = view.chord_over(place)
        pitch = sung.note.pitch
        bar = view.bars[sung.bar]
        if chord is None or not pitch.alter or bar.key.is_diatonic(pitch.name):
            yield from _neighbour(view, place)
            continue
        after = view.next_of(place)
        short = sung.length < 2 * view.grid
        if short and after is not None and abs(after.midi - sung.midi) == 1:
            beside = abs(after.note.pitch.place - pitch.place)
            if beside == 1:
                continue
        tone = _tone_of(chord, pitch.pitch_class)
        if tone is not None and tone != str(pitch.name):
            yield Remark(
                "enharmonic",
                f"{pitch.name.glyphs} over {chord}, whose tone is "
                f"{tone.replace('b', '♭').replace('#', '♯')}",
                bar,
                sung.onset,
                found=str(pitch.name),
                proposed=tone,
            )
        else:
            yield from _neighbour(view, place)


def _tone_of(chord: Chord, sound: int) -> str | None:
    if sound not in chord.pitch_classes:
        return None
    return next(str(tone) for tone in chord.notes if tone.pitch_class == sound)


def _neighbour(view: View, place: int) -> Iterator[Remark]:
    """A lower neighbour on the letter of its own main note."""
    sung = view.sung[place]
    before, after = view.before(place), view.next_of(place)
    if before is None or after is None or before.note.pitch != after.note.pitch:
        return
    main, pitch = before.note.pitch, sung.note.pitch
    if sung.midi == before.midi - 1 and pitch.place == main.place and pitch.alter < 0:
        bar = view.bars[sung.bar]
        if not bar.key.is_diatonic(pitch.name) and bar.key.is_diatonic(main.name):
            yield Remark(
                "enharmonic",
                f"{pitch.name.glyphs} as the lower neighbour of {main.name.glyphs}",
                bar,
                sung.onset,
                found=str(pitch.name),
                advice="a lower neighbour takes the letter below",
            )
