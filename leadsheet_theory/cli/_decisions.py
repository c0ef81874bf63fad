"""Decisions that last: what a file beside a chart, or in its folder, says of the parts.

``tune.toml`` beside ``tune.musicxml`` is for that tune, ``band.toml`` for all charts of
the folder.  A key is an option of the command without its dashes, and holds what would
be typed after it, so that both make the same parts.
"""

from __future__ import annotations

import argparse
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from attrs import frozen

from ..errors import TheoryError
from ..key import Key
from ..pages import LOOKS
from ..parts.systems import PAPERS
from ..proof.silence import Silence
from ._pages import staff_size
from ._readers import readers_asked
from ._say import DecisionError, UsageError
from ._symbols import PRINT_STYLES
from ._wishes import check_heading, name_asked, note_wish, octave_asked, root_wish

__all__ = ("BAND_FILE", "Decision", "Decisions", "decisions_for", "settled")

BAND_FILE: Final = "band.toml"
"""What the file for all charts of a folder is called."""

_Value = str | int | float


@frozen(order=False)
class Decision:
    """What a file says under one key, and on which line (from 1)."""

    key: str
    value: _Value
    file: Path
    line: int

    def wrong(self, error: TheoryError, /) -> DecisionError:
        """The error of a decision that no longer fits its chart."""
        return DecisionError(str(self.file), self.line, f"{self.key}: {error}")


@frozen(order=False)
class Decisions:
    """All that the files say of one chart, one decision a key (of those that hold
    lists, one an entry), the folder's first."""

    each: tuple[Decision, ...] = ()

    def text(self, key: str, /) -> str:
        """The text under a key; empty if there is none."""
        found = [str(each.value) for each in self.each if each.key == key]
        return found[-1] if found else ""

    def of(self, key: str, /) -> tuple[Decision, ...]:
        """The entries of a key that holds a list."""
        return tuple(each for each in self.each if each.key == key)


# ── What a file may say ──────────────────────────────────────────────────────────


@frozen(order=False)
class _Key:
    """A key: what it holds (`kind`), what an entry must pass, whether a band's file
    may have it, and the attribute of the options it stands for."""

    kind: type
    check: Callable[[str], object] = str
    band: bool = True
    option: str = ""
    listed: bool = False


def _one_of(names: Iterable[str]) -> Callable[[str], None]:
    known = tuple(names)

    def check(text: str) -> None:
        if text not in known:
            raise UsageError(f"{text!r} is none of {', '.join(known)}")

    return check


def _bars_in_a_system(text: str) -> None:
    if not 1 <= int(text) <= 16:
        raise UsageError(f"{text}: expected 1 to 16")


_KEYS: Final[Mapping[str, _Key]] = {
    "hits": _Key(str),
    "bass-line": _Key(str),
    "title": _Key(str, band=False),
    "composer": _Key(str),
    "key": _Key(str, Key.parse, band=False),
    "books": _Key(str, lambda name: readers_asked((name,), ()), option="book",
                  listed=True),
    "instruments": _Key(str, lambda name: readers_asked((), (name,)),
                        option="instrument", listed=True),
    "names": _Key(str, name_asked, option="name", listed=True),
    "octaves": _Key(str, octave_asked, option="octave", listed=True),
    "respell": _Key(str, root_wish, band=False, listed=True),
    "respell-note": _Key(str, note_wish, band=False, listed=True),
    "heading": _Key(str, check_heading),
    "hits-label": _Key(str),
    "solo-heading": _Key(str, check_heading),
    "style": _Key(str, _one_of(PRINT_STYLES)),
    "paper": _Key(str, _one_of(PAPERS)),
    "staff-size": _Key(float, lambda text: staff_size(float(text))),
    "look": _Key(str, _one_of(LOOKS)),
    "bars-per-system": _Key(int, _bars_in_a_system),
    "keep-stacked-chords": _Key(bool),
    "no-solo-page": _Key(bool),
    "silence": _Key(str, Silence.parse, listed=True),
}  # fmt: skip
"""The keys of a file, in the order of the guide."""

_SAID: Final = {
    str: "a text",
    int: "a number",
    float: "a number",
    bool: "true or false",
}


# ── Reading ──────────────────────────────────────────────────────────────────────


