"""Reading decisions: from the text of a file, or from values that were asked for.

A file is TOML 1.0 (published at toml.io, read by Python's own ``tomllib``).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date

from .._doors import door
from ..errors import DecisionError, TheoryError
from .keys import DecisionKey, key_called
from .model import Decision, Decisions, DecisionValue

__all__ = ("decisions_from", "read_decisions")


@door
def read_decisions(
    text: str | bytes, /, *, file: str = "", of_band: bool = False
) -> Decisions:
    """The decisions in a text, such as that of ``tune.toml`` beside a chart.

    Args:
        text: the text, or its bytes in UTF-8.
        file: what errors call it.
        of_band: whether it is a band's file, for all charts of a folder, which can't
            decide what is for one tune.

    Raises:
        DecisionError: if the text is no TOML, has a key that is none of ours, or a
            value that can't be.

    >>> read_decisions('title = "Low Tide"\\nsolos = "3"').text("solos")
    '3'
    >>> read_decisions('paper = "A4"\\nlook = "etched"', file="tune.toml")
    Traceback (most recent call last):
    leadsheet_theory.errors.DecisionError: tune.toml, line 2: look: 'etched' is none of
    engraved, handwritten
    """
    try:
        if isinstance(text, bytes):
            text = text.decode("utf-8")
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        broken = re.search(r"line (\d+)", str(error))
        at = int(broken[1]) if broken else len(str(text).splitlines())
        what = re.sub(r" \(at .*\)$", "", str(error))
        problem = f"not written as TOML: {what}"
        raise DecisionError(problem, file=file, line=at) from None
    except UnicodeDecodeError as error:
        raise DecisionError(str(error), file=file, line=1) from None
    return Decisions(tuple(_all(table, text, file, of_band)))


@door
def decisions_from(asked: Mapping[str, object], /) -> Decisions:
    """Decisions from values by their keys, as a program asks for them.

    Raises:
        DecisionError: if a key is none of ours, or a value can't be.

    >>> decisions_from({"books": ["C", "Bb"], "bars-per-system": 3}).texts("books")
    ('C', 'Bb')
    """
    return Decisions(tuple(_all(asked, "", "", False)))


def _all(
    table: Mapping[str, object], text: str, file: str, of_band: bool
) -> Iterator[Decision]:
    for name, held in table.items():
        line = _line_of(text, name)
        try:
            key = key_called(name)
            if of_band and key.of_tune:
                raise DecisionError(
                    f"{name} is for one tune: put it into the file of the tune's name"
                )
            entries = tuple(_entries(held, key))
        except DecisionError as error:
            problem = error.problem
            raise DecisionError(problem, key=error.key, file=file, line=line) from None
        for entry in entries:
            at = None if key.listed else line
            decision = Decision(name, entry, file, at or _line_of(text, name, entry))
            try:
                key.check(str(entry))
            except TheoryError as error:
                raise decision.wrong(error) from None
            yield decision


def _entries(held: object, key: DecisionKey) -> Iterator[DecisionValue]:
    """The values under a key, each of them of the type it holds."""
    several = key.listed
    if several and isinstance(held, Mapping):  # names and octaves, as a table
        held = [f"{name} = {value}" for name, value in held.items()]
    if several != isinstance(held, list | tuple):
        raise DecisionError(f"{held!r} is not {key.holds}", key=key.name)
    for given in held if isinstance(held, list | tuple) else (held,):
        entry = _as_text(given) if key.holds in ("a text", "a list of texts") else given
        if not _fits(entry, key) or not isinstance(entry, str | int | float):
            expected = key.holds
            if several:
                expected = "a number" if key.whole else "a text"
            raise DecisionError(f"{entry!r} is not {expected}", key=key.name)
        yield entry


def _as_text(given: object) -> object:
    """A whole number or a date is a text where one is wanted: choruses, revisions."""
    if type(given) is int:
        return str(given)
    return given.isoformat() if isinstance(given, date) else given


def _fits(entry: object, key: DecisionKey) -> bool:
    kind = type(entry)
    if key.holds == "true or false":
        return kind is bool
    if key.holds in ("a number", "a list of numbers"):
        return kind is int or (kind is float and not key.whole)
    return kind is str


def _line_of(text: str, key: str, entry: object = "") -> int | None:
    """The line on which a key stands, or an entry after it; none without a text."""
    lines = text.splitlines()
    if not lines:
        return None
    found = re.compile(rf"""\s*\[*\s*["']?{re.escape(key)}["']?\s*[]=]""")
    at = next((n for n, line in enumerate(lines, 1) if found.match(line)), 1)
    if not entry:
        return at
    name = str(entry).partition(" = ")[0]
    return next((n for n, line in enumerate(lines[at - 1 :], at) if name in line), at)
