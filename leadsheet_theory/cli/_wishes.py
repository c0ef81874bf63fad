"""What the commands are told of single parts, bars, chords and notes."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from typing import Final

from ..decisions.keys import BEAM_STYLES
from ._pages import add_most_bars

__all__ = ("add_wish_arguments",)

_OF_PARTS: Final = (
    ("--respell", "'BOOK BAR BEAT ROOT'",
     "spell one chord of one part otherwise: 'Bb 22 3 Gb'"),
    ("--respell-note", "'BOOK BAR BEAT NAME'",
     "show one note of one part under another name: 'Bb 22 3 Gb'"),
    ("--octave", "'BOOK [BARS] = N'",
     "how many octaves up, or with a minus down, from the chart a part sounds: "
     "'Bass clef = -1', 'Bb 9-16 = 1'"),
    ("--name", "'BOOK = NAME'", "what a part is called: 'Bass clef = Bass'"),
)  # fmt: skip
_OF_CHART: Final = (
    ("--correct-chord", "'BAR BEAT CHORD'",
     "put another chord in the place of the chart's, at concert pitch: '12 3 Dm7'"),
    ("--correct-note", "'BAR BEAT PITCH'",
     "put another note in the place of the chart's, at concert pitch: '12 3 Ab4'"),
)  # fmt: skip
_OF_BEAMS: Final = (
    ("--beam-apart", "'BAR BEAT'", "end a beam before the note there: '12 5/2'"),
    ("--beam-joined", "'BAR BEAT'",
     "join the note there to the one before under a beam: '12 5/2'"),
)  # fmt: skip


def add_wish_arguments(parser: argparse.ArgumentParser, /) -> None:
    """The options that mostly say one thing of one place, and may be given again."""
    _add_listed(parser.add_argument_group("single parts"), _OF_PARTS)
    _add_listed(parser.add_argument_group("corrections of the chart"), _OF_CHART)
    group = parser.add_argument_group("beams and systems")
    group.add_argument(
        "--beams",
        choices=BEAM_STYLES,
        help="how eighths are beamed (default: half bars when filled, or half bars "
        "where the chart says that eighths are straight)",
    )
    _add_listed(group, _OF_BEAMS)
    add_most_bars(group, "system")
    group.add_argument(
        "--system-break",
        action="append",
        default=[],
        type=int,
        metavar="BAR",
        help="begin a system with this bar; may be given again",
    )


def _add_listed(
    group: argparse._ArgumentGroup, listed: Iterable[tuple[str, str, str]]
) -> None:
    for option, metavar, says in listed:
        group.add_argument(
            option,
            action="append",
            default=[],
            metavar=metavar,
            help=f"{says}; may be given again",
        )
