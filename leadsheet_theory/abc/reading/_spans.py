"""What goes from note to note: ties and slurs.

Source: The abc music standard 2.1, section 4.11.
"""

from __future__ import annotations

import re
from functools import lru_cache

from ...pitch import Pitch, Step
from ._bars import BarLines
from ._report import AbcReport
from ._voice import Event, OpenSlur

__all__ = ("Spans", "spelled")


@lru_cache(maxsize=4096)
def spelled(step: Step, alter: int, octave: int) -> Pitch:
    """A pitch, made once."""
    return Pitch(step, alter, octave)


class Spans(BarLines):
    """The part of the reader of music code that knows about ties and slurs.

    `before` is the kind of construct that was read last, `reached` where it ended.
    """

    def __init__(self, report: AbcReport, *, strict: bool) -> None:
        super().__init__(report, strict=strict)
        self.before = ""
        self.reached = 0

    def tie(self, found: re.Match[str]) -> None:
        voice = self.voice
        last = voice.last or (voice.notes[-1][0] if voice.notes else None)
        if self.before == "rest":
            self.tell("tie-on-rest", "warning", "a tie after a rest is dropped")
            return
        touching = self.before in ("note", "chord") and found.start() == self.reached
        if not touching:
            self.tell(
                "tie-not-adjacent",
                "error" if self.strict or last is None else "warning",
                "a tie that touches no note before it",
                advice="write - right after the note",
            )
        if last is not None and last.pitches and (touching or not self.strict):
            self.hold(last, last.pitches)

    def hold(self, event: Event, pitches: list[Pitch]) -> None:
        voice = self.voice
        voice.tied = event
        voice.ties = {(pitch.step, pitch.octave): pitch.alter for pitch in pitches}
        voice.tie_at = (self.line, self.column)

    def tie_to(self, event: Event) -> None:
        """Tie the note before to this one, if they have a pitch in common."""
        voice = self.voice
        before = voice.tied
        assert before is not None and event.pitches is not None
        held = {
            spelled(step, alter, octave).midi
            for (step, octave), alter in voice.ties.items()
        }
        if held.isdisjoint({pitch.midi for pitch in event.pitches}):
            self.drop_tie("a tie between notes of different pitch is dropped")
            return
        before.tied_to = event.tied_from = True
        voice.tied, voice.ties = None, {}

    def drop_tie(self, message: str) -> None:
        voice = self.voice
        line, column = voice.tie_at
        rule = "tie-on-rest" if "rest" in message else "tie-different-pitch"
        self.report.at(rule, "warning", message, line, column)
        voice.tied, voice.ties = None, {}

    def slur(self, _found: re.Match[str]) -> None:
        self.voice.waiting_slurs.append((self.line, self.column))

    def begin_slurs(self, event: Event) -> None:
        voice = self.voice
        for line, column in voice.waiting_slurs:
            taken = {slur.number for slur in voice.slurs}
            number = next((n for n in range(1, 17) if n not in taken), None)
            if number is None:
                self.report.at(
                    "unread", "warning", "more than 16 slurs at once", line, column
                )
                continue
            event.add_slur("start", number)
            voice.slurs.append(OpenSlur(number, event, line, column))
        voice.waiting_slurs = []

    def slur_end(self, _found: re.Match[str]) -> None:
        """End the slur begun last before this note; one begun on it goes on."""
        voice = self.voice
        last = voice.last or (voice.notes[-1][0] if voice.notes else None)
        if voice.waiting_slurs and self.before == "slur":
            voice.waiting_slurs.pop()
            return
        older = [slur for slur in voice.slurs if slur.event is not last]
        slur = (older or voice.slurs or [None])[-1]  # type: ignore[list-item]
        if slur is None or last is None:
            self.tell("stray-slur-end", "warning", "a ) without ( is passed over")
            return
        voice.slurs.remove(slur)
        last.add_slur("stop", slur.number)

    def goes_on(self, last: Event | None, event: Event) -> bool:
        """Whether a note or rest is the one before, going on: parted from it by a back
        quote only to give a chord symbol its place."""
        if last is None or last.grace:
            return False
        if event.pitches is None or last.pitches is None:
            return event.pitches is last.pitches
        return self.voice.tied is last and event.pitches == last.pitches
