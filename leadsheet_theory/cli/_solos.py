"""What the commands are told about solos: how long, on which form, and the way back."""

from __future__ import annotations

import argparse
from typing import Final, get_args

from ..errors import TheoryError
from ..leadsheet.felt_chords import ChordChoice
from ..leadsheet.model import LeadSheet, Solos
from ..leadsheet.running_order import RunningOrder, running_order
from ..leadsheet.signs import Jump
from ..parts.make import SOLO_HEADING
from ..parts.solo_changes import SoloChanges, SoloForm, solo_changes
from ._say import UsageError

__all__ = ("add_solo_arguments", "order_asked", "solo_page_asked")

_NO_NUMBER: Final = "--solos {}: expected 'open', 'none' or a number of choruses"


def add_solo_arguments(parser: argparse.ArgumentParser, /) -> None:
    """The options on the running order and the solo page."""
    parser.add_argument(
        "--solos",
        metavar="N",
        default="",
        help="how long the solos last: 'open' until the cue, a number of choruses, or "
        "'none' (default: as the chart says, else open)",
    )
    parser.add_argument(
        "--way-back",
        metavar="WORDS",
        default="",
        help="where the solos lead to, if not where the chart says: 'D.C. al Coda', "
        "'D.S. with repeats'",
    )
    parser.add_argument(
        "--solo-form",
        choices=get_args(SoloForm),
        default="sections clear",
        help="the repeats and endings of the solo page (default: %(default)s)",
    )
    parser.add_argument(
        "--solo-chords",
        choices=get_args(ChordChoice),
        default="all",
        help="which chords the solo page has (default: %(default)s)",
    )
    parser.add_argument(
        "--solo-heading",
        metavar="TEXT",
        default=SOLO_HEADING,
        help="what stands above the solo page, as --heading (default: '%(default)s')",
    )
    parser.add_argument(
        "--no-solo-page", action="store_true", help="leave out the solo changes"
    )


def order_asked(options: argparse.Namespace, sheet: LeadSheet, /) -> RunningOrder:
    """The running order of a tune as the options want it."""
    solos: Solos | None = None
    if options.solos in ("open", "none"):
        solos = options.solos
    elif options.solos:
        if not options.solos.isdecimal():
            raise UsageError(_NO_NUMBER.format(options.solos))
        solos = int(options.solos)
    try:
        way_back = Jump.parse(options.way_back) if options.way_back else None
        return running_order(sheet, solos=solos, way_back=way_back)
    except TheoryError as error:
        raise UsageError(str(error)) from None


def solo_page_asked(
    options: argparse.Namespace, sheet: LeadSheet, order: RunningOrder, /
) -> bool | SoloChanges:
    """The solo page of a tune as the options want it, or whether there is one."""
    if options.no_solo_page or not order.has_solos:
        return False
    return solo_changes(
        sheet,
        form=options.solo_form,
        chords=options.solo_chords,
        stacked_chords="kept" if options.keep_stacked_chords else "spread",
        order=order,
    )
