"""The words and signs of chord symbols, and what each says."""

from __future__ import annotations

from typing import Final

__all__ = (
    "ACCIDENTALS",
    "CLOSING",
    "DIGITS",
    "ITEM_WORDS",
    "MAJOR_WORDS",
    "NUMBERS",
    "QUALITY_WORDS",
    "SEVENTHS",
    "SIGNS",
    "TRIADS",
    "Pair",
    "Words",
)

Pair = tuple[int, int]
"""A degree: its number and its alteration."""

SIGNS: Final = str.maketrans(
    {
        "♯": "#", "♭": "b", "𝄪": "x",
        "−": "-", "–": "-", "‐": "-", "‑": "-", "—": "-",
        "△": "Δ", "∆": "Δ", "▵": "Δ",
        "º": "°", "˚": "°", "ᵒ": "°", "∅": "ø", "⌀": "ø", "Ø": "ø", "ⱷ": "ø",
        "⁰": "0", "¹": "1", "²": "2", "³": "3", "⁴": "4", "⁵": "5", "⁶": "6",
        "⁷": "7", "⁹": "9", "⁺": "+", "⁻": "-", "⁽": "(", "⁾": ")",
        "₁": "1", "₂": "2", "₃": "3", "₄": "4", "₅": "5", "₆": "6", "₇": "7", "₉": "9",
        "ᵐ": "m", "ᵃ": "a", "ʲ": "j", "ⁱ": "i", "ⁿ": "n", "ᵈ": "d", "ˢ": "s",
        "ᵘ": "u", "ᵇ": "b", "⁄": "/", "∕": "/", "，": ",",
        "\u00a0": " ", "\u2009": " ", "\u202f": " ",
        # SMuFL 1.4, chord symbols and their accidentals
        "\ue870": "°", "\ue871": "ø", "\ue872": "+", "\ue873": "Δ", "\ue874": "-",
        "\ue875": "(", "\ue876": ")", "\ue877": "[", "\ue878": "]", "\ue87b": "/",
        "\ued60": "b", "\ued61": "♮", "\ued62": "#", "\ued63": "x", "\ued64": "𝄫",
    }
)  # fmt: skip
"""Signs that mean the same, each replaced by one character (so that offsets
stay): a translation table for `str.translate`."""

# Words in the place of the quality, in print.  "triangle" is a sign that means
# major and, alone, the major seventh; the other meanings are names of stacks.
_QUALITIES: Final[dict[str, tuple[str, ...]]] = {
    "major": ("major", "Major", "MAJOR", "maj", "Maj", "MAJ", "Ma", "MA", "ma", "M"),
    "triangle": ("Δ", "j"),
    "minor": ("minor", "Minor", "MINOR", "min", "Min", "MIN", "mi", "Mi", "MI", "m",
              "-"),
    "diminished": ("diminished", "Diminished", "dim", "Dim", "DIM", "°", "o", "0"),
    "half-diminished": ("half-diminished", "half-dim", "halfdiminished", "halfdim",
                        "Half-diminished", "Half-dim", "hdim", "ø"),
    "augmented": ("augmented", "Augmented", "aug", "Aug", "AUG", "+"),
    "dominant": ("dominant", "dom", "Dom", "DOM"),
    "altered": ("altered", "alt", "Alt", "ALT"),
    "quartal": ("quartal",),
    "pedal": ("pedal", "ped"),
    "": ("omit", "Omit", "OMIT"),
}  # fmt: skip

Words = dict[str, tuple[tuple[str, str], ...]]


def _by_first_letter(table: dict[str, tuple[str, ...]], *meanings: str) -> Words:
    """The words of a table under their first character, longest first."""
    words: dict[str, list[tuple[str, str]]] = {}
    for meaning in meanings or table:
        for word in table[meaning]:
            words.setdefault(word[0], []).append((word, meaning))
    return {
        first: tuple(sorted(group, key=lambda pair: -len(pair[0])))
        for first, group in words.items()
    }


QUALITY_WORDS: Final = _by_first_letter(_QUALITIES)
MAJOR_WORDS: Final = _by_first_letter(_QUALITIES, "major", "triangle")
ITEM_WORDS: Final = _by_first_letter(
    {
        "add": ("add", "Add", "ADD"),
        "no": ("no", "No", "NO", "omit", "Omit", "OMIT"),
        "sus": ("sus", "Sus", "SUS"),
        "altered": _QUALITIES["altered"],
        "augmented": ("augmented", "aug", "Aug", "AUG"),
        "diminished": ("dim",),
        "major": _QUALITIES["major"],
        "triangle": _QUALITIES["triangle"],
    }
)

# quality: its degrees, before any number is read (alt brings its own seventh)
TRIADS: Final[dict[str, tuple[Pair, ...]]] = {
    "": ((1, 0), (3, 0), (5, 0)),
    "major": ((1, 0), (3, 0), (5, 0)),
    "triangle": ((1, 0), (3, 0), (5, 0)),
    "dominant": ((1, 0), (3, 0), (5, 0)),
    "minor": ((1, 0), (3, -1), (5, 0)),
    "diminished": ((1, 0), (3, -1), (5, -1)),
    "half-diminished": ((1, 0), (3, -1), (5, -1)),
    "augmented": ((1, 0), (3, 0), (5, 1)),
    "power": ((1, 0), (5, 0)),
    "altered": ((1, 0), (3, 0), (5, -1), (5, 1), (7, -1), (9, -1), (9, 1)),
    "quartal": ((1, 0), (4, 0), (7, -1)),
    "pedal": ((1, 0),),
}
# quality: the seventh that a number brings with it
SEVENTHS: Final = {"major": 0, "triangle": 0, "diminished": -2}
# numbers that may follow a quality
NUMBERS: Final[dict[str, tuple[int, ...]]] = {
    "": (2, 4, 5, 6, 7, 9, 11, 13),
    "major": (6, 7, 9, 11, 13),
    "triangle": (6, 7, 9, 11, 13),
    "minor": (6, 7, 9, 11, 13),
    "diminished": (7, 9, 11, 13),
    "half-diminished": (7, 9, 11, 13),
    "augmented": (7, 9, 11, 13),
    "dominant": (7, 9, 11, 13),
    "altered": (7,),
}
DIGITS: Final = "0123456789"
ACCIDENTALS: Final = "#b+-x𝄫♮"
CLOSING: Final = {"(": ")", "[": "]"}
