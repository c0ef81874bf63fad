"""Random damage to MusicXML files, for the tests of reading and their deep run.

Each mutation is a function of the bytes and a random generator; the same seed
gives the same damage.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

NUMBERS = (
    b"0", b"-1", b"-4", b"1", b"3", b"7", b"12", b"99", b"128", b"1000000",
    b"999999999999", b"9" * 400, b"1e9", b"1.5", b"0.0001", b"nan", b"inf", b"-0",
    b"", b" ", b"x", b"1/2", b"0x10", "٣".encode(), b"1_000", b"+2", b"2.", b".5",
)  # fmt: skip
WORDS = (
    b"start", b"stop", b"continue", b"yes", b"no", b"backward", b"forward", b"middle",
    b"left", b"right", b"", b"none", b"slash", b"D.S. al Coda", b"Fine", b"To Coda",
    b"3x", b"C7(b9", b"N.C.", b"dorian", b"common", b"cut", b"A", b"H", b"whole",
)  # fmt: skip
ELEMENTS = (
    b"<chord/>", b"<grace/>", b"<cue/>", b"<rest/>", b"<rest measure='yes'/>",
    b"<unpitched/>", b"<dot/>", b"<tie type='start'/>", b"<voice>2</voice>",
    b"<staff>2</staff>", b"<notehead>slash</notehead>", b"<stem>none</stem>",
    b"<backup><duration>1</duration></backup>", b"<measure number='x'/>",
    b"<forward><duration>999999</duration></forward>", b"<harmony/>", b"<note/>",
    b"<backup><duration>99999999</duration></backup>", b"<part id='P9'/>",
    b"<attributes><divisions>7</divisions></attributes>", b"<duration>5</duration>",
    b"<attributes><transpose><chromatic>-9</chromatic></transpose></attributes>",
    b"<attributes><key><fifths>7</fifths></key></attributes>",
    b"<attributes><time><beats>2+3</beats><beat-type>8</beat-type></time></attributes>",
    b"<attributes><time><senza-misura/></time></attributes>",
    b"<attributes><measure-style><measure-repeat type='start'>2</measure-repeat>"
    b"</measure-style></attributes>",
    b"<attributes><measure-style><slash type='start' use-stems='yes'/></measure-style>"
    b"</attributes>",
    b"<barline><repeat direction='backward' times='7'/></barline>",
    b"<barline><ending number='1,2' type='start'/></barline>",
    b"<direction><direction-type><words>D.C. al Fine</words></direction-type>"
    b"</direction>",
    b"<direction><direction-type><coda/></direction-type></direction>",
    b"<direction><direction-type><segno/></direction-type><offset>-7</offset>"
    b"</direction>",
    b"<sound dacapo='yes' tocoda='a'/>", b"<time-modification/>", b"<unknown/>",
    b"<time-modification><actual-notes>0</actual-notes></time-modification>",
    b"<time-modification><actual-notes>7</actual-notes><normal-notes>5</normal-notes>"
    b"</time-modification>",
    b"<!DOCTYPE x [<!ENTITY a 'b'>]>", b"&a;", b"<![CDATA[", b"<!--", b"<?x?>",
)  # fmt: skip

_TEXT = re.compile(rb">([^<>]*)<")
_VALUE = re.compile(rb"=\"([^\"<>]*)\"")
_LEAF = re.compile(rb"<([a-z-]+)[^<>]*>[^<>]*</\1>|<[a-z-]+[^<>]*/>")
_TAG = re.compile(rb"<(/?)([a-z-]+)")


def _splice(data: bytes, span: tuple[int, int], new: bytes) -> bytes:
    return data[: span[0]] + new + data[span[1] :]


def _chosen(pattern: re.Pattern[bytes], data: bytes, random: Random) -> re.Match[bytes]:
    """A match near a random place."""
    match = pattern.search(data, random.randrange(max(1, len(data))))
    return match or pattern.search(data) or re.match(rb"()", data)  # type: ignore[return-value]


def flip(data: bytes, random: Random) -> bytes:
    """A few bytes changed."""
    damaged = bytearray(data)
    for _ in range(random.randint(1, 8)):
        damaged[random.randrange(len(damaged))] = random.randrange(256)
    return bytes(damaged)


def cut(data: bytes, random: Random) -> bytes:
    """The end missing."""
    return data[: random.randrange(len(data))]


def drop(data: bytes, random: Random) -> bytes:
    """A stretch missing."""
    start = random.randrange(len(data))
    return data[:start] + data[start + random.randint(1, 200) :]


def double(data: bytes, random: Random) -> bytes:
    """A stretch twice."""
    start = random.randrange(len(data))
    end = start + random.randint(1, 3000)
    return data[:end] + data[start:]


def number(data: bytes, random: Random) -> bytes:
    """A text replaced by a number."""
    return _splice(data, _chosen(_TEXT, data, random).span(1), random.choice(NUMBERS))


def word(data: bytes, random: Random) -> bytes:
    """A text replaced by a word."""
    return _splice(data, _chosen(_TEXT, data, random).span(1), random.choice(WORDS))


def value(data: bytes, random: Random) -> bytes:
    """An attribute replaced."""
    span = _chosen(_VALUE, data, random).span(1)
    return _splice(data, span, random.choice(NUMBERS + WORDS))


def lose(data: bytes, random: Random) -> bytes:
    """An element missing."""
    return _splice(data, _chosen(_LEAF, data, random).span(), b"")


def insert(data: bytes, random: Random) -> bytes:
    """An element that does not belong there."""
    place = _chosen(_LEAF, data, random).end()
    return _splice(data, (place, place), random.choice(ELEMENTS))


def move(data: bytes, random: Random) -> bytes:
    """An element elsewhere."""
    leaf = _chosen(_LEAF, data, random)
    without = _splice(data, leaf.span(), b"")
    place = _chosen(_LEAF, without, random).end()
    return _splice(without, (place, place), leaf[0])


def rename(data: bytes, random: Random) -> bytes:
    """All elements of a name called by another."""
    old, new = (_chosen(_TAG, data, random)[2] for _ in range(2))
    return re.sub(rb"(</?)" + re.escape(old) + rb"(?=[ />])", rb"\1" + new, data)


def several(data: bytes, random: Random) -> bytes:
    """Some of the mutations that keep the XML whole, one after the other."""
    for _ in range(random.randint(2, 6)):
        data = random.choice((number, word, value, lose, insert, move))(data, random)
    return data


MUTATIONS: tuple[Callable[[bytes, Random], bytes], ...] = (
    flip, cut, drop, double, number, word, value, lose, insert, move, rename, several,
    number, insert, several,
)  # fmt: skip


def mutated(data: bytes, random: Random) -> tuple[str, bytes]:
    """A mutation's name and the damaged bytes."""
    mutation = random.choice(MUTATIONS)
    return mutation.__name__, mutation(data, random)
