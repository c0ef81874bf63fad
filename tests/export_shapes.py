"""One tune in the many shapes in which notation programs export it.

`export` writes a :class:`Tune` as MusicXML in a :class:`Shape`; whatever the shape, the
file says the same music, so the same parts must come of it.  The shapes are those of
the W3C's *MusicXML 4.0*: where voices, staves and parts stand, in what units time is
counted, where a chord symbol is put, how a pickup, a divided bar or an ending is said.
The tunes are inventions.
"""

from __future__ import annotations

import re
from itertools import zip_longest
from random import Random
from typing import Literal

import attrs
from attrs import evolve, frozen
from export_tunes import TUNES, Tune
from export_writing import export

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.musicxml import parse_lead_sheet

__all__ = (
    "EXTRAS",
    "TUNES",
    "Shape",
    "differences",
    "export",
    "fitting",
    "options",
    "plain_parts",
    "random_shape",
)


@frozen
class Shape:
    """How a program exports.  The default is the plainest way."""

    divisions: int = 24
    divisions_later: int = 0
    divisions_in_bar: int = 0
    hits: Literal["part", "staff", "voice", "unpitched staff"] = "part"
    hits_first: bool = False
    melody_voice: str = "1"
    hits_voice: str = "2"
    chords: Literal["before", "offset", "backup", "early offset", "other part"] = (
        "before"
    )
    transposed: Literal["", "P8", "M2", "M6", "P5", "m3"] = ""
    pickup: Literal["implicit", "zero", "short", "full"] = "implicit"
    divided: tuple[int, ...] = ()
    ending_stop: Literal["stop", "discontinue"] = "stop"
    ending_text: Literal["", "dot", "name"] = ""
    repeat_times: bool = False
    barline_location: bool = True
    ties: Literal["both", "tie", "tied"] = "both"
    values: bool = True
    brackets: bool = True
    engraving: bool = False
    rests: Literal["typed", "measure", "whole", "forward", "nothing"] = "typed"
    syllabic: Literal["said", "left out for single"] = "said"
    rehearsal: Literal["rehearsal", "framed words"] = "rehearsal"
    jumps: Literal["words and sound", "words", "sound", "with sign"] = "words and sound"
    words: Literal["plain", "fonts", "split"] = "plain"
    tempo: Literal["none", "hidden", "sound"] = "none"
    extra: tuple[str, ...] = ()
    kind_text: Literal["left out", "given"] = "given"
    key_mode: bool = True
    late_attributes: bool = False
    again: bool = False
    off_by_one: bool = False
    wandering: bool = False
    lower_numbered_first: bool = False
    numbers: Literal["counted", "from 11", "letters"] = "counted"
    multirest: bool = False
    moved_words: bool = False
    head: Literal["plain", "credits", "work", "untyped"] = "plain"
    form: Literal["plain", "timewise", "mxl", "utf-16", "doctype", "comments"] = "plain"
    order: Literal["melody first", "melody last"] = "melody first"
    fractional: bool = False
    namespaces: bool = False


def with_divided_bars(made):
    """The indices of bars that may be divided in two."""
    return [
        at
        for at, each in enumerate(made.bars)
        if at
        and each.length == made.beats
        and any(2 * tone.onset == made.beats for tone in each.tones)
    ]


def options(name):
    """The ways that a shape knows of one thing."""
    if name in _NUMBERS:
        return _NUMBERS[name]
    if name == "extra":
        return [(each,) for each in EXTRAS]
    if name == "divided":
        return [()]
    kind = {each.name: each.type for each in attrs.fields(Shape)}[name]
    return [True, False] if kind == "bool" else re.findall(r"'([^']*)'", kind)


_NUMBERS = {
    "divisions": [12, 24, 48, 480, 10080, 768],
    "divisions_later": [0, 12, 960],
    "divisions_in_bar": [0, 36, 120],
    "melody_voice": ["1", "5", "2", "3"],
    "hits_voice": ["2", "1", "6"],
}


def random_shape(random: Random, made: Tune) -> Shape:
    """Any shape that can hold a tune."""
    picked = {
        each.name: random.choice(options(each.name)) for each in attrs.fields(Shape)
    }
    picked["divided"] = random.choice([(), tuple(with_divided_bars(made)[::2])])
    picked["extra"] = tuple(name for name in EXTRAS if random.random() < 0.2)
    return fitting(Shape(**picked), made)


def fitting(shape: Shape, made: Tune) -> Shape:
    """The shape without what would make the file say something else of this tune: a
    minor key has to be named, what is off by one needs fine divisions and values, two
    voices of a staff are two, and a divided bar is so in all parts."""
    if shape.hits in ("voice", "staff") and shape.hits_voice == shape.melody_voice:
        shape = evolve(shape, hits_voice=str(int(shape.melody_voice) + 1))
    if shape.divided and shape.chords == "other part":
        shape = evolve(shape, chords="before")
    if any(each.lower for each in made.bars):
        # which voice the melody is in must be plain where there are two
        shape = evolve(shape, wandering=False)
    if made.key.mode != "major":
        shape = evolve(shape, key_mode=True)
    if shape.off_by_one:
        shape = evolve(
            shape,
            divisions=480,
            divisions_later=0,
            divisions_in_bar=0,
            values=True,
            fractional=False,
        )
    return shape


EXTRAS = (
    "drums", "tablature", "figured bass", "octave shift", "transposed copy",
    "for-part", "print", "silent part", "lines", "cue notes", "plain barlines",
    "playback",
)  # fmt: skip


def parts_of(data):
    """The five parts that come of a file, as written."""
    return [write_part(part) for part in make_parts(parse_lead_sheet(data).sheet)]


def plain_parts(made):
    """The five parts of a tune in its plainest shape."""
    return parts_of(export(made, Shape()))


def differences(made, shape, plain):
    """The first lines in which a part of a tune in a shape differs from the plain
    one."""
    for wanted, part in zip(plain, parts_of(export(made, shape)), strict=True):
        pairs = zip_longest(wanted.splitlines(), part.splitlines())
        found = [pair for pair in pairs if pair[0] != pair[1]]
        if found:
            return found[:3]
    return []
