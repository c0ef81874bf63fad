"""The command line: ``python -m leadsheet_theory``, a module a command."""

from typing import Final

__all__ = ("COMMANDS",)

COMMANDS: Final[dict[str, str]] = {
    "new": "write a blank chart, to be filled in",
    "parts": "make the parts of a band from a chart",
    "bind": "bind the charts of a band into a book for each chair",
    "grid": "write the changes alone, in boxes",
    "lyrics": "write the words alone",
    "setlist": "write the page of an evening's tunes",
    "instruments": "list the books and instruments there are",
    "keys": "find the keys that suit a singer",
    "midi": "write a chart as MIDI, to be heard",
    "abc": "write charts as text, in ABC notation",
    "chord": "tell what chord symbols mean",
    "proofread": "look a chart over as a proofreader would",
}
"""The commands, each the name of its module, and what it does in a line."""
