"""What the commands are told about hits and the rhythm section's books."""

from __future__ import annotations

import argparse
from typing import get_args

from ..parts.hits import CueCut, CueStart

__all__ = ("add_cue_arguments",)


def add_cue_arguments(parser: argparse.ArgumentParser, /) -> None:
    """The options on the hits above the staff and on the rhythm section."""
    group = parser.add_argument_group("the rhythm section's hits")
    group.add_argument(
        "--cues",
        metavar="BARS",
        help="the hits that stand above the staff: all, none, or those of some bars, "
        "such as '9-16, 25' (default: all)",
    )
    group.add_argument(
        "--cue-start",
        choices=get_args(CueStart),
        help="where a cue begins (default: bar line)",
    )
    group.add_argument(
        "--cue-cut",
        choices=get_args(CueCut),
        help="where a cue stops: after the last hit of each bar, of its figure, or "
        "never, so that its bars are whole (default: figure)",
    )
    group.add_argument(
        "--without-cues",
        action="append",
        default=[],
        metavar="NAME",
        help="a book or instrument whose part has no cues; may be given again",
    )
    group.add_argument(
        "--hits-label", default="", metavar="TEXT", help="a label for the hits"
    )
    group.add_argument(
        "--hits-label-at",
        action="append",
        default=[],
        metavar="'BAR = TEXT'",
        help="another label for the stretch of hits that a bar is in: '9 = horns'; "
        "may be given again",
    )
    group.add_argument(
        "--bass-cue",
        metavar="BARS",
        help="the bass line that players read in small notes below their own: all, "
        "none, or that of some bars, such as '1-8' (default: none)",
    )
    group.add_argument(
        "--stop-time",
        metavar="BARS",
        help="the bars in which the rhythm section's hits stand in the staff: none, or "
        "some bars, such as '13-16' (default: 'as marked')",
    )
    group.add_argument(
        "--melody-cue",
        action="store_true",
        help="in the rhythm section's books the melody stands in small notes",
    )
    group.add_argument(
        "--drum-chords",
        action="store_true",
        help="in the drum part chord symbols stand too",
    )
