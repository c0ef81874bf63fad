"""Form: in which order the written bars are played.

Repeats, ending brackets, *da capo*, *dal segno*, *fine*, *to coda* and *coda*:

- An end repeat with no start goes back to the beginning (LearnMusicTheory.net,
  *High-Yield Theory* 1.8), a later one to the place after the one before (common
  practice, no source).
- One ending bracket a pass, whatever their number; the last one goes on
  (C. Schmidt-Jones, *Understanding Basic Music Theory*, "Repeats and Other
  Musical Road Map Signs").
- ``x3`` means three passes in all (*Music Theory* v1.0, open textbook, 1.3).
- D.C. and D.S. act the first time they are met; *to coda* and *fine* only after
  that (W3C MusicXML 4.0, type ``sound``).  After the jump repeats are not taken
  again and first endings are skipped (LearnMusicTheory.net 1.8) unless the chart
  says "with repeats".
- A repeat that was not played before the jump is new music and is taken; *to
  coda* in a repeat with no jump anywhere acts on its last pass (common practice,
  no source).
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from typing import Final, Literal

from attrs import define, evolve, field, frozen

from .._doors import door
from .findings import Finding, Severity
from .model import Bar
from .signs import Jump

__all__ = (
    "MOST_BARS_PLAYED",
    "PlayOrder",
    "Section",
    "draw_out_endings",
    "play_order",
    "sections",
)

MOST_BARS_PLAYED: Final = 20_000
"""Where playing out stops: a chart this long has a misread repeat count."""


@frozen(order=False)
class PlayOrder:
    """The bars in the order they are played.

    `indices` are places in the sequence of written bars, from 0, not bar
    numbers; `problems` name the signs that contradict one another, with the
    reading that was taken.  `jumps` are the places in `indices`, from 0, of the bars
    that a *da capo* or *dal segno* leads to.
    """

    indices: tuple[int, ...]
    problems: tuple[Finding, ...] = ()
    jumps: tuple[int, ...] = ()


@door
def play_order(bars: Sequence[Bar], /) -> PlayOrder:
    """Play out repeats, endings and jumps.

    Never raises: where the signs contradict one another the nearest sensible
    order is taken and the problem told, with the number of its bar.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.signs import FormSigns
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, **signs):
    ...     return Bar(number=number, key=Key.parse("F major"), meter=Meter(4, 4),
    ...                length=Fraction(4),
    ...                form=FormSigns(**signs))
    >>> chart = (bar(1, repeat_start=True),
    ...          bar(2, ending=(1,), ending_starts=True, repeat_end=2),
    ...          bar(3, ending=(2,), ending_starts=True))
    >>> [chart[index].number for index in play_order(chart).indices]
    [1, 2, 1, 3]
    >>> print(*play_order((bar(1), bar(2, jump=Jump("segno")))).problems)
    bar 2: D.S., but no segno before it: read as D.C.
    """
    if not any(bar.form.leads for bar in bars):
        return PlayOrder(tuple(range(len(bars))))
    problems: list[Finding] = []
    route = _Route(bars=bars, repeats=_read_repeats(bars, problems), problems=problems)
    indices = route.walk()
    _report_unplayed(bars, indices, problems)
    problems.sort(key=lambda problem: problem.bar or 0)
    return PlayOrder(tuple(indices), tuple(problems), tuple(route.jumps))


@door
def draw_out_endings(bars: Sequence[Bar], /) -> tuple[Bar, ...]:
    """The bars with each ending bracket that stops short of its end repeat drawn out
    to it, as :func:`play_order` reads it (and tells of it); nothing else changes.

    >>> from fractions import Fraction
    >>> from leadsheet_theory.key import Key
    >>> from leadsheet_theory.leadsheet.signs import FormSigns
    >>> from leadsheet_theory.rhythm import Meter
    >>> def bar(number, **signs):
    ...     return Bar(number=number, key=Key.parse("C"), meter=Meter(4, 4),
    ...                length=Fraction(4),
    ...                form=FormSigns(**signs))
    >>> first = {"ending": (1,), "ending_starts": True}
    >>> second = {"ending": (2,), "ending_starts": True}
    >>> tune = (bar(1), bar(2, **first), bar(3, repeat_end=2), bar(4, **second))
    >>> [each.form.ending for each in draw_out_endings(tune)]
    [(), (1,), (1,), (2,)]
    """
    if not any(bar.form.ending for bar in bars):
        return tuple(bars)
    problems: list[Finding] = []
    brackets = _read_brackets(bars, problems)
    if not problems:
        return tuple(bars)
    whole = list(bars)
    for bracket in brackets:
        for index in range(bracket.first, bracket.last + 1):
            if not whole[index].form.ending:
                whole[index] = evolve(
                    whole[index], form=evolve(whole[index].form, ending=bracket.passes)
                )
    return tuple(whole)


_Rule = Literal["repeat", "ending", "jump"]


def _problem(
    rule: _Rule, bar: Bar, message: str, reading: str, severity: Severity = "warning"
) -> Finding:
    return Finding(
        rule=rule, severity=severity, message=f"{message}: {reading}", bar=bar.number
    )


@frozen(order=False)
class _Bracket:
    """An ending bracket: its first and last bar and the passes that take it."""

    first: int
    last: int
    passes: tuple[int, ...]


@define(eq=False)
class _Repeat:
    """A stretch that is played more than once."""

    start: int
    end: int
    passes: int
    brackets: list[_Bracket] = field(factory=list)
    backs: set[int] = field(factory=set)


def _read_repeats(bars: Sequence[Bar], problems: list[Finding]) -> list[_Repeat]:
    """Pair the repeat signs and hang the brackets on them."""
    pairing = _Pairing(bars=bars, problems=problems)
    pairing.read({each.first: each for each in _read_brackets(bars, problems)})
    problems.extend(
        _problem(
            "repeat", bars[start], "a start repeat that nothing closes", "left out"
        )
        for start in pairing.waiting
    )
    for repeat in pairing.repeats:
        _settle_brackets(bars, repeat, problems)
    repeats = [repeat for repeat in pairing.repeats if repeat.passes > 1]
    _report_nested(bars, repeats, problems)
    return repeats


@define(eq=False, kw_only=True)
class _Pairing:
    """The repeat signs, paired from the first bar on.

    `waiting` are the starts that no end repeat has closed yet, `back_to` is where an
    end repeat without a start goes, and `chain` the repeat whose brackets are being
    read.
    """

    bars: Sequence[Bar]
    problems: list[Finding]
    repeats: list[_Repeat] = field(factory=list)
    waiting: list[int] = field(factory=list)
    back_to: int = 0
    chain: _Repeat | None = None

    def read(self, brackets: Mapping[int, _Bracket]) -> None:
        """Take every bar, with the bracket that begins there."""
        for index, bar in enumerate(self.bars):
            bracket = brackets.get(index)
            if self.chain is not None:
                self._leave_chain(self.chain, index, bracket)
            if bar.form.repeat_start:
                self.waiting.append(index)
            if bracket is not None:
                self._hang(bracket)
            if bar.form.repeat_end == 1:
                self._drop_single(bar)
            elif bar.form.repeat_end:
                self._close(index, bar.form.repeat_end)

    def _leave_chain(self, chain: _Repeat, index: int, here: _Bracket | None) -> None:
        """Past its last bracket a repeat is over."""
        if index > chain.end and (here is None or 1 in here.passes):
            self.back_to, self.chain = chain.end + 1, None

    def _hang(self, bracket: _Bracket) -> None:
        """Hang a bracket on the repeat being read, or begin one with it."""
        if self.chain is None:
            under = self.bars[bracket.first : bracket.last + 1]
            if any(bar.form.repeat_end for bar in under):
                self._report_no_start(bracket.last)
            self.chain = _Repeat(self._start(), bracket.last, 0)
            self.repeats.append(self.chain)
        self.chain.brackets.append(bracket)
        self.chain.end = bracket.last

    def _drop_single(self, bar: Bar) -> None:
        self.problems.append(
            _problem("repeat", bar, "a repeat of one pass", "read as no repeat", "note")
        )
        del self.waiting[-1:]

    def _close(self, index: int, passes: int) -> None:
        """An end repeat: under a bracket, or of a repeat without brackets."""
        chain, waiting = self.chain, self.waiting
        if chain is not None and not (waiting and waiting[-1] > chain.start):
            chain.backs.add(index)
            return
        self._report_no_start(index)
        self.repeats.append(_Repeat(self._start(), index, passes, backs={index}))
        self.back_to = index + 1

    def _start(self) -> int:
        return self.waiting.pop() if self.waiting else self.back_to

    def _report_no_start(self, index: int) -> None:
        """Tell of an end repeat that has to guess where it goes back to."""
        if self.back_to and not self.waiting:
            self.problems.append(
                _problem(
                    "repeat",
                    self.bars[index],
                    "an end repeat with no start after the one before",
                    f"read as back to bar {self.bars[self.back_to].number}",
                )
            )


def _read_brackets(bars: Sequence[Bar], problems: list[Finding]) -> list[_Bracket]:
    """The ending brackets in written order; one that stops short of its end repeat
    is drawn out to it where the next ending follows there."""
    found: list[_Bracket] = []
    for index, bar in enumerate(bars):
        if not bar.form.ending:
            continue
        before = found[-1] if found and not bar.form.ending_starts else None
        if before and (before.last, before.passes) == (index - 1, bar.form.ending):
            found[-1] = _Bracket(before.first, index, bar.form.ending)
        else:
            found.append(_Bracket(index, index, bar.form.ending))
    for place, (bracket, after) in enumerate(pairwise(found)):
        last = after.first - 1
        gap = bars[bracket.last : last]
        if (
            bracket.last < last
            and after.passes[0] == bracket.passes[-1] + 1
            and bars[last].form.repeat_end
            and not any(bar.form.repeat_end or bar.form.repeat_start for bar in gap)
        ):
            found[place] = _Bracket(bracket.first, last, bracket.passes)
            problems.append(
                _problem(
                    "ending",
                    bars[bracket.first],
                    f"ending {bracket.passes[-1]} stops short of its end repeat",
                    f"drawn out to bar {bars[last].number}",
                )
            )
    return found


def _settle_brackets(
    bars: Sequence[Bar], repeat: _Repeat, problems: list[Finding]
) -> None:
    """Count the passes of a repeat with brackets and mend their numbers."""
    brackets = repeat.brackets
    if not brackets:
        return
    first_bar = bars[brackets[0].first]
    if len(brackets) == 1 and not repeat.backs:
        problems.append(
            _problem(
                "ending",
                first_bar,
                "an ending without an end repeat",
                "played as it stands",
                "error",
            )
        )
        repeat.passes = 1
        return
    numbers = sorted(number for bracket in brackets for number in bracket.passes)
    if numbers != list(range(1, len(numbers) + 1)):
        problems.append(
            _problem(
                "ending",
                first_bar,
                "endings numbered " + ", ".join(map(str, numbers)),
                "taken in written order",
                "error",
            )
        )
        repeat.brackets = brackets = [
            _Bracket(bracket.first, bracket.last, (place,))
            for place, bracket in enumerate(brackets, start=1)
        ]
        numbers = list(range(1, len(brackets) + 1))
    repeat.passes = numbers[-1]
    if len(brackets) == 1:
        repeat.passes += 1
    # The bracket of the last pass goes on; every other one goes back.
    for bracket in brackets[:-1]:
        if not any(bracket.first <= back <= bracket.last for back in repeat.backs):
            repeat.backs.add(bracket.last)
            problems.append(
                _problem(
                    "ending",
                    bars[bracket.last],
                    "an ending that another one follows has no end repeat",
                    "read as one",
                    "error",
                )
            )


def _report_nested(
    bars: Sequence[Bar], repeats: Sequence[_Repeat], problems: list[Finding]
) -> None:
    in_order = sorted(repeats, key=lambda repeat: (repeat.start, -repeat.end))
    problems.extend(
        _problem(
            "repeat",
            bars[outer.start],
            "a repeat with another one inside",
            "the inner one is played out on every pass",
        )
        for outer, inner in pairwise(in_order)
        if inner.end <= outer.end
    )


@define(eq=False, kw_only=True)
class _Route:
    """One reading of a chart from its first bar to its end."""

    bars: Sequence[Bar]
    repeats: list[_Repeat]
    problems: list[Finding]
    passes: dict[_Repeat, int] = field(factory=dict)
    finished: set[_Repeat] = field(factory=set)
    has_jumps: bool = field(init=False)
    jump: Jump | None = None
    jumped_from: int = -1
    in_coda: bool = False
    jumps: list[int] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        self.has_jumps = any(bar.form.jump for bar in self.bars)

    def walk(self) -> list[int]:
        """The indices in playing order."""
        bars, count = self.bars, len(self.bars)
        starting = {repeat.start: repeat for repeat in self.repeats}
        backs = {back: repeat for repeat in self.repeats for back in repeat.backs}
        brackets = {
            bracket.first: (repeat, bracket)
            for repeat in self.repeats
            for bracket in repeat.brackets
        }
        self._check_codas()
        jumped: set[int] = set()
        order: list[int] = []
        index, came_back = 0, False
        while index < count:
            if not came_back and index in starting:
                self._enter(starting[index])
            came_back = False
            if index in brackets:
                repeat, bracket = brackets[index]
                if self._pass_of(repeat) not in bracket.passes:
                    index = bracket.last + 1
                    continue
            if self._reaches_segno(index, order):
                index = self._coda_after(index, 1)
                if index < 0:
                    break
                self.in_coda = True
            if len(order) == MOST_BARS_PLAYED:
                self._report(index, f"more than {MOST_BARS_PLAYED} bars", "cut there")
                break
            order.append(index)
            form = bars[index].form
            if form.fine and self._fine_acts(index):
                break
            repeat_here = backs.get(index)
            if repeat_here is not None and self._goes_back(repeat_here):
                index, came_back = repeat_here.start, True
            elif form.to_coda or form.jump:
                index = self._onward(index, jumped, len(order))
            else:
                index += 1
        return order

    def _pass_of(self, repeat: _Repeat) -> int:
        """Which pass this is, of a repeat that was entered past its start too."""
        if repeat not in self.passes:
            self._enter(repeat)
        return self.passes[repeat]

    def _goes_back(self, repeat: _Repeat) -> bool:
        """Whether a repeat is taken once more; if so its next pass begins."""
        if self._pass_of(repeat) >= repeat.passes:
            return False
        self.passes[repeat] += 1
        if self.passes[repeat] == repeat.passes:
            self.finished.add(repeat)
        return True

    def _onward(self, index: int, jumped: set[int], played: int) -> int:
        """The bar after one whose repeats are done: the coda, where its jump leads the
        first time, or the next."""
        form = self.bars[index].form
        coda = self._coda_after(index) if form.to_coda else -1
        if coda > index and self._to_coda_acts(index):
            self.in_coda = True
            return coda
        jump = form.jump
        if jump is not None and jump.after_solos and self._own_jump_waits(jumped):
            return index + 1
        if jump is not None and index not in jumped:
            jumped.add(index)
            self.jumps.append(played)
            return self._take(jump, index)
        return index + 1

    def _own_jump_waits(self, jumped: Collection[int]) -> bool:
        """Whether a jump of the head itself is still to be taken."""
        return any(
            bar.form.jump is not None and not bar.form.jump.after_solos
            for index, bar in enumerate(self.bars)
            if index not in jumped
        )

    def _report(
        self, index: int, message: str, reading: str, severity: Severity = "error"
    ) -> None:
        bar = self.bars[index]
        self.problems.append(_problem("jump", bar, message, reading, severity))

    def _first_pass(self, repeat: _Repeat) -> int:
        """1, or the last pass where repeats are not taken again."""
        taken_once = (
            self.jump is not None
            and not self.jump.with_repeats
            and repeat in self.finished
            and not any(self.bars[at].form.repeat_after_jump for at in repeat.backs)
        )
        return repeat.passes if taken_once else 1

    def _enter(self, repeat: _Repeat) -> None:
        self.passes[repeat] = self._first_pass(repeat)

    def _on_last_pass(self, index: int) -> bool:
        """Whether no repeat around a bar is still to come back; one that the jump
        was made from inside does not count."""
        return all(
            self.passes.get(repeat, repeat.passes) == repeat.passes
            for repeat in self.repeats
            if repeat.start <= index <= repeat.end
            and not repeat.start <= self.jumped_from <= repeat.end
        )

    def _reaches_segno(self, index: int, order: Sequence[int]) -> bool:
        """Whether *D.C. al Segno* has come to the segno."""
        return (
            self.jump is not None
            and self.jump.until == "segno"
            and not self.in_coda
            and self.bars[index].form.segno
            and order[-1] != self.jumped_from
        )

    def _fine_acts(self, index: int) -> bool:
        ends = self.jump is not None and self.jump.until in ("", "fine")
        after_jump = ends or (self.jump is not None and self.in_coda)
        return after_jump and self._on_last_pass(index)

    def _to_coda_acts(self, index: int) -> bool:
        if self.in_coda:
            return False
        if self.jump is not None:
            return (
                self.jump.until in ("", "coda")
                and self.bars[index].form.coda_number == self.jump.coda
                and self._on_last_pass(index)
            )
        return not self.has_jumps and (
            any(repeat.start <= index <= repeat.end for repeat in self.repeats)
            and self._on_last_pass(index)
        )

    def _take(self, jump: Jump, index: int) -> int:
        """Where a jump goes; repeats that it lands inside are set to their pass."""
        self.jump, self.jumped_from, self.in_coda = jump, index, False
        target = 0
        if jump.back_to == "segno":
            signs = [at for at in range(index + 1) if self.bars[at].form.segno]
            if signs:
                target = signs[-1]
            else:
                self._report(index, "D.S., but no segno before it", "read as D.C.")
        name = "D.C." if jump.back_to == "capo" else "D.S."
        if jump.until == "fine" and not any(bar.form.fine for bar in self.bars):
            self._report(index, f"{name} al fine, but no fine", "played to the end")
        if jump.until == "segno" and not any(bar.form.segno for bar in self.bars):
            self._report(index, f"{name} al segno, but no segno", "played to the end")
        if jump.until == "coda" and not any(bar.form.to_coda for bar in self.bars):
            self._report(index, f"{name} al coda, but no to coda", "played to the end")
        for repeat in self.repeats:
            if repeat.start < target <= repeat.end:
                self._enter(repeat)
        return target

    def _coda_after(self, index: int, number: int = 0) -> int:
        """The bar where the coda starts that a bar leads to, or the one of a number;
        -1 for none."""
        number = number or self.bars[index].form.coda_number
        return next(
            (
                at
                for at in range(index + 1, len(self.bars))
                if (form := self.bars[at].form).coda and form.coda_number == number
            ),
            -1,
        )

    def _check_codas(self) -> None:
        """Tell what is wrong with codas and fines."""
        bars = self.bars
        leaving = [index for index, bar in enumerate(bars) if bar.form.to_coda]
        codas = [index for index, bar in enumerate(bars) if bar.form.coda]
        if leaving and not codas:
            self._report(leaving[0], "to coda, but no coda", "played on")
        if codas and not leaving and not self.has_jumps:
            self._report(
                codas[0], "a coda that nothing leads to", "played on", "warning"
            )
        if not self.has_jumps:
            for index, bar in enumerate(bars[:-1]):
                if bar.form.fine:
                    self._report(
                        index, "fine, but no D.C. or D.S.", "played on", "warning"
                    )


def _report_unplayed(
    bars: Sequence[Bar], indices: Sequence[int], problems: list[Finding]
) -> None:
    """Tell of bars that the route never reaches."""
    played = set(indices)
    missed = [index for index in range(len(bars)) if index not in played]
    for place, index in enumerate(missed):
        if place == 0 or missed[place - 1] != index - 1:
            last = index
            while last + 1 < len(bars) and last + 1 not in played:
                last += 1
            first_number, last_number = bars[index].number, bars[last].number
            which = (
                "a bar that is" if index == last else f"bars up to {last_number} are"
            )
            problems.append(
                Finding(
                    rule="jump",
                    severity="warning",
                    message=f"{which} never played",
                    bar=first_number,
                )
            )


@frozen(order=False)
class Section:
    """A section of the form: its letter (or name, ``""`` for none), the index of
    its first bar and the index just past its last."""

    name: str
    start: int
    end: int


@door
def sections(bars: Sequence[Bar], /) -> tuple[Section, ...]:
    """The sections as written: what stands from one letter to the next.

    Bars before the first letter (an introduction, a pickup) are a section
    without a name.
    """
    starts = [index for index, bar in enumerate(bars) if bar.form.section or index == 0]
    return tuple(
        Section(bars[start].form.section, start, end)
        for start, end in pairwise([*starts, len(bars)])
    )
