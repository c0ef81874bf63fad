"""The demo tune's parts as written, in a form to read: one line a bar.

The files in ``tests/golden`` were read through by eye, bar by bar.  After a change
that is meant, ``python tests/musicxml/test_golden_parts.py`` writes them anew; read
the differences before keeping them.

A line holds the bar's number, the signs at its edges, the chords after the beat they
stand over, the melody and, after *cue*, the hits.  A note is its pitch, its value and
its stem; a plus sign ties it on, a dash joins two notes under a beam.  An accidental
that is shown stands before the note, in brackets if it is a reminder.
"""

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from written_values import DOTS

from leadsheet_theory import make_parts, read_lead_sheet, write_part

PROJECT = Path(__file__).resolve().parents[2]
CHART = PROJECT / "shared/charts/harbourmasters_day_off.musicxml"
GOLDEN = PROJECT / "tests/golden"

SIGNS = {"sharp": "♯", "flat": "♭", "natural": "♮", "double-sharp": "𝄪"}
STEMS = {"up": " ↑", "down": " ↓"}
EDGES = {
    ("repeat", "forward"): "repeat starts",
    ("repeat", "backward"): "repeat ends",
    ("ending", "start"): "ending {} starts",
    ("ending", "stop"): "ending {} ends",
    ("ending", "discontinue"): "ending {} stays open",
}


def name(element, kind):
    step = element.findtext(f"{kind}-step")
    alter = int(element.findtext(f"{kind}-alter", "0"))
    return step + ("#" * alter if alter > 0 else "b" * -alter)


def key_text(fifths):
    return f"{abs(fifths)} {'flats' if fifths < 0 else 'sharps'}"


def note_text(note):
    """A note, rest or slash in words, with the comma or dash that leads on."""
    value = DOTS[len(note.findall("dot"))] + note.findtext("type", "whole")
    ratio = note.findtext("time-modification/actual-notes")
    value = f"{'triplet' if ratio == '3' else ratio} {value}" if ratio else value
    marks = " and ".join(
        mark.tag for mark in note.iterfind("notations/articulations/*")
    )
    after = (
        STEMS.get(note.findtext("stem"), "")
        + " +" * (note.find("notations/tied[@type='start']") is not None)
        + (f" with {marks}" if marks else "")
        + (" – " if note.findtext("beam") in ("begin", "continue") else ", ")
    )
    if note.find("rest") is not None:
        return f"{value} rest{after}"
    if note.findtext("notehead") == "slash":
        return f"slash {value}{after}"
    alter = int(note.findtext("pitch/alter", "0"))
    pitch = note.findtext("pitch/step") + ("#" * alter if alter > 0 else "b" * -alter)
    shown = note.find("accidental")
    sign = ""
    if shown is not None:
        sign = SIGNS[shown.text]
        sign = f"({sign}) " if shown.get("cautionary") == "yes" else f"{sign} "
    return f"{sign}{pitch}{note.findtext('pitch/octave')} {value}{after}"


def edge_texts(line):
    """What stands at a bar line."""
    for element in line:
        if element.tag == "bar-style":
            yield element.text
        else:
            does = element.get("type") or element.get("direction")
            yield EDGES[element.tag, does].format(element.get("number"))


def bar_text(measure, divisions):
    """One bar as a line."""
    at = 0
    signs, chords, voices = [], [], {}
    if measure.find("print[@new-page='yes']") is not None:
        signs.append("new page")
    elif measure.find("print[@new-system='yes']") is not None:
        signs.append("new system")
    for element in measure:
        if element.tag == "barline":
            signs += edge_texts(element)
        elif element.tag == "attributes":
            signs += [key_text(int(e.text)) for e in element.iter("fifths")]
        elif element.tag == "direction":
            signs += [e.text for e in element.iter() if e.tag in ("words", "rehearsal")]
        elif element.tag == "harmony":
            beat = at + int(element.findtext("offset", "0"))
            bass = element.find("bass")
            over = "" if bass is None else f"/{name(bass, 'bass')}"
            text = element.find("kind").get("text")
            place = f"{beat / divisions + 1:g}"
            chords.append(f"{place} {name(element.find('root'), 'root')}{text}{over}")
        elif element.tag in ("forward", "backup"):
            way = 1 if element.tag == "forward" else -1
            at += way * int(element.findtext("duration"))
        elif element.tag == "note":
            voices.setdefault(element.findtext("voice"), []).append(note_text(element))
            at += int(element.findtext("duration", "0"))
    lines = " cue: ".join("".join(notes)[:-2] for notes in voices.values())
    start = f"{measure.get('number')} [{', '.join(signs)}] {', '.join(chords)}"
    return f"{start.rstrip()} | {lines}"


def part_text(part):
    """A written part, one line a bar."""
    root = ET.fromstring(write_part(part))
    divisions = int(root.findtext(".//divisions"))
    head = [f"{credit.get('page')}: {credit.findtext('credit-words')}"
            for credit in root.iter("credit")]  # fmt: skip
    bars = [bar_text(measure, divisions) for measure in root.iter("measure")]
    return "\n".join([*head, *bars]) + "\n"


def demo_parts():
    return make_parts(read_lead_sheet(CHART).sheet)


def file_of(part):
    return GOLDEN / f"demo {part.name.replace('♭', 'b')}.txt"


@pytest.mark.parametrize("place", range(5))
def test_the_demo_s_parts_are_as_read_by_eye(place):
    part = demo_parts()[place]
    assert part_text(part) == file_of(part).read_text(encoding="utf-8")


if __name__ == "__main__":
    for part in demo_parts():
        file_of(part).write_text(part_text(part), encoding="utf-8")
