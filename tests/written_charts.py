"""Charts written as text, for the proofreader's tests.

Bars are parted by ``|``; chords are ``name:onset``, notes ``name:onset:duration`` with
onsets and durations in quarter notes (fractions are allowed), ``r`` a rest and a
trailing ``~`` a tie to the next note: ``C:0 G7:2 | F:0`` and
``E5:0:2 D5:2:2~ | D5:0:4``.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from attrs import evolve

from leadsheet_theory.chords import parse_symbol
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet.model import Bar, LeadSheet, Note, PlacedChord, Rest
from leadsheet_theory.pitch import Pitch
from leadsheet_theory.rhythm import Meter

__all__ = ("chart", "with_signs")


def chart(
    notes: str,
    chords: str = "",
    *,
    key: str = "C major",
    meter: str = "4/4",
    times: int = 1,
    pickup: bool = False,
) -> LeadSheet:
    """A chart from its notes and chords; `times` goes on with the same bars so often;
    with a `pickup` the first bar is bar 0."""
    beats, unit = map(int, meter.split("/"))
    the_meter, the_key = Meter(beats, unit), Key.parse(key)
    lines = _bars(notes)
    symbols = _bars(chords) if chords else [""] * len(lines)
    bars: list[Bar] = []
    for melody, harmony in zip(lines * times, symbols * times, strict=True):
        number = len(bars) + (0 if pickup else 1)
        events = _line(melody)
        ends = [event.onset + event.duration for event in events]
        length = max(ends, default=the_meter.bar_length)
        placed = tuple(
            PlacedChord(Fraction(onset), parse_symbol(name.replace("NC", "N.C.")))
            for name, _, onset in (word.rpartition(":") for word in harmony.split())
        )
        bars.append(
            Bar(
                number=number,
                key=the_key,
                meter=the_meter,
                length=length,
                melody=events,
                chords=placed,
            )
        )
    return LeadSheet(title="Slack Water", bars=_tied(bars), composer="the pilot")


def _bars(text: str) -> list[str]:
    return [part.strip() for part in text.split("|")]


def _line(text: str) -> tuple[Note | Rest, ...]:
    events: list[Note | Rest] = []
    for word in text.split():
        name, onset, length = word.rstrip("~").split(":")
        at, duration = Fraction(onset), Fraction(length)
        if name == "r":
            whole = at == 0 and len(text.split()) == 1
            events.append(Rest(at, duration, whole_bar=whole))
        else:
            events.append(
                Note(
                    onset=at,
                    duration=duration,
                    pitches=(Pitch.parse(name),),
                    tied_to_next=word[-1] == "~",
                )
            )
    return tuple(events)


def _tied(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """With the other half of each tie, at whatever note comes next."""
    held = False
    done = []
    for bar in bars:
        line: list[Note | Rest] = []
        for event in bar.melody:
            if isinstance(event, Note):
                line.append(evolve(event, tied_from_previous=held))
                held = event.tied_to_next
            else:
                line.append(event)
                held = False
        done.append(evolve(bar, melody=tuple(line)))
    return tuple(done)


def with_signs(sheet: LeadSheet, **signs: dict[str, object]) -> LeadSheet:
    """The chart with signs of form in bars named ``bar_3``."""
    bars = list(sheet.bars)
    for name, values in signs.items():
        number = int(name.removeprefix("bar_"))
        index = next((i for i, bar in enumerate(bars) if bar.number == number), -1)
        if index < 0:
            continue
        bars[index] = evolve(
            bars[index],
            form=evolve(bars[index].form, **values),  # type: ignore[arg-type]
        )
    return evolve(sheet, bars=tuple(bars))
