"""Macros: text that stands for other text.

Source: The abc music standard 2.1, chapter 9: static macros (9.1) and transposing ones
(9.2), in which *n* is any note and the letters around it in the alphabet its
neighbours.  A macro is never put into what a macro has put in.
"""

from __future__ import annotations

import re
from typing import Final

from attrs import frozen

__all__ = ("Macro", "expanded", "read_macro")

_MACRO: Final = re.compile(r"\s*(\S.*?)\s*=\s*(.*?)\s*")
_MOST: Final = 200
_MOST_TARGET: Final = 31
_NOTE: Final = r"([A-Ga-g])([,']*)"
_SCALE: Final = "CDEFGABcdefgab"


@frozen(order=False)
class Macro:
    """What is to be replaced, and by what; `moves` says that it holds an n."""

    target: str
    text: str
    moves: bool = False


def read_macro(value: str) -> Macro | None:
    """The field m:, or None if it says no macro."""
    found = _MACRO.fullmatch(value)
    if found is None or not found[2] or len(found[2]) > _MOST:
        return None
    if len(found[1]) > _MOST_TARGET:
        return None
    return Macro(found[1], found[2], "n" in found[1])


def expanded(macro: Macro, text: str) -> str:
    """A line of music code with the macro put in."""
    if not macro.moves:
        pattern = re.escape(macro.target)
        if macro.target[-1].isdigit():
            pattern += r"(?![0-9/])"
        return re.sub(pattern, lambda _: macro.text, text)
    before, _, after = macro.target.partition("n")
    end = r"(?![0-9/])" if after[-1:].isdigit() else ""
    pattern = re.escape(before) + _NOTE + re.escape(after) + end
    return re.sub(pattern, lambda found: _moved(macro.text, found[1], found[2]), text)


def _moved(text: str, letter: str, marks: str) -> str:
    """The text of a macro with its letters h to z as notes around the one given."""

    def note(found: re.Match[str]) -> str:
        place = _SCALE.index(letter) + ord(found[0]) - ord("n")
        octave, step = divmod(place, 7)
        octave += marks.count("'") - marks.count(",")
        name = _SCALE[step + 7] if octave > 0 else _SCALE[step]
        return name + ("'" * (octave - 1) if octave > 0 else "," * -octave)

    return re.sub(r"(?<![!\"])[h-tw-z]|[uv](?=[0-9/]|$)", note, text)
