"""A marked answer: what a teacher writes beside each note of an exercise."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, Literal, get_args

from attrs import frozen

from .._printed import Shown
from ..pitch import NoteName, Pitch

__all__ = ("VERDICTS", "MarkedNote", "Marking", "Verdict")

Verdict = Literal[
    "right", "repeated", "out of order", "misspelled", "wrong octave", "foreign",
    "missing",
]  # fmt: skip
"""What becomes of a note: right; right but given twice; right but not in its place;
the right sound under another name; the right note in another octave; no note of the
answer; not given at all."""

VERDICTS: Final[tuple[Verdict, ...]] = get_args(Verdict)
"""All of them, from the best."""


@frozen(order=False)
class MarkedNote:
    """One note of an answer, or one that the answer lacks.

    `given` is the note as it was written (None for a missing one), `wanted` the one
    that should stand there (None where none should), `why` a sentence about it,
    ``""`` for a right one.
    """

    given: NoteName | Pitch | None
    wanted: NoteName | Pitch | None
    verdict: Verdict
    why: str = ""

    def __str__(self) -> str:
        note = self.given or self.wanted
        named = note.glyphs if note is not None else ""
        return f"{named}: {self.verdict}" + (f" ({self.why})" if self.why else "")


@frozen(order=False)
class Marking(Shown):
    """A whole answer, marked.

    `task` says what was asked; `notes` are the answer's, in the order they were
    given, then the missing ones.
    """

    task: str
    notes: tuple[MarkedNote, ...]

    @property
    def right(self) -> bool:
        """Whether there is nothing to correct."""
        return all(note.verdict == "right" for note in self.notes)

    def of(self, verdict: Verdict, /) -> tuple[MarkedNote, ...]:
        """The notes with one verdict, in order."""
        return tuple(note for note in self.notes if note.verdict == verdict)

    def __str__(self) -> str:
        """The marking as a sentence for the pupil."""
        if self.right:
            return f"{self.task}: all right"
        said = []
        for verdict in VERDICTS:
            notes = self.of(verdict)
            if verdict in ("right", "missing") and notes:
                named = [note.given or note.wanted for note in notes]
                listed = _listed(note.glyphs for note in named if note is not None)
                said.append(f"{listed} {'is' if len(notes) == 1 else 'are'} {verdict}")
            else:
                said += [f"{note.why}" for note in notes]
        return f"{self.task}: {'; '.join(said)}"


def _listed(words: Iterable[str]) -> str:
    """``A``, ``A and B``, ``A, B and C``."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
