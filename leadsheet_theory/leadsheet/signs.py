"""The signs of form: what tells the reader where to go.

Each bar carries them as one value, whole, from the file to the page.  Their names are
those of the trade and of MusicXML 4.0 (``barline``, ``repeat``, ``ending``, ``sound``).
"""

from __future__ import annotations

from typing import Final, Literal

from attrs import evolve, frozen

__all__ = ("NO_SIGNS", "Barline", "FormSigns", "Jump", "Until")

Barline = Literal["regular", "double", "final", "dashed"]
"""The bar lines that are no repeat signs."""


Until = Literal["", "fine", "coda", "segno"]
"""How far a jump is played."""


@frozen(order=False)
class Jump:
    """Where the reading goes at the end of a bar: *da capo* or *dal segno*,
    and how far: to the end (``""``), the fine, the segno (of a *da capo*, and on to the
    coda if there is one), or to the place that leads to the `coda` of that number."""

    back_to: Literal["capo", "segno"]
    until: Until = ""
    with_repeats: bool = False
    coda: int = 1


@frozen(order=False, kw_only=True)
class FormSigns:
    """The signs of form at the edges of one bar.

    `section` is the letter (or name) of a section that starts here; `repeat_start` a
    forward repeat at its left; `repeat_end` the number of passes in all of a backward
    repeat at its right (0 for none, 2 for the usual one), which is taken after a jump
    too where `repeat_after_jump`; `ending` the passes of the ending bracket that the
    bar stands under (``(1,)``, ``(1, 3)``, or ``()`` outside any), of which
    `ending_starts` begins one; `barline` the right bar line.  `segno` and `coda` stand
    at its start; `to_coda`, `fine` and `jump` at its end.  Where a chart has two codas
    `coda_number` says which one they mean.

    >>> FormSigns(section="A", repeat_start=True).ending
    ()
    """

    section: str = ""
    repeat_start: bool = False
    repeat_end: int = 0
    repeat_after_jump: bool = False
    ending: tuple[int, ...] = ()
    ending_starts: bool = False
    barline: Barline = "regular"
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    coda_number: int = 1
    fine: bool = False
    jump: Jump | None = None

    @property
    def begins(self) -> bool:
        """Whether a stretch of music begins here, or is come back to."""
        return bool(
            self.section
            or self.repeat_start
            or self.ending_starts
            or self.segno
            or self.coda
        )

    @property
    def ends(self) -> bool:
        """Whether a stretch of music ends here, or is left."""
        return bool(
            self.repeat_end
            or self.to_coda
            or self.fine
            or self.jump is not None
            or self.barline in ("double", "final")
        )

    @property
    def leads(self) -> bool:
        """Whether some sign leads the reader elsewhere: any but letter and bar line."""
        plain = self is NO_SIGNS
        return not plain and evolve(self, section="", barline="regular") != NO_SIGNS

    def beginning_at(self, before: FormSigns, /) -> FormSigns:
        """These signs with those that stand at the left of the bar before, for a bar
        that takes in its pickup."""
        return evolve(
            self,
            section=self.section or before.section,
            repeat_start=self.repeat_start or before.repeat_start,
            segno=self.segno or before.segno,
        )


NO_SIGNS: Final = FormSigns()
"""A bar without any sign of form, closed by a plain bar line."""
