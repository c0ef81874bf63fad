"""Ten tunes with every kind of running order, followed from page to page.

A reader who knows nothing but what is printed (bar lines, endings, signs, words) walks
through the written part: the bars must be those of the list, of the running order, of
the sound, and of the part read back.  What the signs mean is MusicXML 4.0 (``repeat``,
``ending``, ``sound``) and common practice, no source; the tunes are our own.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

import pytest
from attrs import evolve, frozen
from form_charts import bar as one_bar
from form_charts import changes, chart, sheet

from leadsheet_theory import make_parts, write_part
from leadsheet_theory.leadsheet import (
    Jump,
    LeadSheet,
    Note,
    SoloChorus,
    Solos,
    running_order,
)
from leadsheet_theory.midi._played import play_out
from leadsheet_theory.musicxml import parse_lead_sheet
from leadsheet_theory.pitch import Pitch


def tune(form: str, **fields: object) -> LeadSheet:
    """A chart of that form with a note and a chord in each bar."""
    bars = []
    for bar in chart(form):
        note = Note(
            onset=Fraction(0), duration=bar.length, pitches=(Pitch.parse("A4"),)
        )
        chord = () if bar.is_pickup else changes("1 F")
        bars.append(evolve(bar, melody=(note,), chords=chord))
    return evolve(sheet(bars), **fields)


def two_codas() -> LeadSheet:
    found = tune("A= 1-4 ToCoda 5-8 B= 9-12 DC.Coda Coda 13-14 15-16")
    signs = {
        7: {"to_coda": True, "coda_number": 2},
        13: {"jump": Jump("capo", "coda", coda=2, after_solos=True)},
        14: {"coda": True, "coda_number": 2},
    }
    bars = [
        evolve(bar, form=evolve(bar.form, **signs.get(at, {})))
        for at, bar in enumerate(found.bars)
    ]
    return evolve(found, bars=tuple(bars))


BLUES = SoloChorus(tuple(one_bar(n, chords=changes("1 F7")) for n in range(1, 13)))

# what it is, the tune, its solos, the head, the head that follows the solos
TUNES: list[tuple[str, LeadSheet, Solos, str, str]] = [
    (
        "a repeat with endings, open solos",
        tune("0 |: A= 1-6 [1: 7-8 :|] [2: 9-10] B= 11-18"),
        "open",
        "0-8 1-6 9-18",
        "0-8 1-6 9-18",
    ),
    (
        "D.C. al Fine in the head",
        tune("A= 1-8 Fine B= 9-16 DC.Fine"),
        "open",
        "1-16 1-8",
        "1-16 1-8",
    ),
    ("D.S. al Fine, no solos", tune("1-4 Segno 5-12 Fine 13-16 DS.Fine"), "none",
     "1-16 5-12", ""),
    (
        "D.C. al Coda after three choruses",
        tune("0 A= 1-8 B= 9-14 ToCoda 15-16 DC.Coda Coda 17-20"),
        3,
        "0-16",
        "0-14 17-20",
    ),
    (
        "D.S. al Coda after an introduction",
        tune(
            "Intro= 1-4 |: Segno A= 5-10 [1: 11-12 :|] [2: 13-14] B= 15-22 ToCoda "
            "23-24 DS.Coda Coda 25-28"
        ),
        "open",
        "1-12 5-10 13-24",
        "5-10 13-22 25-28",
    ),
    (
        "a coda that completes the head",
        tune("A= 1-8 ToCoda B= 9-20 DC.Coda Coda 21-22"),
        "open",
        "1-20 1-8 21-22",
        "1-20 1-8 21-22",
    ),
    ("two codas", two_codas(), "open", "1-12 1-4 13-14", "1-8 15-16"),
    ("a coda that no words lead to", tune("1-6 ToCoda 7-8 Coda 9-10"), 2, "1-8",
     "1-6 9-10"),
    (
        "solos on another form",
        tune("0 A= 1-8 B= 9-16", solo_chorus=BLUES),
        "open",
        "0-16",
        "0-16",
    ),
    (
        "a repeat three times, D.C. in the head",
        tune("|: A= 1-4 :|x3 B= 5-12 DC C= 13-16"),
        1,
        "1-4 1-4 1-12 1-16",
        "1-4 1-4 1-12 1-16",
    ),
]  # fmt: skip
CASES = pytest.mark.parametrize(
    ("source", "solos", "head", "out_head"),
    [pytest.param(*case[1:], id=case[0]) for case in TUNES],
)


def numbers(text: str) -> list[int]:
    spans = [word.partition("-") for word in text.split()]
    return [
        number
        for first, _, last in spans
        for number in range(int(first), int(last or first) + 1)
    ]


@CASES
def test_the_running_order(
    source: LeadSheet, solos: Solos, head: str, out_head: str
) -> None:
    order = running_order(source, solos=solos)
    assert [source.bars[at].number for at in order.head] == numbers(head)
    assert [source.bars[at].number for at in order.out_head] == numbers(out_head)
    assert not order.problems


@CASES
def test_what_sounds(source: LeadSheet, solos: Solos, head: str, out_head: str) -> None:
    played = play_out(source, choruses=0 if solos == "none" else 1, count_in=0)
    sung = [each.bar.number for each in played.bars if each.sung]
    back = [each.bar.number for each in played.leads_back]
    first = numbers(head)
    assert sung[: len(first)] == first
    assert back + sung[len(first) :] == numbers(out_head)


@CASES
def test_a_finger_finds_its_way_through_the_pages(
    source: LeadSheet, solos: Solos, head: str, out_head: str
) -> None:
    order = running_order(source, solos=solos)
    (part,) = make_parts(source, books=["C"], order=order)
    measures = [
        Printed.of(each) for each in ET.fromstring(write_part(part)).iter("measure")
    ]
    finger = Finger(measures[: len(part.bars)], measures[len(part.bars) :])
    assert finger.head() == numbers(head)
    if solos != "none":
        assert finger.out_head() == numbers(out_head)


@pytest.mark.parametrize(
    ("source", "solos"),
    [pytest.param(*case[1:3], id=case[0]) for case in TUNES if case[2] != "none"],
)
def test_read_back_it_is_the_same_tune(source: LeadSheet, solos: Solos) -> None:
    order = running_order(source, solos=solos)
    for part in make_parts(source, order=order):
        again = parse_lead_sheet(write_part(part)).sheet
        found = running_order(again)
        assert (found.head, found.out_head) == (order.head, order.out_head)
        assert str(found) == str(order)
        (second,) = make_parts(again, books=["C"])
        forms = [bar.bar.form for bar in part.solo]
        assert [bar.bar.form for bar in second.solo] == forms


# ── A reader of what is printed ──────────────────────────────────────────────────


@frozen
class Printed:
    """What a bar shows of the form."""

    number: int
    words: tuple[str, ...]
    forward: bool
    backward: bool
    ending: tuple[int, ...]
    ends_ending: bool
    segno: bool
    coda: int

    @classmethod
    def of(cls, measure: ET.Element) -> Printed:
        words = [each.text or "" for each in measure.iter("words")]
        starts = [e for e in measure.iter("ending") if e.get("type") == "start"]
        numbered = starts[0].get("number", "") if starts else ""
        repeats = [each.get("direction") for each in measure.iter("repeat")]
        coda = measure.find(".//direction-type/coda")
        return cls(
            number=int(measure.get("number", "")),
            words=tuple(words),
            forward="forward" in repeats,
            backward="backward" in repeats,
            ending=tuple(map(int, numbered.split(", "))) if numbered else (),
            ends_ending=any(
                each.get("type") != "start" for each in measure.iter("ending")
            ),
            segno=measure.find(".//direction-type/segno") is not None,
            coda=0 if coda is None else 2 if "2" in words else 1,
        )

    def says(self, pattern: str) -> re.Match[str] | None:
        found = (re.fullmatch(pattern, each) for each in self.words)
        return next(filter(None, found), None)


JUMP = r"(D\.C\.|D\.S\.)(?: al (Fine|Coda)(?: (2))?)?( with repeats)?"


class Finger:
    """Follows the signs of a part: the head's pages, then the solo page's last bar."""

    def __init__(self, tune: list[Printed], solos: list[Printed]) -> None:
        self.tune = tune
        self.solos = solos

    def head(self) -> list[int]:
        return [self.tune[at].number for at in self._walk(0, "", out=False)]

    def out_head(self) -> list[int]:
        way = self.solos[-1].says(f"After solos, {JUMP}")
        assert way is not None, self.solos[-1].words
        until = f"{way[2] or ''}{way[3] or ''}"
        bars = self._walk(self._target(way), until, out=True, repeats=bool(way[4]))
        return [self.tune[at].number for at in bars]

    def _target(self, way: re.Match[str]) -> int:
        if way[1] == "D.C.":
            return 0
        return next(at for at, bar in enumerate(self.tune) if bar.segno)

    def _walk(
        self, at: int, until: str, *, out: bool, repeats: bool = True
    ) -> Iterator[int]:
        """The places that are played, until the solos or the end."""
        visits: Counter[int] = Counter()
        start = 0
        jumped = False
        time = 1
        while at < len(self.tune):
            bar = self.tune[at]
            if bar.forward and at != start:
                start, time = at, 1
            if bar.ending:
                last = not repeats and max(bar.ending) != self._last_time(at)
                if last or (repeats and time not in bar.ending):
                    while not self.tune[at].ends_ending:
                        at += 1
                    at += 1
                    continue
            visits[at] += 1
            yield at
            coda = bar.says(r"To Coda(?: (2))?")
            if coda and until == f"Coda{coda[1] or ''}":
                number = int(coda[1] or 1)
                at = next(i for i, b in enumerate(self.tune) if b.coda == number)
                until = ""
                continue
            times = bar.says(r"(\d)x")
            if bar.backward and repeats and time < (int(times[1]) if times else 2):
                time += 1
                at = start
                continue
            goes = bar.says(r"(?:(\d)\w\w x )?to Solos, p\. 2")
            if goes and not out and visits[at] >= int(goes[1] or 1):
                return
            if until == "Fine" and bar.says("Fine"):
                return
            jump = bar.says(JUMP)
            if jump and not jumped:
                jumped, repeats = True, bool(jump[4])
                until = f"{jump[2] or ''}{jump[3] or ''}"
                at = self._target(jump)
                time = 1
                continue
            at += 1

    def _last_time(self, at: int) -> int:
        """The last pass that any ending of this repeat is for."""
        found = 0
        for bar in self.tune[at:]:
            found = max((found, *bar.ending))
            if bar.forward:
                break
        return found
