"""A blank chart: from title, key, metre, pickup and form, ready to be filled in.

The form is said as players say it, stretch by stretch: ``A8`` is section A of eight
bars, ``4`` four bars without a letter, ``1:4`` a first ending of four bars; ``|:`` and
``:|`` are the repeat signs.  What has endings is repeated from the last ``|:``, else
from where the last repeat ended, else from the beginning (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from attrs import evolve, frozen

from .._doors import door
from ..errors import FormSyntaxError, MeterError
from ..key import Key, as_key
from ..rhythm.meter import Meter
from .endings import whole_endings
from .model import Bar, LeadSheet, Rest
from .signs import Barline, FormSigns

__all__ = ("FormStretch", "blank_sheet", "form_text", "parse_form")

_WORD: Final = re.compile(r"[^\s,]+(?:,\d[^\s,]*)*")
_SECTION: Final = re.compile(r"(?P<name>[^\W\d_][^\W\d_]*'*)?(?P<bars>\d{1,4})")
_ENDING: Final = re.compile(r"(?P<passes>\d{1,2}(?:[-,]\d{1,2})*):(?P<bars>\d{1,4})")
_END: Final = re.compile(r":\|(?P<times>\d{1,2})?")
_EXPECTED: Final = (
    "a section and its bars (A8), bars (4), an ending (1:4), or a repeat sign, |: or :|"
)


@frozen(order=False, kw_only=True)
class FormStretch:
    """Some bars of a form: those of a section or of an ending, or what follows.

    `repeat_start` says that a repeat begins with them, `repeat_end` how often in all
    they are played where they end one (0 where they don't).
    """

    bars: int
    section: str = ""
    ending: tuple[int, ...] = ()
    repeat_start: bool = False
    repeat_end: int = 0


@door
def parse_form(text: str, /) -> tuple[FormStretch, ...]:
    """The stretches of a form that is said in a line.

    Raises:
        FormSyntaxError: if a word is none of the form, with its place in the text.

    >>> [(each.section, each.bars, each.ending) for each in parse_form("A4 1:4 2:4 B8")]
    [('A', 4, ()), ('', 4, (1,)), ('', 4, (2,)), ('B', 8, ())]
    >>> parse_form("A8 1:4 2;4")
    Traceback (most recent call last):
    leadsheet_theory.errors.FormSyntaxError: '2;4' is no stretch of a form: expected a
    section and its bars (A8), bars (4), an ending (1:4), or a repeat sign, |: or :|
      A8 1:4 2;4
             ^^^
    """
    reader = _Reader(text)
    for word in _WORD.finditer(text):
        reader.read(word)
    return reader.done()


class _Reader:
    """The stretches read so far, and where the next repeat goes back to."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.found: list[FormStretch] = []
        self.start = 0  # the stretch that a repeat sign leads back to
        self.opened = False
        self.in_endings = False

    def read(self, word: re.Match[str]) -> None:
        said = word[0]
        if said == "|:":
            self._leave_endings(word)
            if self.opened:
                raise self._wrong(word, "a repeat begins twice", "bars between")
            self.opened, self.start = True, len(self.found)
        elif end := _END.fullmatch(said):
            self._repeat(word, int(end["times"] or 2))
        elif ending := _ENDING.fullmatch(said):
            self._ending(word, ending)
        elif (section := _SECTION.fullmatch(said)) and int(section["bars"]):
            self._leave_endings(word)
            name = section["name"] or ""
            self.found.append(FormStretch(bars=int(section["bars"]), section=name))
        else:
            raise self._wrong(word, f"{said!r} is no stretch of a form", _EXPECTED)

    def _repeat(self, word: re.Match[str], times: int) -> None:
        if self.in_endings:
            raise self._wrong(word, "endings repeat by themselves", "no :| after them")
        if self.start >= len(self.found):
            raise self._wrong(word, "a repeat of nothing", "bars before it")
        if times < 2:
            raise self._wrong(word, f"a repeat played {times} times", "2 or more")
        self.found[-1] = evolve(self.found[-1], repeat_end=times)
        self._close()

    def _ending(self, word: re.Match[str], ending: re.Match[str]) -> None:
        passes = tuple(_passes(ending["passes"]))
        before = self.found[-1] if self.found else None
        played = before.ending if before is not None and self.in_endings else ()
        due = played[-1] + 1 if played else 1
        if before is None or (not played and self.start >= len(self.found)):
            raise self._wrong(word, "an ending of nothing", "bars before it")
        if passes != tuple(range(due, due + len(passes))) or not int(ending["bars"]):
            raise self._wrong(
                word, f"{word[0]!r} is not the next ending", f"one from {due}:, of bars"
            )
        if played:  # the ending before leads back
            self.found[-1] = evolve(before, repeat_end=due)
        self.found.append(FormStretch(bars=int(ending["bars"]), ending=passes))
        self.in_endings = True

    def _leave_endings(self, word: re.Match[str]) -> None:
        """After the last ending the next repeat goes back to what follows."""
        if self.in_endings:
            if self.found[-1].ending[-1] == 1:
                raise self._wrong(word, "a first ending alone", "a second one, 2:…")
            self._close()

    def _close(self) -> None:
        """Mark where the repeat goes back to that ends now."""
        self.found[self.start] = evolve(self.found[self.start], repeat_start=True)
        self.opened = self.in_endings = False
        self.start = len(self.found)

    def done(self) -> tuple[FormStretch, ...]:
        end = re.compile(r"$").search(self.text)
        assert end is not None
        if not self.found:
            raise self._wrong(end, "a form without bars", _EXPECTED)
        self._leave_endings(end)
        if self.opened:
            raise self._wrong(end, "a repeat without an end", ":|, or endings")
        return tuple(self.found)

    def _wrong(
        self, word: re.Match[str], problem: str, expected: str
    ) -> FormSyntaxError:
        start, end = word.span()
        return FormSyntaxError(
            problem, text=self.text, start=start, end=end, expected=expected
        )


def _passes(text: str) -> Iterator[int]:
    """The passes of an ending: ``1``, ``1,2`` or ``1-3``."""
    for each in text.split(","):
        first, *last = map(int, each.split("-"))
        yield from range(first, (last[-1] if last else first) + 1)


@door
def blank_sheet(
    title: str,
    /,
    *,
    form: str | Sequence[FormStretch],
    key: Key | str = "C",
    meter: Meter | str = "4/4",
    pickup: Fraction | int = 0,
    composer: str = "",
) -> LeadSheet:
    """A chart with nothing in its bars but rests.

    Args:
        title: what it is called.
        form: its form, as :func:`parse_form` reads it, or its stretches.
        key: its concert key.
        meter: its metre.
        pickup: how many beats of the metre's printed unit stand before bar 1.
        composer: who wrote it.

    Raises:
        FormSyntaxError: if the form can't be read.
        MeterError: if the pickup is no part of a bar.

    >>> tune = blank_sheet("Low Tide", form="A8 B4 1:4 2:4", key="Eb", pickup=1)
    >>> print(tune, form_text(tune.bars), sep="; ")
    Low Tide (21 bars, Eb major, 4/4); |: A8 B4 1:4 2:4
    """
    stretches = parse_form(form) if isinstance(form, str) else tuple(form)
    key = as_key(key)
    meter = Meter.parse(meter) if isinstance(meter, str) else meter
    before = Fraction(pickup) * meter.unit
    if not 0 <= before < meter.bar_length:
        raise MeterError(
            f"a pickup of {pickup} beats: expected less than a bar of {meter}",
            beats=meter.beats,
            beat_type=meter.beat_type,
        )
    signs = list(_signs(stretches))
    bars = [
        _blank_bar(number, meter.bar_length, key, meter, each)
        for number, each in enumerate(signs, start=1)
    ]
    if before:
        bars.insert(0, _blank_bar(0, before, key, meter, FormSigns()))
    return LeadSheet(title=title, bars=tuple(bars), composer=composer)


def _blank_bar(
    number: int, length: Fraction, key: Key, meter: Meter, form: FormSigns
) -> Bar:
    return Bar(
        number=number,
        key=key,
        meter=meter,
        length=length,
        melody=(Rest(Fraction(0), length, whole_bar=True),),
        form=form,
    )


def _signs(stretches: Sequence[FormStretch]) -> Iterator[FormSigns]:
    """The signs of each bar; sections and last endings end with a double bar line."""
    last = len(stretches) - 1
    for at, stretch in enumerate(stretches):
        following = None if at == last else stretches[at + 1]
        line: Barline = "regular"
        if not stretch.repeat_end:
            if following is None:
                line = "final"
            elif following.section or (stretch.ending and not following.ending):
                line = "double"
        for bar in range(1, stretch.bars + 1):
            ends = bar == stretch.bars
            yield FormSigns(
                section=stretch.section if bar == 1 else "",
                repeat_start=stretch.repeat_start and bar == 1,
                repeat_end=stretch.repeat_end if ends else 0,
                ending=stretch.ending,
                ending_starts=bool(stretch.ending) and bar == 1,
                barline=line if ends else "regular",
            )


# ── Back to words ────────────────────────────────────────────────────────────────


@door
def form_text(bars: Sequence[Bar], /) -> str:
    """The form of written bars, as :func:`parse_form` reads it: letters, endings and
    repeat signs; the pickup and jumps are no part of it.

    >>> form_text(blank_sheet("Rope", form="A4 1:4 2:4 B8 :|3 C12").bars)
    '|: A4 1:4 2:4 |: B8 :|3 C12'
    """
    words = []
    counted = [bar for bar in whole_endings(bars) if not bar.is_pickup]
    for _, stretch in groupby(enumerate(counted), _Stretches(counted)):
        inside = [bar for _, bar in stretch]
        form = inside[0].form
        if form.repeat_start:
            words.append("|:")
        name = form.section
        if form.ending:
            name = f"{','.join(map(str, form.ending))}:"
        words.append(f"{name}{len(inside)}")
        times = inside[-1].form.repeat_end
        if times and not form.ending:
            words.append(":|" if times == 2 else f":|{times}")
    return " ".join(words)


class _Stretches:
    """The number of the stretch that a bar belongs to."""

    def __init__(self, bars: Sequence[Bar]) -> None:
        self.bars = bars
        self.number = 0

    def __call__(self, place: tuple[int, Bar]) -> int:
        index, bar = place
        before = self.bars[index - 1].form if index else None
        if before is not None and (
            bar.form.section
            or bar.form.repeat_start
            or before.repeat_end
            or bar.form.ending != before.ending
        ):
            self.number += 1
        return self.number
