"""The signs of form: all that a file says of where the reading goes.

Bar lines, repeats, endings, segno and coda, the words and the playback data of jumps,
the names of sections: :class:`FormReader` gathers them measure by measure as the file
has them, and :func:`signs_of` says where they act.  A bracket spans its bars, a left
bar line belongs to the bar before, a coda sign is either the place to leave or the
place to arrive, and a jump given only for playback goes as far as the signs allow.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final
from xml.etree.ElementTree import Element

from attrs import evolve

from ...leadsheet.signs import NO_SIGNS, Barline, FormSigns, Jump, Until
from .._vocabulary import BAR_STYLES
from ._form_words import FormWords, ending_numbers, form_words
from ._report import Report
from ._values import Number

__all__ = ("FormReader", "RawSigns", "signs_of")

_LETTERS: Final = "ABCDEFGH"
_SOUND_JUMPS: Final = {"dacapo": Jump("capo"), "dalsegno": Jump("segno")}


# ── Measure by measure ───────────────────────────────────────────────────────────


class RawSigns:
    """The signs of one measure as the file has them; places are in ticks.  The defaults
    stand for silence.

    `times` are words such as *3x*; `open_jump` is a jump of which the file does not say
    how far it goes, as the playback data don't; `letter` is one that stands unframed at
    the start; `late_section` is named within the bar, at `late_place`; `left_over` are
    words that lead nowhere, to be printed.
    """

    section: str = ""
    late_section: str = ""
    late_place: Number = 0
    repeat_start: bool = False
    repeat_end: int = 0
    repeat_after_jump: bool = False
    times: int = 0
    ending_start: tuple[int, ...] = ()
    ending_stop: bool = False
    barline: Barline = "regular"
    left_barline: Barline = "regular"
    segno: Number | None = None
    coda: Number | None = None
    coda_number: int = 0
    arrives: bool = False
    to_coda: bool = False
    to_solos: bool = False
    fine: bool = False
    jump: Jump | None = None
    to_ending: bool = False
    open_jump: Jump | None = None
    letter: str = ""
    left_over: str = ""

    def take(self, other: RawSigns) -> None:
        """Take over the signs that only another part has here."""
        for name, sign in vars(other).items():
            if getattr(self, name) == getattr(RawSigns, name):
                setattr(self, name, sign)


class FormReader:
    """Reads the signs of form of one part into `signs`, those of the measure it
    stands in."""

    __slots__ = ("_before", "_repeat_next", "report", "signs")

    def __init__(self, report: Report) -> None:
        self.report = report
        self.signs = RawSigns()
        self._before: RawSigns | None = None
        self._repeat_next = False

    def start(self, *, first: bool) -> RawSigns:
        """Go to the next measure, the `first` one or another; its signs."""
        self._before = None if first else self.signs
        self.signs = RawSigns()
        if self._repeat_next:
            self.signs.repeat_start = True
            self._repeat_next = False
        return self.signs

    def sign(self, sign: str, place: Number, *, beside: str = "") -> bool:
        """A ``segno`` or ``coda`` at a place in the bar, and the words beside it;
        whether these are part of it."""
        if sign == "segno":
            self.signs.segno = place
            return False
        low = beside.lower().strip(" .:")
        said = form_words(beside)
        if low == "to" or (said is not None and said.kind == "to-coda"):
            self.signs.to_coda = True
            if said is not None:
                self._number(said)
            return True
        self.signs.coda = place
        if low in ("1", "2"):
            self.signs.coda_number = int(low)
        return low in ("1", "2", "coda")

    def _number(self, said: FormWords) -> None:
        if said.coda > 1:
            self.signs.coda_number = said.coda

    def section(self, name: str, place: Number = 0) -> None:
        """The name of a section, at a place in the bar."""
        if place and not self.signs.late_section:
            self.signs.late_section, self.signs.late_place = name, place
        elif self.signs.section and name != self.signs.section:
            self.report.unread("rehearsal", f"{name[:40]!r}, a second section name")
        else:
            self.signs.section = name

    def words(self, text: str, place: Number, *, enclosed: bool) -> str | None:
        """Words at a place: what is left of them to print, None if all is (they say
        nothing of the form)."""
        said = form_words(text, enclosed=enclosed)
        if said is None and place == 0 and text in _LETTERS:
            self.signs.letter = text
            return ""
        if said is None:
            return None
        signs = self.signs
        if said.kind == "jump":
            signs.to_ending = signs.to_ending or said.to_ending
            if signs.jump is None:
                signs.jump = said.jump
            elif signs.jump != said.jump:
                self.report.unread("words", f"{text[:40]!r}, a second jump in the bar")
        elif said.kind == "fine":
            signs.fine = True
        elif said.kind == "to-solos":
            signs.to_solos = True
        elif said.kind == "to-coda":
            signs.to_coda = True
            self._number(said)
        elif said.kind == "times":
            signs.times = said.times
            signs.fine = signs.fine or said.fine
            signs.jump = signs.jump or said.jump
        elif said.kind == "section":
            known = signs.late_section if place else signs.section
            if known and not enclosed:
                return None
            self.section(said.rest, place)
            return ""
        else:
            self.sign(said.kind, place)
            self._number(said)
        return said.rest

    def sound(self, name: str, value: str, place: Number) -> bool:
        """One thing that a ``sound`` says; whether it is one of form."""
        signs = self.signs
        if name in _SOUND_JUMPS:
            if signs.open_jump is None and value != "no":
                # how far it goes is known when the whole part has been read
                signs.open_jump = _SOUND_JUMPS[name]
        elif name == "fine":
            signs.fine = signs.fine or value != "no"
        elif name == "tocoda":
            signs.to_coda = True
        elif name == "segno" or name == "coda":
            self.sign(name, place)
            # playback data name the place to arrive
            signs.arrives = signs.arrives or name == "coda"
        elif name == "forward-repeat" and value == "yes":
            signs.repeat_start = True
        else:
            return False
        return True

    def barline(self, element: Element, end: Number) -> None:
        """Read a ``barline``; `end` is where the measure ends, so far."""
        report = self.report
        location = element.get("location", "right")
        if location == "middle":
            report.unread("barline", "a bar line within the bar")
            return
        left = location == "left"
        for child in element:
            tag = child.tag
            if tag == "bar-style":
                self._bar_style((child.text or "").strip(), left)
            elif tag == "repeat":
                self._repeat(child, left)
            elif tag == "ending":
                self._ending(child)
            elif tag == "segno" or tag == "coda":
                self.sign(tag, 0 if left else end)
            else:
                report.unread(tag)

    def _bar_style(self, name: str, left: bool) -> None:
        style = BAR_STYLES.get(name)
        if style is None:
            self.report.unread("bar-style", name[:20])
        elif left:
            self.signs.left_barline = style
        else:
            self.signs.barline = style

    def _repeat(self, element: Element, left: bool) -> None:
        """A repeat sign; at the wrong edge of a bar it belongs to the bar beside."""
        direction = element.get("direction")
        if direction == "forward" and left:
            self.signs.repeat_start = True
        elif direction == "forward":
            self._repeat_next = True
        elif direction == "backward":
            signs = self._before if left and self._before is not None else self.signs
            signs.repeat_after_jump = element.get("after-jump") == "yes"
            signs.repeat_end = self._passes(element)
        else:
            raise self.report.error(
                f"direction {(direction or '')[:20]!r}: expected forward or backward",
                "repeat",
            )

    def _passes(self, element: Element) -> int:
        """How often in all the music before a backward repeat is played."""
        times = element.get("times", "2").strip()
        passes = int(times) if times.isdecimal() and len(times) < 3 else 0
        if passes < 2:
            self.report.gather(
                "repeat",
                "warning",
                f"a repeat that says it is played {times[:10]!r} times is played twice",
                element="repeat",
            )
        return max(2, passes)

    def _ending(self, element: Element) -> None:
        kind = element.get("type")
        if kind == "start":
            numbers = ending_numbers(element.get("number", ""))
            printed = ending_numbers(element.text or "")
            if numbers and printed and numbers != printed:
                self.report.gather(
                    "ending",
                    "warning",
                    f"an ending of number {element.get('number', '')[:20]} is printed "
                    f"{(element.text or '').strip()[:20]!r}: read as printed",
                    element="ending",
                )
            self.signs.ending_start = printed or numbers
            if not self.signs.ending_start:
                self.report.unread("ending", "it has no number")
        elif kind == "stop" or kind == "discontinue":
            self.signs.ending_stop = True
        else:
            self.report.unread("ending", f"type {(kind or '')[:20]!r}")


# ── Where they act ───────────────────────────────────────────────────────────────


def signs_of(
    bars: Sequence[RawSigns], lengths: Sequence[Number], report: Report
) -> list[FormSigns]:
    """The signs of each bar, given the lengths of the bars in ticks."""
    endings = _endings(bars, report)
    segnos = _segnos(bars, lengths)
    codas, leaves = _codas(bars, lengths, report)
    passes = _passes(bars, report)
    _place_letters(bars, report)
    _place_late_sections(bars, lengths, report)
    _place_fine_of_ending(bars, endings, report)
    fines = any(bar.fine for bar in bars)
    signs = []
    for index, bar in enumerate(bars):
        ending, starts = endings[index]
        barline = _barline(bars, index)
        placed = ending or index in segnos or index in codas or index in leaves
        if not vars(bar) and not placed and barline == "regular":
            signs.append(NO_SIGNS)
            continue
        jump = bar.jump
        if jump is None and bar.open_jump is not None:
            until: Until = ""
            if leaves:
                until = "coda"
            elif fines:
                until = "fine"
            jump = evolve(bar.open_jump, until=until)
        signs.append(
            FormSigns(
                section=bar.section,
                repeat_start=bar.repeat_start,
                repeat_end=passes[index],
                repeat_after_jump=bar.repeat_after_jump,
                ending=ending,
                ending_starts=starts,
                barline=barline,
                segno=index in segnos,
                coda=index in codas,
                to_coda=index in leaves,
                coda_number=codas.get(index) or leaves.get(index) or 1,
                to_solos=bar.to_solos,
                fine=bar.fine,
                jump=jump,
            )
        )
    return signs


def _place_letters(bars: Sequence[RawSigns], report: Report) -> None:
    """Letters at the start of bars name sections where they come as A, B, C …; others
    stay words, and may have been chord symbols."""
    said = "".join(dict.fromkeys(bar.letter for bar in bars))
    in_order = len(said) > 1 and _LETTERS.startswith(said)
    for index, bar in enumerate(bars):
        if not bar.letter:
            continue
        report.index = index
        if in_order and not bar.section:
            bar.section = bar.letter
            report.gather("section", "note", "a letter alone names a section")
        else:
            bar.left_over = f"{bar.left_over} {bar.letter}".lstrip()
            report.gather(
                "chord-words",
                "error",
                f"the words {bar.letter!r} may be part of a chord symbol: "
                "transposed parts leave them out",
                element="words",
                advice="enter them as a chord symbol, or in a frame as a section",
            )


def _place_late_sections(
    bars: Sequence[RawSigns], lengths: Sequence[Number], report: Report
) -> None:
    """A name in the second half of a bar, over the notes that lead in, is that of the
    section which the next bar starts, words there if it has a name; in the first half
    it is that of its own bar."""
    for index, bar in enumerate(bars):
        late = bar.late_section
        if not late:
            continue
        leads_in = 2 * bar.late_place >= lengths[index] and index + 1 < len(bars)
        starts = bars[index + 1] if leads_in else bar
        if not starts.section:
            starts.section = late
        elif starts.section != late:
            if leads_in:
                starts.left_over = f"{starts.left_over} {late}".lstrip()
            else:
                report.index = index
                report.unread("rehearsal", f"{late[:40]!r}, a second section name")


def _place_fine_of_ending(
    bars: Sequence[RawSigns],
    endings: Sequence[tuple[tuple[int, ...], bool]],
    report: Report,
) -> None:
    """*D.C. al 2nd ending* is *al Fine*, with the *Fine* where that ending closes: at a
    double bar, or where its bracket ends."""
    for index, bar in enumerate(bars):
        if not bar.to_ending or any(each.fine for each in bars):
            continue
        starts = [n for n in range(index) if endings[n][1] and 1 not in endings[n][0]]
        if not starts:
            continue
        last = starts[-1]
        inside = [n for n in range(last, index) if endings[n][0] == endings[last][0]]
        lines = (n for n in range(last, index) if _barline(bars, n) != "regular")
        bars[next(lines, inside[-1])].fine = True
        report.index = index
        report.gather(
            "ending",
            "note",
            "a jump to the last ending is read as al Fine",
            element="words",
        )


def _passes(bars: Sequence[RawSigns], report: Report) -> list[int]:
    """How often each backward repeat is played in all.

    Words such as *3x* belong to the repeat that their bar stands in, at whichever
    end of it they are written.
    """
    passes = [bar.repeat_end for bar in bars]
    waiting: tuple[int, int] | None = None
    for index, bar in enumerate(bars):
        if waiting is not None and bar.repeat_start and index > waiting[0]:
            _unplaced(bars, waiting, report)
            waiting = None
        if bar.times:
            if waiting is not None:
                _unplaced(bars, waiting, report)
            waiting = (index, bar.times)
        if bar.repeat_end and waiting is not None:
            passes[index] = waiting[1]
            waiting = None
    if waiting is not None:
        _unplaced(bars, waiting, report)
    return passes


def _unplaced(
    bars: Sequence[RawSigns], waiting: tuple[int, int], report: Report
) -> None:
    """Words for a repeat that is not there stay words."""
    index, times = waiting
    bars[index].left_over = f"{times}× {bars[index].left_over}".rstrip()
    report.index = index
    report.gather(
        "repeat", "warning", f"'{times}×' without a repeat sign", element="words"
    )


def _barline(bars: Sequence[RawSigns], index: int) -> Barline:
    """The right bar line: a repeat sign makes its own."""
    bar = bars[index]
    if bar.repeat_end:
        return "regular"
    if bar.barline == "regular" and index + 1 < len(bars):
        return bars[index + 1].left_barline
    return bar.barline


def _endings(
    bars: Sequence[RawSigns], report: Report
) -> list[tuple[tuple[int, ...], bool]]:
    """For each bar the passes of its bracket, and whether the bracket starts there."""
    found: list[tuple[tuple[int, ...], bool]] = []
    open_passes: tuple[int, ...] = ()
    opened = 0
    for index, bar in enumerate(bars):
        starts = bool(bar.ending_start)
        if starts:
            open_passes, opened = bar.ending_start, index
        found.append((open_passes, starts))
        if open_passes and bar.repeat_end and not bar.ending_stop:
            open_passes = ()
        if bar.ending_stop:
            open_passes = ()
    if open_passes:
        # a bracket that nothing closes: over the bar it stands in
        report.index = opened
        report.gather("ending", "warning", "an ending bracket is never closed")
        for index in range(opened + 1, len(bars)):
            found[index] = ((), False)
    return found


def _segnos(bars: Sequence[RawSigns], lengths: Sequence[Number]) -> set[int]:
    places = set()
    for index, bar in enumerate(bars):
        if bar.segno is not None:
            after = bar.segno >= lengths[index] and index + 1 < len(bars)
            places.add(index + after)
    return places


def _codas(
    bars: Sequence[RawSigns], lengths: Sequence[Number], report: Report
) -> tuple[dict[int, int], dict[int, int]]:
    """The bars where a coda starts, and those at whose end one leaves for it, each with
    the number of the coda.

    Words (*To Coda*) or playback data decide.  Of signs alone, one within or at
    the end of a bar says leave; one at the start of a bar says arrive if the music
    has been left before, or if no sign follows, else leave before this bar.  A sign
    right after *To Coda* belongs to the words if another one follows.
    """
    numbered = any(bar.jump is not None and bar.jump.coda > 1 for bar in bars)
    arrivals, last = _arrivals(bars, numbered)
    leaves = {index: bar.coda_number for index, bar in enumerate(bars) if bar.to_coda}
    codas: dict[int, int] = {}
    left = False
    for index, bar in enumerate(bars):
        if bar.to_coda:
            left = True
            continue
        at_start = bar.coda == 0
        if bar.coda is None or (at_start and index - 1 in leaves and index < last):
            continue
        if at_start:
            arrives = left or index in arrivals
        else:
            arrives = left and bar.coda >= lengths[index] and index + 1 < len(bars)
        if arrives:
            codas[index if at_start else index + 1] = bar.coda_number
        elif at_start:
            leaves[max(0, index - 1)] = bar.coda_number
            report.index = index
            report.gather(
                "coda",
                "note",
                "the coda sign at the start of the bar is read as the place to "
                "leave before it",
            )
        else:
            leaves[index] = bar.coda_number
        left = not arrives
    return _in_turn(codas, numbered), _in_turn(leaves, numbered)


def _arrivals(bars: Sequence[RawSigns], numbered: bool) -> tuple[set[int], int]:
    """The bars whose coda sign, if it stands at their start, is the place to arrive
    whether or not the music has been left before: the last one, one that playback data
    name, one with a number where the jumps count the codas.  And the last alone."""
    signs = [index for index, bar in enumerate(bars) if bar.coda is not None]
    last = signs[-1] if signs else -1
    named = {
        index
        for index in signs
        if bars[index].arrives or (numbered and bars[index].coda_number)
    }
    return named | {last}, last


def _in_turn(places: dict[int, int], numbered: bool) -> dict[int, int]:
    """Signs of codas with the number of theirs; where a chart counts its codas, those
    without a number are the first and the second as they come."""
    if numbered and not any(number > 1 for number in places.values()):
        return {
            index: min(turn, 2) for turn, index in enumerate(sorted(places), start=1)
        }
    return {index: max(1, number) for index, number in places.items()}
