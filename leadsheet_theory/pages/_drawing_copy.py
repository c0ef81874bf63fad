"""The drawing copy: a part as the drawing library reads it best.

Nothing of the part is changed but what the library would draw wrongly; the file that
players get stays as it is.  The way leads over two encodings: MusicXML, in which parts
are written, and MEI (Music Encoding Initiative, version 5), which can say what
MusicXML's reader leaves out.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import pairwise
from typing import Final

__all__ = ("bar_numbers", "mei_copy", "musicxml_copy")

_MEI: Final = "{http://www.music-encoding.org/ns/mei}"
ET.register_namespace("", _MEI[1:-1])

# accidentals before a number, as house styles type them in chord symbols
_FLAT: Final = re.compile(r"b(?=\d)")


def musicxml_copy(part: bytes, /) -> str:
    """The part with one page for each system, and without what stands around the
    music, which is set elsewhere."""
    root = ET.fromstring(part)  # our own writing: nothing to be wary of
    for credit in root.findall("credit"):
        root.remove(credit)
    for harmony in root.iter("harmony"):
        # hidden degrees are drawn all the same, a second time
        for degree in harmony.findall("degree"):
            harmony.remove(degree)
        for kind in harmony.findall("kind"):
            text = kind.get("text")
            if text:
                kind.set("text", _FLAT.sub("♭", text).replace("#", "♯"))
    for new in root.iter("print"):
        if new.attrib.pop("new-system", "") == "yes":
            new.set("new-page", "yes")
    return ET.tostring(root, encoding="unicode")


def mei_copy(mei: str, /, *, chord_size: float) -> str:
    """The part as MEI, with sizes, rests and words as they are to be drawn."""
    root = ET.fromstring(mei)
    for measure in root.iter(f"{_MEI}measure"):
        _join_stacked_chords(measure)
        _rests_of_two_voices(measure)
    for harm in root.iter(f"{_MEI}harm"):
        # the size counts for the spacing only where a rend states it
        _enclose(harm, {"fontweight": "bold", "fontsize": f"{chord_size:.0%}"})
    for letter in root.iter(f"{_MEI}reh"):
        for rend in letter.findall(f"{_MEI}rend"):
            rend.set("fontsize", "130%")
    for measure in _first_of_systems(root):
        for letter in measure.findall(f"{_MEI}reh"):
            if len("".join(letter.itertext()).strip()) > _LETTERS:
                letter.set("tstamp", "1")
    for tempo in root.iter(f"{_MEI}tempo"):
        _space_out(tempo)
    return ET.tostring(root, encoding="unicode")


_LETTERS: Final = 2
"""The most letters of a section's sign that stand beside chord symbols; a longer name
stands above them."""


def _first_of_systems(root: ET.Element) -> Iterator[ET.Element]:
    """The measures that begin systems."""
    begins = True
    for element in root.iter():
        if element.tag == f"{_MEI}pb":
            begins = True
        elif element.tag == f"{_MEI}measure":
            if begins:
                yield element
            begins = False


def bar_numbers(mei: str, /) -> tuple[str, ...]:
    """The number of each measure in order; empty where it has none to show."""
    root = ET.fromstring(mei)
    return tuple(each.get("n", "") for each in root.iter(f"{_MEI}measure"))


def _join_stacked_chords(measure: ET.Element) -> None:
    """Chord symbols on one beat are drawn side by side, not on top of each other."""
    first: dict[str, ET.Element] = {}
    for harm in measure.findall(f"{_MEI}harm"):
        place = harm.get("tstamp", "")
        if place in first:
            # en spaces: the library drops other spaces
            first[place].text = f"{first[place].text}\u2002{harm.text}"
            measure.remove(harm)
        else:
            first[place] = harm


def _enclose(element: ET.Element, attributes: dict[str, str]) -> None:
    rend = ET.Element(f"{_MEI}rend", attributes)
    rend.text, element.text = element.text, None
    for child in list(element):
        element.remove(child)
        rend.append(child)
    element.append(rend)


def _rests_of_two_voices(measure: ET.Element) -> None:
    """The first voice's rests stay in the middle of the staff, though another voice
    (the hits, above) shares the bar."""
    for staff in measure.iter(f"{_MEI}staff"):
        layers = staff.findall(f"{_MEI}layer")
        if len(layers) > 1:
            for rest in layers[0].iter(f"{_MEI}rest"):
                rest.set("loc", "4")


def _space_out(tempo: ET.Element) -> None:
    """Words and metronome mark are joined without a space: put one between."""
    for left, right in pairwise(list(tempo)):
        if right.get("glyph.auth") == "smufl" and left.text:
            left.text = f"{left.text.rstrip()}\u00a0\u00a0"
