"""The signs of form: what tells the reader where to go.

Each bar carries them as one value, whole, from the file to the page.  Their names are
those of the trade and of MusicXML 4.0 (``barline``, ``repeat``, ``ending``, ``sound``).
"""

from __future__ import annotations

from operator import attrgetter
from typing import Final, Literal

from attrs import evolve, fields, frozen

from ..errors import RunningOrderError

__all__ = ("NO_SIGNS", "Barline", "FormSigns", "Jump", "Until")

Barline = Literal["regular", "double", "final", "dashed"]
"""The bar lines that are no repeat signs."""


Until = Literal["", "fine", "coda", "segno"]
"""How far a jump is played."""
_STARTS: Final[dict[str, Literal["capo", "segno"]]] = {
    "dc": "capo",
    "dacapo": "capo",
    "ds": "segno",
    "dalsegno": "segno",
}


_ENDS: Final[tuple[Until, ...]] = ("fine", "coda")


@frozen(order=False)
class Jump:
    """Where the reading goes at the end of a bar: *da capo* or *dal segno*,
    and how far: to the end (``""``), the fine, the segno (of a *da capo*, and on to the
    coda if there is one), or to the place that leads to the `coda` of that number.  One
    that is `after_solos` is taken when they are over.

    >>> print(Jump("capo", "coda"))
    D.C. al Coda
    """

    back_to: Literal["capo", "segno"]
    until: Until = ""
    with_repeats: bool = False
    coda: int = 1
    after_solos: bool = False

    @classmethod
    def parse(cls, text: str, /) -> Jump:
        """The jump that words of the trade say.

        >>> Jump.parse("D.S. al Coda") == Jump("segno", "coda")
        True

        Raises:
            RunningOrderError: if they say none.
        """
        words = text.replace(".", "").casefold().split()
        start = _STARTS.get("".join(words[:2])) or _STARTS.get("".join(words[:1]))
        rest: list[Until] = [each for each in _ENDS if each in words]
        if start is None or len(rest) > 1:
            raise RunningOrderError(
                f"{text!r} leads nowhere: expected words such as 'D.C. al Coda'"
            )
        return cls(
            start,
            rest[0] if rest else "",
            with_repeats=any(word.startswith("repeat") for word in words),
            coda=2 if "2" in words else 1,
            after_solos="solos" in words,
        )

    def __str__(self) -> str:
        """The words of the trade, without those on solos."""
        words = "D.C." if self.back_to == "capo" else "D.S."
        if self.until:
            words += f" al {self.until.title()}"
        if self.until == "coda" and self.coda > 1:
            words += f" {self.coda}"
        return f"{words} with repeats" if self.with_repeats else words


@frozen(order=False, kw_only=True)
class FormSigns:
    """The signs of form at the edges of one bar.

    `section` is the letter (or name) of a section that starts here; `repeat_start` a
    forward repeat at its left; `repeat_end` the number of passes in all of a backward
    repeat at its right (0 for none, 2 for the usual one), which is taken after a jump
    too where `repeat_after_jump`; `ending` the passes of the ending bracket that the
    bar stands under (``(1,)``, ``(1, 3)``, or ``()`` outside any), of which
    `ending_starts` begins one; `barline` the right bar line.  `segno` and `coda` stand
    at its start; `to_coda`, `to_solos`, `fine` and `jump` at its end.  Where a chart
    has two codas `coda_number` says which one they mean.

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
    to_solos: bool = False
    fine: bool = False
    jump: Jump | None = None

    @property
    def arrives(self) -> bool:
        """Whether the reader may come here from another place, by a repeat or jump."""
        return self.repeat_start or self.segno or self.coda

    @property
    def begins(self) -> bool:
        """Whether a stretch of music begins here, or is come back to."""
        return bool(self.section or self.ending_starts or self.arrives)

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
        return self is not NO_SIGNS and _leading(self) != _LEADING_NOWHERE

    @property
    def bar_lines(self) -> FormSigns:
        """Those signs that are bar lines: repeats, endings and the bar line itself."""
        return FormSigns(
            repeat_start=self.repeat_start,
            repeat_end=self.repeat_end,
            repeat_after_jump=self.repeat_after_jump,
            ending=self.ending,
            ending_starts=self.ending_starts,
            barline=self.barline,
        )

    def joined(self, right: FormSigns, /) -> FormSigns:
        """The signs of one bar that was written in two: those at the left of this
        half and those at the right of the other."""
        return evolve(
            right,
            section=self.section,
            repeat_start=self.repeat_start,
            ending_starts=self.ending_starts,
            segno=self.segno,
            coda=self.coda,
        )

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


_leading: Final = attrgetter(
    *(
        field.name
        for field in fields(FormSigns)
        if field.name not in ("section", "barline")
    )
)
_LEADING_NOWHERE: Final = _leading(NO_SIGNS)
