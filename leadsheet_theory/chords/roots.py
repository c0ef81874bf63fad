"""Root names: letters, German names and solfège syllables.

Sources: the German names (H for B natural, B for B flat, -is and -es) and the
fixed-do syllables of French, Italian and Spanish prints: common practice.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal, get_args

from .._arguments import check_choice
from ..pitch import NoteName

__all__ = ("ROOT_NAMES", "RootNames", "root_text", "roots_in")

RootNames = Literal["letters", "german", "solfege"]
"""What roots are called: ``Bb``, ``B`` or ``Sib``."""

ROOT_NAMES: Final[tuple[RootNames, ...]] = get_args(RootNames)
"""The ways of naming roots."""

_SOLFEGE: Final = {
    "C": "Do", "D": "Re", "E": "Mi", "F": "Fa", "G": "Sol", "A": "La", "B": "Si",
}  # fmt: skip
_SIGNS: Final = ("bb", "b", "", "#", "##")


@lru_cache(maxsize=512)
def root_text(
    name: NoteName, /, *, names: RootNames = "letters", glyphs: bool = False
) -> str:
    """A note's name as a chart prints it.

    >>> flat = NoteName.parse("Bb")
    >>> [root_text(flat, names=n) for n in ("letters", "german", "solfege")]
    ['Bb', 'B', 'Sib']
    """
    if names == "german":
        return _german(name)
    text = name.glyphs if glyphs else str(name)
    return text if names == "letters" else _SOLFEGE[name.step] + text[1:]


def _german(name: NoteName) -> str:
    """B is H, flats end in -es (Es, As), sharps in -is; B flat is B."""
    step = "H" if name.step == "B" else name.step
    if name.step == "B" and name.alter == -1:
        return "B"
    if name.alter >= 0:
        return step + "is" * name.alter
    if name.step in "EA":
        return step + "s" + "es" * (-name.alter - 1)
    return step + "es" * -name.alter


@lru_cache(maxsize=3)
def roots_in(names: RootNames, /) -> dict[str, NoteName]:
    """Every way of writing a root with up to two accidentals, in ASCII.

    German reading also takes letters with signs (``F#``, ``Bb``), which German
    charts mix in; ``Bb`` is B flat there too.
    """
    check_choice("roots", names, ROOT_NAMES)
    table: dict[str, NoteName] = {}
    for letter in "CDEFGAB":
        for alter, signs in enumerate(_SIGNS, start=-2):
            name = NoteName.parse(letter + signs)
            spelled = [letter + signs]
            if alter == 2:
                spelled.append(letter + "x")
            if alter == -2:
                spelled.append(letter + "𝄫")
            if names == "solfege":
                syllable = _SOLFEGE[letter]
                spelled = [syllable + text[1:] for text in spelled]
                if letter == "D":
                    spelled += ["Ré" + text[2:] for text in spelled]
            elif names == "german":
                if letter == "B":
                    spelled = ["Bb"] if alter == -1 else []
                    if alter > 0:
                        spelled = ["H" + signs]
                spelled.append(_german(name))
            for text in spelled:
                table[text] = name
    return table
