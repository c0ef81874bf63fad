"""What the pages say about the way: to the solos, how long they last, and back.

A player reads each sign where it is needed: what is played after the solos stands at
the end of their page, and the head's page says only that the solos come.  The words
are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from attrs import evolve

from ..leadsheet.model import Bar, Direction, Note, Solos
from ..leadsheet.running_order import RunningOrder
from ..leadsheet.signs import Jump
from .model import PartBar

__all__ = (
    "LAST_TIME",
    "head_page",
    "pickup_again",
    "solo_label",
    "solo_page",
    "turned_to",
)

LAST_TIME: Final = "last x"
"""What stands over small notes that lead back to the head."""

_TO_SOLOS: Final = "to Solos, p. "
_START: Final = Fraction(0)


def head_page(
    bars: tuple[Bar, ...], order: RunningOrder, *, page: int
) -> tuple[Bar, ...]:
    """The bars of the tune, which say at the head's end on which page the solos are;
    a jump that is taken after the solos stands there instead."""
    if not order.has_solos:
        return bars
    index = order.to_solos
    bar = bars[index]
    words = Direction(
        bar.length, "words", f"{_which_time(bar, index, order)}{_TO_SOLOS}{page}"
    )
    form = evolve(bar.form, to_solos=False, jump=_own_jump(bar, order))
    if form.barline == "regular" and not form.repeat_end and index + 1 < len(bars):
        form = evolve(form, barline="double")
    said = evolve(bar, directions=(*bar.directions, words), form=form)
    return (*bars[:index], said, *bars[index + 1 :])


def _which_time(bar: Bar, index: int, order: RunningOrder) -> str:
    """The time on which a bar leads to the solos, if the head comes there more often
    than its own repeat sign says: ``2nd x``."""
    times = order.head.count(index)
    if times < 2 or times <= bar.form.repeat_end:
        return ""
    return f"{times}{_ORDINAL_ENDS.get(times, 'th')} x "


_ORDINAL_ENDS: Final = {2: "nd", 3: "rd"}


def turned_to(bar: PartBar, *, page: int) -> PartBar:
    """The bar of a part with the page that the solos are on where it says so."""
    source = bar.shared.source
    if not any(_TO_SOLOS in each.text for each in source.directions):
        return bar
    directions = tuple(
        evolve(each, text=f"{each.text.partition(_TO_SOLOS)[0]}{_TO_SOLOS}{page}")
        if _TO_SOLOS in each.text
        else each
        for each in source.directions
    )
    source = evolve(source, directions=directions)
    return evolve(bar, shared=evolve(bar.shared, source=source))


def _own_jump(bar: Bar, order: RunningOrder) -> Jump | None:
    """The bar's jump, if it is not the one that is taken after the solos."""
    jump = bar.form.jump
    if jump is None or order.way_back is None:
        return jump
    return None if evolve(jump, after_solos=True) == order.way_back else jump


def solo_page(bars: tuple[Bar, ...], order: RunningOrder) -> tuple[Bar, ...]:
    """The bars of the solo page with its label, the signs of its repetition, and at
    its end the way back."""
    if not bars or not order.has_solos:
        return bars
    page = [
        # a repeat sign makes its own bar line
        evolve(bar, form=evolve(bar.form, barline="regular"))
        if bar.form.repeat_end and bar.form.barline != "regular"
        else bar
        for bar in bars
    ]
    repeats = any(bar.form.repeat_start or bar.form.repeat_end for bar in page)
    label = Direction(_START, "words", solo_label(order.solos, repeats=repeats))
    times = 2 if order.solos == "open" else order.solos
    first = page[0].form
    passes = 0
    if not repeats and isinstance(times, int) and times > 1:
        first, passes = evolve(first, repeat_start=True), times
    page[0] = evolve(page[0], directions=(label, *page[0].directions), form=first)
    last = evolve(page[-1].form, jump=order.way_back)
    if passes:
        last = evolve(last, repeat_end=passes, barline="regular")
    page[-1] = evolve(page[-1], form=last)
    return tuple(page)


def solo_label(solos: Solos, *, repeats: bool = False) -> str:
    """What stands over the first bar of the solos; where the page has `repeats` of its
    own it says that they are not meant.

    >>> solo_label("open"), solo_label("open", repeats=True), solo_label(2)
    ('Solos: repeat till cue', 'Solos: repeat form till cue', 'Solos: 2 choruses')
    """
    if solos == "open":
        return f"Solos: repeat {'form ' if repeats else ''}till cue"
    return "Solos: 1 chorus" if solos == 1 else f"Solos: {solos} choruses"


def pickup_again(
    bars: Sequence[Bar], solo: Sequence[Bar], order: RunningOrder
) -> tuple[Note, ...]:
    """The pickup of the head that follows the solos, at the end of their last bar."""
    jump = order.way_back
    if jump is None or not order.out_head or not solo:
        return ()
    pickup, last = bars[order.out_head[0]], solo[-1]
    if not pickup.is_pickup or pickup.length > last.length:
        return ()
    offset = last.length - pickup.length
    return tuple(
        evolve(event, onset=event.onset + offset)
        for event in pickup.melody
        if isinstance(event, Note)
    )
