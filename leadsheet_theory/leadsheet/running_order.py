"""The running order: from the head to the solos, back to the head, to the last bar.

A lead sheet is played so: the head, solos over its changes, the head again, an ending.
The signs of form tell the way through the head; which of them belong after the solos
is told by words ("after solos, D.C. al Coda"), and where there are none by what they
lead to: a *D.C. al Coda* or *D.S. al Coda* that comes back to (nearly) all of the head
is the way out of the tune, one that comes back to a part of it completes the head, as
does every *al Fine*, and one whose coda is longer than what comes before it (common
practice, no source).  A chart that says nothing has the head again after its solos.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from attrs import evolve, field, frozen

from ..errors import RunningOrderError
from .findings import Finding
from .form import PlayOrder, play_order, sections
from .model import Bar, LeadSheet, Solos
from .signs import Jump

__all__ = ("RunningOrder", "running_order", "solos_text")

_SHORT_CLOSE: Final = 4
"""The most bars at the end of a head that its way out may leave for the coda."""


@frozen(order=False, kw_only=True)
class RunningOrder:
    """How a tune runs from its first bar to its last.

    All bars are places in the sequence of written bars, from 0.  `head` are those of
    the head in playing order, `out_head` those that follow the solos, coda included.
    The head is left for the solos at the end of bar `to_solos`.  `solos` says how
    often the changes are played, and `way_back` is the jump after them; both are
    ``"none"`` and None for a tune without solos, of which `head` is everything.
    `problems` are those of :func:`.play_order`.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.signs import FormSigns
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, **signs):
    ...     return Bar(number=number, key=Key.parse("F"), meter=Meter(4, 4),
    ...                length=Fraction(4), form=FormSigns(**signs))
    >>> tune = (bar(1), bar(2), bar(3, to_coda=True), bar(4, jump=Jump("capo", "coda")),
    ...         bar(5, coda=True))
    >>> order = running_order(LeadSheet(title="Slack Water", bars=tune))
    >>> order.head, order.out_head
    ((0, 1, 2, 3), (0, 1, 2, 4))
    >>> print(order)
    head, open solos, D.C. al Coda
    """

    head: tuple[int, ...]
    to_solos: int
    solos: Solos = "none"
    way_back: Jump | None = None
    out_head: tuple[int, ...] = ()
    problems: tuple[Finding, ...] = field(default=(), eq=False)

    @property
    def has_solos(self) -> bool:
        """Whether there are solos at all."""
        return self.solos != "none"

    def __str__(self) -> str:
        """One line that a player understands."""
        if not self.has_solos:
            return "head"
        back = "" if self.way_back is None else f", {self.way_back}"
        return f"head, {solos_text(self.solos)}{back}"


def solos_text(solos: Solos, /) -> str:
    """How long the solos last, in words: ``open solos``, ``2 solo choruses``."""
    if solos == "open":
        return "open solos"
    return "1 solo chorus" if solos == 1 else f"{solos} solo choruses"


def running_order(
    sheet: LeadSheet,
    /,
    *,
    solos: Solos | None = None,
    way_back: Jump | None = None,
) -> RunningOrder:
    """The running order that a chart's signs give.

    Args:
        sheet: the tune.
        solos: how long the solos last, if not as its `solo_chorus` says; open if there
            is none.
        way_back: the jump after the solos, if it is to be another than the chart's.

    Raises:
        RunningOrderError: if `solos` is neither of the words nor a number from 1, or
            if `way_back` leads to a sign that the chart does not have.
    """
    bars = sheet.bars
    if solos is None:
        solos = "open" if sheet.solo_chorus is None else sheet.solo_chorus.times
    _check_solos(solos)
    order = play_order(bars)
    if solos == "none" or not bars:
        return RunningOrder(
            head=order.indices, to_solos=len(bars) - 1, problems=order.problems
        )
    if way_back is not None:
        _check_way_back(bars, way_back)
    leaves = _way_out(bars, order)
    if way_back is None and _has_own_way(bars, order, leaves):
        # signs of its own complete the head, and do so again after the solos
        way = play_order(_without_way_back(bars)).indices
        played, cut = evolve(order, indices=way * 2), len(way)
        leaves, jump = way[-1], Jump("capo", with_repeats=_repeats(bars))
    else:
        leaves = order.indices[-1] if leaves is None else leaves
        jump = way_back or bars[leaves].form.jump or _the_end_of(bars, leaves)
        played, cut = _played_with(bars, order, leaves, jump)
    return RunningOrder(
        head=played.indices[:cut],
        to_solos=leaves,
        solos=solos,
        way_back=evolve(jump, after_solos=True),
        out_head=played.indices[cut:],
        problems=order.problems,
    )


def _has_own_way(bars: Sequence[Bar], order: PlayOrder, leaves: int | None) -> bool:
    """Whether signs of the head's own lead through it, so that they do again after the
    solos: a plain *D.C.* at its end, or none, leaves them to do so."""
    if leaves is None:
        return bool(order.jumps) or any(bar.form.to_coda for bar in bars)
    jump = bars[leaves].form.jump
    if jump is None or jump.until or jump.back_to == "segno":
        return False
    return any(
        bar.form.jump is not None and not bar.form.jump.after_solos
        for index, bar in enumerate(bars)
        if index != leaves
    )


def _without_way_back(bars: Sequence[Bar]) -> list[Bar]:
    """The bars without a jump that is taken after the solos."""
    return [
        evolve(bar, form=evolve(bar.form, jump=None))
        if bar.form.jump is not None and bar.form.jump.after_solos
        else bar
        for bar in bars
    ]


def _played_with(
    bars: Sequence[Bar], order: PlayOrder, leaves: int, jump: Jump
) -> tuple[PlayOrder, int]:
    """The playing order with this jump at the end of a bar, and how much of it comes
    before the jump."""
    if bars[leaves].form.jump != jump:
        form = evolve(bars[leaves].form, jump=jump)
        last = evolve(bars[leaves], form=form)
        order = play_order([*bars[:leaves], last, *bars[leaves + 1 :]])
    cuts = (at for at in order.jumps if order.indices[at - 1] == leaves)
    return order, next(cuts, len(order.indices))


def _check_solos(solos: Solos) -> None:
    if solos in ("open", "none"):
        return
    if not isinstance(solos, int) or isinstance(solos, bool) or solos < 1:
        raise RunningOrderError(
            f"solos can't be {solos!r}: expected 'open', 'none' or a number of choruses"
        )


def _check_way_back(bars: Sequence[Bar], jump: Jump) -> None:
    for needed, there in (
        ("segno", jump.back_to == "capo" or any(bar.form.segno for bar in bars)),
        ("fine", jump.until != "fine" or any(bar.form.fine for bar in bars)),
        ("coda", jump.until != "coda" or any(bar.form.coda for bar in bars)),
    ):
        if not there:
            raise RunningOrderError(
                f"{jump} after the solos, but the chart has no {needed}"
            )


def _way_out(bars: Sequence[Bar], order: PlayOrder) -> int | None:
    """The bar at whose end a sign leads out of the head, or should: that of the jump
    that belongs after the solos, or the last one before a coda that is not reached."""
    reached = dict.fromkeys(order.indices)
    for index in reached:
        form = bars[index].form
        if form.to_solos or (form.jump is not None and form.jump.after_solos):
            return index
    jumps = [index for index in reached if bars[index].form.jump is not None]
    if jumps:
        return jumps[-1] if _leads_out(bars, jumps[-1]) else None
    coda = next((at for at in reached if bars[at].form.coda), 0)
    if coda and any(bar.form.to_coda for bar in bars[:coda]):
        before = order.indices[order.indices.index(coda) - 1]
        return before if before == coda - 1 else None
    return None


def _leads_out(bars: Sequence[Bar], last: int) -> bool:
    """Whether a jump at the end of a bar leads to the head again and out of the tune,
    and not merely to what the head still lacks."""
    jump = bars[last].form.jump
    if jump is not None and not jump.until:
        return last == len(bars) - 1
    leaving = [at for at in range(last + 1) if bars[at].form.to_coda]
    if jump is None or jump.until != "coda" or not leaving:
        return False
    start = 0
    if jump.back_to == "segno":
        start = max((at for at in range(last + 1) if bars[at].form.segno), default=0)
    top = _top(bars)
    coda = next((at for at in range(last, len(bars)) if bars[at].form.coda), len(bars))
    return (
        last - leaving[-1] <= _SHORT_CLOSE
        and 2 * (start - top) <= last - top
        and len(bars) - coda <= last + 1 - top
    )


def _top(bars: Sequence[Bar]) -> int:
    """Where the head starts, after an introduction that is named so."""
    first = next((each for each in sections(bars) if each.name), None)
    if first is not None and first.name.casefold().startswith("intro"):
        return first.end
    return 0


def _the_end_of(bars: Sequence[Bar], leaves: int) -> Jump:
    """The way back that a chart without one has: to the coda where it has one, else
    the whole head again."""
    if any(bar.form.to_coda for bar in bars) and any(
        bar.form.coda for bar in bars[leaves + 1 :]
    ):
        return Jump("capo", "coda")
    return Jump("capo", with_repeats=_repeats(bars))


def _repeats(bars: Sequence[Bar]) -> bool:
    return any(bar.form.repeat_end > 1 for bar in bars)
