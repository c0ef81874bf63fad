"""The demo tune's parts as written, in a form to read: one line a bar.

The files in ``tests/golden`` were read through by eye, bar by bar.  After a change
that is meant, ``python tests/musicxml/test_golden_parts.py`` writes them anew; read
the differences before keeping them.

A line holds the bar's number, what stands at its start, the chords with the beat
they stand over (in quarter notes from 0), the melody and, after ``^``, the cue.  A
note is its pitch, its value (``4`` a quarter, ``8.`` a dotted eighth), ``~`` if it is
tied on, ``u`` or ``d`` for its stem, ``[``, ``-`` or ``]`` for its beam; an accidental
shown stands before it, in brackets if it is a reminder.
"""

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from leadsheet_theory import make_parts, read_lead_sheet, write_part

PROJECT = Path(__file__).resolve().parents[2]
CHART = PROJECT / "shared/charts/harbourmasters_day_off.musicxml"
GOLDEN = PROJECT / "tests/golden"

VALUES = {"whole": "1", "half": "2", "quarter": "4", "eighth": "8", "16th": "16"}
SIGNS = {"sharp": "#", "flat": "b", "natural": "n", "double-sharp": "x"}
BEAMS = {"begin": "[", "continue": "-", "end": "]"}


def name(element, kind):
    step = element.findtext(f"{kind}-step")
    alter = int(element.findtext(f"{kind}-alter", "0"))
    return step + ("#" * alter if alter > 0 else "b" * -alter)


def note_text(note):
    value = VALUES[note.findtext("type", "whole")] + "." * len(note.findall("dot"))
    stem = {"up": "u", "down": "d"}.get(note.findtext("stem"), "")
    beam = BEAMS.get(note.findtext("beam"), "")
    tied = "~" if note.find("notations/tied[@type='start']") is not None else ""
    marks = "".join(
        f"!{mark.tag}" for mark in note.iterfind("notations/articulations/*")
    )
    if note.find("rest") is not None:
        return f"r{value}"
    if note.findtext("notehead") == "slash":
        return f"/{value}{tied}{stem}{beam}{marks}"
    alter = int(note.findtext("pitch/alter", "0"))
    pitch = note.findtext("pitch/step") + ("#" * alter if alter > 0 else "b" * -alter)
    shown = note.find("accidental")
    sign = ""
    if shown is not None:
        sign = SIGNS[shown.text]
        sign = f"({sign})" if shown.get("cautionary") == "yes" else sign
    octave = note.findtext("pitch/octave")
    return (
        f"{sign}{' ' if sign else ''}{pitch}{octave}:{value}{tied}{stem}{beam}{marks}"
    )


def bar_text(measure, divisions):
    """One bar as a line."""
    at = 0
    signs, chords, voices = [], [], {}
    if measure.find("print[@new-page='yes']") is not None:
        signs.append("NEW PAGE")
    elif measure.find("print[@new-system='yes']") is not None:
        signs.append("NEW SYSTEM")
    for element in measure:
        if element.tag == "barline":
            signs += [
                e.tag
                + (e.get("type") or e.get("direction") or "")[:5]
                + (e.get("number") or "")
                for e in element
                if e.tag != "bar-style"
            ]
            signs += [e.text for e in element.iter("bar-style")]
        elif element.tag == "attributes":
            signs += [f"key {e.text}" for e in element.iter("fifths")]
        elif element.tag == "direction":
            signs += [e.text for e in element.iter() if e.tag in ("words", "rehearsal")]
        elif element.tag == "harmony":
            beat = at + int(element.findtext("offset", "0"))
            bass = element.find("bass")
            over = "" if bass is None else f"/{name(bass, 'bass')}"
            text = element.find("kind").get("text")
            place = f"{beat / divisions:g}"
            chords.append(f"{name(element.find('root'), 'root')}{text}{over}@{place}")
        elif element.tag in ("forward", "backup"):
            way = 1 if element.tag == "forward" else -1
            at += way * int(element.findtext("duration"))
        elif element.tag == "note":
            voices.setdefault(element.findtext("voice"), []).append(note_text(element))
            at += int(element.findtext("duration", "0"))
    lines = " ^ ".join(" ".join(notes) for notes in voices.values())
    return f"{measure.get('number')} <{', '.join(signs)}> {' '.join(chords)} | {lines}"


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
