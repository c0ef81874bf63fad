"""Rows of a reference table about the abc standard 2.1, where it lies beside the
project; each row names the section of the standard that it restates."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from leadsheet_theory import LeadSheet, Note, TheoryError, play_order
from leadsheet_theory.abc import parse_abc

TABLE = Path(__file__).resolve().parents[3] / "shared" / "reference" / "abc_cases.csv"
_EVENT = re.compile(r"(\[[^\]]*\]|\d+|[rxR])@([\d/]+)\+([\d/]+)~?$|gs?\d+$")


def unescaped(text: str) -> str:
    signs = {"n": "\n", "r": "\r", "t": "\t", "\\": "\\"}
    return re.sub(r"\\(.)", lambda found: signs.get(found[1], found[0]), text)


def rows(*kinds: str) -> list[tuple[int, dict[str, str]]]:
    if not TABLE.is_file():
        pytest.skip("no ../shared/reference on this machine")
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [
            (line, row)
            for line, row in enumerate(csv.DictReader(file), 2)
            if row["kind"] in kinds
        ]


def expected_events(text: str) -> list[str]:
    """The notes and rests of a row, invisible and whole-bar rests as rests."""
    found = []
    said = text.split(";")[0].split(" beams:")[0]
    for word in re.findall(r"\[[^\]]*\]@\S+|\S+", said):
        event = _EVENT.fullmatch(word)
        if event is None:
            continue
        if event[1] is None:
            found.append(word.replace("gs", "g"))
            continue
        tied = "~" in word
        keys = (
            re.sub(r" finger\d", "", event[1]).strip("[]").replace("~", "").split(",")
        )
        name = "r" if event[1] in ("x", "R") else "/".join(sorted(keys))
        found.append(f"{name}@{event[2]}+{event[3]}{'~' * tied}")
    return found


def heard(sheet: LeadSheet) -> Iterator[str]:
    start = Fraction(0)
    for bar in sheet.bars:
        for event in bar.melody:
            place = f"@{start + event.onset}+{event.duration}"
            if not isinstance(event, Note):
                yield f"r{place}"
            elif event.grace:
                yield f"g{event.pitch.midi}"
            else:
                keys = "/".join(sorted(str(p.midi) for p in event.pitches))
                yield f"{keys}{place}{'~' * event.tied_to_next}"
        start += bar.length


def test_notes_rests_and_their_places() -> None:
    wrong = []
    for line, row in rows("notes", "bars", "text", "chords"):
        wanted = [
            expected_events(row["expected"]),
            expected_events(row["also_accepted"]),
        ]
        if not wanted[0]:
            continue
        got = list(heard(parse_abc(unescaped(row["abc"]))[0].sheet))
        if got not in wanted:
            wrong.append((line, got))
    assert not wrong


def test_the_order_of_play() -> None:
    wrong = []
    for line, row in rows("play"):
        sheet = parse_abc(unescaped(row["abc"]))[0].sheet
        played = [index + 1 for index in play_order(sheet.bars).indices]
        found = re.match(r"play: ([\d ]+)", row["expected"])
        assert found
        if played != list(map(int, found[1].split())):
            wrong.append((line, played))
    assert not wrong


def test_titles() -> None:
    wrong = []
    for line, row in rows("text"):
        if row["expected"].startswith("title = "):
            title = unescaped(row["expected"].removeprefix("title = "))
            if parse_abc(unescaped(row["abc"]))[0].sheet.title != title:
                wrong.append(line)
    assert not wrong


# Rows whose place this library tells otherwise: where the slur begins (like every
# other bracket there), not where its line ends; the quotation mark of a chord symbol,
# not the character after it; likewise the backslash.
ELSEWHERE = {384, 378, 417}


def test_faults_are_told_where_they_are() -> None:
    wrong = []
    for line, row in rows("error"):
        place = re.search(r"@(\d+):(\d+)", row["expected"])
        try:
            tunes = parse_abc(unescaped(row["abc"]))
        except TheoryError:
            if place is not None:
                wrong.append((line, "refused"))
            continue
        assert place is not None, line
        spots = {(f.line, f.column) for tune in tunes for f in tune.findings}
        if line not in ELSEWHERE and (int(place[1]), int(place[2])) not in spots:
            wrong.append((line, str(spots)))
    assert not wrong