def decisions_for(chart: Path, /) -> Decisions:
    """What the files beside a chart say of it: the band's first, then its own.

    Raises:
        DecisionError: if a file is no TOML, has a key that is none of ours, or a value
            that can't be.
        OSError: if a file can't be read.
    """
    band, own = chart.with_name(BAND_FILE), chart.with_suffix(".toml")
    each = list(_read(band, band=True)) if band.is_file() else []
    if own != band and own.is_file():
        each += _read(own, band=False)
    return Decisions(tuple(each))


def _read(file: Path, *, band: bool) -> Iterator[Decision]:
    try:
        text = file.read_text("utf-8")
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        broken = re.search(r"line (\d+)", str(error))
        at = int(broken[1]) if broken else len(text.splitlines())
        what = re.sub(r" \(at .*\)$", "", str(error))
        raise DecisionError(str(file), at, f"not written as TOML: {what}") from None
    except UnicodeDecodeError as error:
        raise DecisionError(str(file), 1, str(error)) from None
    for name, held in table.items():
        line = _line_of(text, name)
        try:
            key = _key(name, band=band)
            entries = tuple(_entries(held, key))
        except UsageError as error:
            raise DecisionError(str(file), line, str(error)) from None
        for entry in entries:
            at = _line_of(text, name, entry) if key.listed else line
            try:
                key.check(str(entry))
            except (TheoryError, UsageError) as error:
                says = str(error).removeprefix(f"--{name} ")
                raise DecisionError(str(file), at, f"{name}: {says}") from None
            yield Decision(name, entry, file, at)


def _key(name: str, *, band: bool) -> _Key:
    key = _KEYS.get(name)
    if key is None:
        raise UsageError(f"no key called {name!r}: there are {', '.join(_KEYS)}")
    if band and not key.band:
        raise UsageError(
            f"{name} is for one tune: put it into the file of the tune's name"
        )
    return key


def _entries(held: object, key: _Key) -> Iterator[_Value]:
    """The values under a key, each of them of the type it holds."""
    if key.listed and isinstance(held, dict):  # names and octaves, as a table
        held = [f"{name} = {value}" for name, value in held.items()]
    if key.listed != isinstance(held, list):
        expected = "a list of texts" if key.listed else _SAID[key.kind]
        raise UsageError(f"{held!r} is not {expected}")
    for entry in held if isinstance(held, list) else [held]:
        fits = type(entry) is key.kind or (key.kind is float and type(entry) is int)
        if not fits or not isinstance(entry, (str, int, float)):
            raise UsageError(f"{entry!r} is not {_SAID[key.kind]}")
        yield entry


def _line_of(text: str, key: str, entry: object = "") -> int:
    """The line on which a key stands, or an entry after it."""
    lines = text.splitlines()
    found = re.compile(rf"""\s*\[*\s*["']?{re.escape(key)}["']?\s*[]=]""")
    at = next((n for n, line in enumerate(lines, 1) if found.match(line)), 1)
    if not entry:
        return at
    name = str(entry).partition(" = ")[0]
    return next((n for n, line in enumerate(lines[at - 1 :], at) if name in line), at)


# ── Using ────────────────────────────────────────────────────────────────────────


def settled(options: argparse.Namespace, decisions: Decisions, /) -> argparse.Namespace:
    """The options with what the files decide; what was typed wins.

    Wishes for chords, notes, names and octaves are taken one by one: those of the
    folder, of the tune, then those typed.  Of books, the tune's replace the folder's,
    and those typed replace both.
    """
    new = argparse.Namespace(**vars(options))
    for name, key in _KEYS.items():
        option = key.option or name.replace("-", "_")
        found = decisions.of(name)
        if not found or not hasattr(options, option):
            continue
        typed = option in options.typed
        if not key.listed:
            if not typed:
                setattr(new, option, found[-1].value)
        elif option not in ("book", "instrument"):
            values = [each.value for each in found]
            setattr(new, option, [*values, *getattr(options, option)])
        elif not options.typed & {"book", "instrument"}:
            last = _last_file(decisions)
            setattr(new, option, [e.value for e in found if e.file == last])
    return new


def _last_file(decisions: Decisions) -> Path:
    """The file that decides on the books: the tune's own, where it names any."""
    named = [*decisions.of("books"), *decisions.of("instruments")]
    return max(named, key=decisions.each.index).file
