"""Staves on the command line: which one holds the hits, which one the bass line."""

from __future__ import annotations

import argparse

__all__ = ("add_staff_arguments",)


def add_staff_arguments(parser: argparse.ArgumentParser, /) -> None:
    """Say what every command that reads charts takes."""
    group = parser.add_argument_group("staves of the chart")
    group.add_argument(
        "--hits",
        default="",
        metavar="PART[:STAFF]",
        help="the staff that holds the rhythm section's hits, where the notes don't "
        "show it: Piano, Piano:1; none for no hits",
    )
    group.add_argument(
        "--bass-line",
        default="",
        metavar="PART[:STAFF]",
        help="the staff that holds a bass line: Piano:2; none for no bass line",
    )
    group.add_argument(
        "--players-staves",
        choices=("taken over", "left out"),
        help="whether a part has the other names and octaves that a player's staff in "
        "the file has, where it is the melody again (default: taken over)",
    )
