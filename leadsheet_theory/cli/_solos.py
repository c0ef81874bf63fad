"""What the commands are told about solos: how long, on which form, and the way back."""

from __future__ import annotations

import argparse
from typing import get_args

from ..leadsheet.felt_chords import ChordChoice
from ..parts.make import SOLO_HEADING
from ..parts.solo_changes import SoloForm

__all__ = ("add_solo_arguments",)


def add_solo_arguments(parser: argparse.ArgumentParser, /) -> None:
    """The options on the running order and the solo page."""
    group = parser.add_argument_group("solos")
    group.add_argument(
        "--solos",
        metavar="N",
        default="",
        help="how long the solos last: 'open' until the cue, a number of choruses, or "
        "'none' (default: as the chart says, else open)",
    )
    group.add_argument(
        "--way-back",
        metavar="WORDS",
        default="",
        help="where the solos lead to, if not where the chart says: 'D.C. al Coda', "
        "'D.S. with repeats'",
    )
    group.add_argument(
        "--solo-form",
        choices=get_args(SoloForm),
        default="sections clear",
        help="the repeats and endings of the solo page (default: %(default)s)",
    )
    group.add_argument(
        "--solo-chords",
        choices=get_args(ChordChoice),
        default="all",
        help="which chords the solo page has (default: %(default)s)",
    )
    group.add_argument(
        "--solo-hits",
        action="store_true",
        help="have the head's hits played behind the solos",
    )
    group.add_argument(
        "--bar-counts",
        type=int,
        default=0,
        metavar="N",
        help="count the bars of each section of the solo page, every N bars: 4 for 4, "
        "8, 12",
    )
    group.add_argument(
        "--solo-heading",
        metavar="TEXT",
        default=SOLO_HEADING,
        help="what stands above the solo page, as --heading (default: '%(default)s')",
    )
    group.add_argument(
        "--no-solo-page", action="store_true", help="leave out the solo changes"
    )
