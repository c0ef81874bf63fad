"""Writing Standard MIDI Files: a tune as it is played, or a part.

Sources: *Standard MIDI Files 1.0* (MMA RP-001): format 1, tempo map, metres and keys in
the first track; *General MIDI System Level 1*: programs and percussion.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from io import BytesIO
from typing import Any, Final, Literal

from attrs import evolve

from .._arguments import check_choice
from ..errors import EmptySheetError, SoundExtraError, TempoError
from ..interval import Interval
from ..key import Key
from ..leadsheet.model import LeadSheet, Note, PlacedChord, Rest, Swing, Tempo
from ..parts.model import Part
from ._lines import Sound, accompaniment, melody, percussion, words
from ._played import Feel, Played, play_out
from .feel import plays_straight, usual_tempo

try:
    import mido  # type: ignore[import-untyped]
except ImportError:  # the extra is not installed
    mido = None

__all__ = ("write_midi",)

_TICKS: Final = 960  # to a quarter note
_MELODY, _CHORDS, _BASS, _COUNTERLINE, _DRUMS = 0, 1, 2, 3, 9
# General MIDI programs as bytes, one less than their printed numbers
_PROGRAMS: Final = {_MELODY: 66, _CHORDS: 0, _BASS: 32, _COUNTERLINE: 65}
_MINOR: Final = (
    "Abm", "Ebm", "Bbm", "Fm", "Cm", "Gm", "Dm", "Am", "Em", "Bm", "F#m", "C#m", "G#m",
    "D#m", "A#m",
)  # fmt: skip
_MAJOR: Final = (
    "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#",
)  # fmt: skip
_MOST_CHORUSES: Final = 100
_MOST_BARS_BEFORE: Final = 16

_Event = tuple[Fraction, int, Any]


def write_midi(
    music: LeadSheet | Part,
    /,
    *,
    swing: Swing | Literal["by tempo", "measured"] | None = None,
    tempo: Tempo | None = None,
    solo_choruses: int = 0,
    count_in: int = 1,
    pitch: Literal["sounding", "written"] = "sounding",
) -> bytes:
    """A tune or a part as a Standard MIDI File, in the order it is played.

    The melody stands on one track, guide tones led from chord to chord on another, the
    bass (the written one, else roots) on a third, hits and count-in on a fourth.

    Args:
        music: the sheet, or a part.
        swing: how pairs of eighths are played.  By default as the sheet says; straight
            where its style says so; else "by tempo" (:func:`.feel.swing_at`).
            "measured" follows published measurements (:func:`.feel.measured_swing`).
            Metres of eighths are never swung.
        tempo: instead of the sheet's; where there is none, that of its style.
        solo_choruses: so many choruses of the solo changes after the head, and then
            what follows them in the tune's running order
            (:func:`.running_order`).
        count_in: so many bars of clicks before.
        pitch: of a part: as it sounds, or as it is written, to check a transposition.

    Raises:
        SoundExtraError: if the library of the extra ``sound`` is not there.
        EmptySheetError: if there is no bar.
        TempoError: if the tempo is none, or a number is out of range.
        ChoiceError: if `swing` or `pitch` is another word.

    >>> from leadsheet_theory.abc import parse_abc
    >>> tune, = parse_abc("X:1\\nT:Slack Water\\nM:4/4\\nL:1/4\\nK:F\\nF4|]")
    >>> write_midi(tune.sheet)[:4]
    b'MThd'
    """
    if mido is None:
        raise SoundExtraError("mido")
    check_choice("pitch", pitch, ("sounding", "written"))
    if isinstance(swing, str):
        check_choice("swing", swing, ("by tempo", "measured"))
    if (
        not 0 <= solo_choruses <= _MOST_CHORUSES
        or not 0 <= count_in <= _MOST_BARS_BEFORE
    ):
        raise TempoError(
            f"{solo_choruses} choruses after {count_in} bars of count-in: expected at "
            f"most {_MOST_CHORUSES} and {_MOST_BARS_BEFORE}"
        )
    sheet = _sheet_of(music, pitch)
    if not sheet.bars:
        raise EmptySheetError(sheet.title)
    played = play_out(
        sheet,
        choruses=solo_choruses,
        count_in=count_in,
        order=music.order if isinstance(music, Part) else None,
    )
    tempi = _tempi(sheet, played, tempo)
    feel = _feel(sheet, swing)

    def tempo_at(time: Fraction) -> Fraction:
        return next(now for at, now in reversed(tempi) if at <= time)

    chords, bass = accompaniment(played, feel, tempo_at)
    second = melody(played, feel, tempo_at, line="counterline")
    file = mido.MidiFile(type=1, ticks_per_beat=_TICKS, charset="utf-8")
    file.tracks += [
        _track(_conductor(sheet, played, tempi), played.end),
        _voice("Melody", _MELODY, melody(played, feel, tempo_at), played.end,
               words(played, feel, tempo_at)),
        _voice("Chords", _CHORDS, chords, played.end),
        _voice("Bass", _BASS, bass, played.end),
        _voice("Hits", _DRUMS, percussion(played, feel, tempo_at), played.end),
    ]  # fmt: skip
    if second:
        file.tracks.append(_voice("Counterline", _COUNTERLINE, second, played.end))
    out = BytesIO()
    file.save(file=out)
    return out.getvalue()


def _sheet_of(music: LeadSheet | Part, pitch: str) -> LeadSheet:
    """The sheet to be heard: of a part, its own notes and chord symbols."""
    if isinstance(music, LeadSheet):
        return music
    # the part's signs lead to its solo page; the chart's own, through the tune
    bars = [
        evolve(each.bar, form=source.form)
        for each, source in zip(music.bars, music.source.bars, strict=True)
    ]
    if pitch == "sounding":
        by = music.to_sounding
        bars = [
            evolve(
                bar,
                key=bar.key + by,
                melody=tuple(_moved(event, by) for event in bar.melody),
                counterline=tuple(_moved(event, by) for event in bar.counterline),
                chords=tuple(
                    PlacedChord(chord.onset, chord.symbol.transposed(by))
                    for chord in bar.chords
                ),
            )
            for bar in bars
        ]
    return evolve(music.source, bars=tuple(bars))


def _moved(event: Note | Rest, by: Interval) -> Note | Rest:
    if isinstance(event, Rest):
        return event
    return evolve(event, pitches=tuple(pitch + by for pitch in event.pitches))


def _quarters(tempo: Tempo) -> Fraction:
    quarters = tempo.per_minute * tempo.beat.duration
    if not Fraction(4) <= quarters <= 2000:
        raise TempoError(f"{tempo.per_minute} a minute is no tempo that can be played")
    return quarters


def _tempi(
    sheet: LeadSheet, played: Played, wanted: Tempo | None
) -> list[tuple[Fraction, Fraction]]:
    """Quarter notes a minute from each time on."""
    if wanted is not None:
        return [(Fraction(0), _quarters(wanted))]
    first = usual_tempo(sheet.style)
    if sheet.tempo is not None:
        first = _quarters(sheet.tempo)
    found = [(Fraction(0), first)]
    for each in played.bars:
        for direction in each.bar.directions:
            if direction.kind == "tempo" and direction.tempo is not None:
                at = each.start + min(direction.onset, each.bar.length)
                found.append((at, _quarters(direction.tempo)))
    found.sort(key=lambda change: change[0])
    return found


def _feel(sheet: LeadSheet, swing: Swing | str | None) -> Feel:
    if isinstance(swing, Swing):
        return Feel(swing)
    if swing is None:
        if sheet.swing is not None:
            return Feel(sheet.swing)
        if plays_straight(sheet.style):
            return Feel(None, "straight")
    return Feel(None, "measured" if swing == "measured" else "by tempo")


def _conductor(
    sheet: LeadSheet, played: Played, tempi: Iterable[tuple[Fraction, Fraction]]
) -> Iterator[_Event]:
    """Title, tempi, metres, keys and sections."""
    message = mido.MetaMessage
    yield Fraction(0), 0, message("track_name", name=sheet.title or "untitled")
    if sheet.rights:
        yield Fraction(0), -1, message("copyright", text=sheet.rights)
    for at, quarters in tempi:
        yield at, 1, message("set_tempo", tempo=round(60_000_000 / quarters))
    meter = key = None
    for each in played.bars:
        bar = each.bar
        at = each.start if meter is not None else Fraction(0)
        if bar.meter != meter:
            meter = bar.meter
            yield (
                at,
                1,
                message(
                    "time_signature",
                    numerator=meter.beats,
                    denominator=meter.beat_type,
                    clocks_per_click=max(
                        1, min(255, round(24 * meter.beat_spans[0].length))
                    ),
                ),
            )
        if bar.key != key:
            key = bar.key
            name = _key_name(key)
            if name:
                yield at, 1, message("key_signature", key=name)
        if bar.form.section:
            yield each.start, 1, message("marker", text=bar.form.section)


def _key_name(key: Key) -> str:
    """A key as the format has it: major or minor; other modes by their signature."""
    if abs(key.signature) > 7:
        return ""
    names = _MINOR if key.mode in ("minor", "aeolian") else _MAJOR
    return names[key.signature + 7]


def _voice(
    name: str,
    channel: int,
    sounds: Iterable[Sound],
    end: Fraction,
    lyrics: Iterable[tuple[Fraction, str]] = (),
) -> Any:
    events: list[_Event] = [(Fraction(0), 0, mido.MetaMessage("track_name", name=name))]
    if channel in _PROGRAMS:
        program = mido.Message(
            "program_change", channel=channel, program=_PROGRAMS[channel]
        )
        events.append((Fraction(0), 1, program))
    for at, text in lyrics:
        events.append((at, 3, mido.MetaMessage("lyrics", text=text)))
    for sound in sounds:
        note = {"note": sound.key, "channel": channel}
        on = mido.Message("note_on", velocity=sound.velocity, **note)
        events.append((sound.start, 4, on))
        # a note's end comes before another note's start at the same tick
        events.append((sound.end, 2, mido.Message("note_off", velocity=0, **note)))
    return _track(events, end)


def _track(events: Iterable[_Event], end: Fraction) -> Any:
    """A track: its events in order, each after the ticks since the one before.  Each
    time is rounded on its own, so that nothing drifts."""
    track = mido.MidiTrack()
    placed = sorted(
        ((round(at * _TICKS), rank, event) for at, rank, event in events),
        key=lambda event: event[:2],
    )
    now = 0
    for at, _, event in placed:
        track.append(event.copy(time=at - now))
        now = at
    last = max(now, round(end * _TICKS))
    track.append(mido.MetaMessage("end_of_track", time=last - now))
    return track
