"""The drawing copy: a part as the drawing library reads it best.

Nothing of the part is changed but what the library would draw wrongly; the file that
players get stays as it is.  The way leads over two encodings: MusicXML, in which parts
are written, and MEI (Music Encoding Initiative, version 5), which can say what
MusicXML's reader leaves out.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Collection, Iterable, Iterator
from itertools import pairwise
from typing import Final

from attrs import frozen

__all__ = (
    "TIED_IN",
    "TIED_OUT",
    "DrawingCopy",
    "drawing_copy",
    "in_systems",
    "mended",
)

_MEI: Final = "{http://www.music-encoding.org/ns/mei}"
_ID: Final = "{http://www.w3.org/XML/1998/namespace}id"
ET.register_namespace("", _MEI[1:-1])

# accidentals before a number, as house styles type them in chord symbols
_FLAT: Final = re.compile(r"b(?=\d)")


@frozen(order=False)
class DrawingCopy:
    """A written part without what stands around the music and without its systems:
    the text, the index of each bar that begins a system, what each bar is numbered, and
    the indices of the bars that end with a final bar line."""

    musicxml: str
    system_starts: tuple[int, ...]
    numbers: tuple[str, ...]
    finals: tuple[int, ...]


def drawing_copy(part: bytes, /) -> DrawingCopy:
    """The drawing copy of a part that :func:`.write_part` has written."""
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
    measures = root.findall("./part[1]/measure")
    starts = [0]
    for index, measure in enumerate(measures):
        for new in measure.findall("print"):
            if index and "yes" in (new.get("new-system"), new.get("new-page")):
                starts.append(index)
            measure.remove(new)
    small = _small_staves(measures[:1])
    for measure in measures[:1]:
        _take_opening_out(measure, small)
    for measure in measures:
        _set_back_last_words(measure)
        _forget_other_staves(measure)
        _set_numbers_of_codas_apart(measure)
    _let_staves_be_small(measures, small)
    _mark_open_ties(measures)
    _leave_open_halves_out(measures)
    for measure in measures:
        _forget_playback(measure)
    return DrawingCopy(
        ET.tostring(root, encoding="unicode"),
        tuple(starts),
        tuple(
            _shown_number(each, before)
            for before, each in pairwise([None, *measures])
            if each is not None
        ),
        tuple(
            index
            for index, each in enumerate(measures)
            if each.findtext("barline[@location='right']/bar-style") == "light-heavy"
        ),
    )


def _forget_other_staves(measure: ET.Element) -> None:
    """Leave out which staves are printed from a bar on, which the library reads for the
    first bar alone, and that one of them is in slash notation, which it puts on all;
    the slashes are there as notes."""
    for attributes in measure.findall("attributes"):
        for style in attributes.findall("measure-style[@number]"):
            attributes.remove(style)
        for details in attributes.findall("staff-details"):
            if len(details):
                details.attrib.pop("print-object", None)
            else:
                attributes.remove(details)


def _forget_playback(measure: ET.Element) -> None:
    """Leave out what serves playback: the library would end an ending where its sound
    leads to the coda."""
    for direction in measure.iterfind("direction"):
        for sound in direction.findall("sound"):
            direction.remove(sound)


def _small_staves(measures: Iterable[ET.Element]) -> frozenset[str | None]:
    """The numbers of the staves in small size."""
    return frozenset(
        details.get("number")
        for measure in measures
        for details in measure.iterfind("attributes/staff-details")
        if details.findtext("staff-type") == "cue"
    )


def _let_staves_be_small(
    measures: Iterable[ET.Element], small: Collection[str | None]
) -> None:
    """Notes on a small staff are small by their staff: not once more as a cue."""
    for measure in measures if small else ():
        for note in measure.iterfind("note"):
            cue = note.find("cue")
            if cue is not None and note.findtext("staff") in small:
                note.remove(cue)


def _shown_number(measure: ET.Element, before: ET.Element | None) -> str:
    """What a measure is numbered: the second part of a divided bar as the first is."""
    if measure.get("implicit") != "yes":
        return measure.get("number", "")
    first = "" if before is None else before.get("number", "")
    goes_on = measure.get("number", "").startswith(f"{first}-")
    return (
        first if goes_on and before is not None and not before.get("implicit") else ""
    )


def _take_opening_out(measure: ET.Element, small: Collection[str | None]) -> None:
    """Leave out style and tempo at the start, which the heading shows: bold words, a
    metronome mark; what stands over small staves does not count."""
    for direction in measure.findall("direction"):
        if small and direction.findtext("staff") in small:
            continue
        words = direction.find("./direction-type/words[@font-weight='bold']")
        if (
            words is not None
            or direction.find("./direction-type/metronome") is not None
        ):
            measure.remove(direction)
            return
        if direction.find("./direction-type/words") is not None:
            return


def _set_back_last_words(measure: ET.Element) -> None:
    """Let words at the end of a bar stop there: else the staff is drawn on below them,
    past the bar line.

    The end comes again and again where the bar goes back to its start, for another
    voice or staff.
    """
    waiting: list[ET.Element] = []
    for element in (*measure, ET.Element("backup")):
        if element.tag == "direction":
            waiting += element.iterfind("direction-type/words")
        elif element.tag == "backup":
            for words in waiting:
                words.set("halign", "right")
        if element.tag in ("note", "forward", "backup"):
            waiting = []


def _set_numbers_of_codas_apart(measure: ET.Element) -> None:
    """Give the number beside a coda a direction of its own: else sign and number are
    drawn as words."""
    for place, direction in reversed(list(enumerate(measure))):
        types = direction.findall("direction-type")
        if len(types) == 2 and types[0].find("coda") is not None:
            words = types[1].find("words")
            if words is not None:
                words.text = f"Coda {words.text}"
            direction.remove(types[1])
            apart = ET.Element("direction", direction.attrib)
            apart.append(types[1])
            measure.insert(place, apart)


TIED_IN: Final = "tied-in-"
"""How the ids of notes begin that an open tie leads into."""
TIED_OUT: Final = "tied-out-"
"""How the ids of notes begin that an open tie leads out of."""


def _mark_open_ties(measures: Iterable[ET.Element]) -> None:
    """Name the notes whose tie has no other end beside it where the reading goes on
    elsewhere, as at a second ending or a repeat: the library leaves such a tie out, so
    it is drawn afterwards."""
    waiting: dict[str, dict[_Pitch, tuple[ET.Element, str]]] = {}
    number = 0
    goes = False
    for measure in measures:
        comes = goes or any(measure.find(path) is not None for path in _COMES)
        goes = any(measure.find(path) is not None for path in _GOES)
        begun: set[str] = set()
        for chord in _chords(measure):
            voice = chord[0].findtext("voice") or ""
            before = waiting.setdefault(voice, {})
            for note in chord:
                number += 1
                alone = _ties(note, "stop") and before.pop(_pitch(note), None) is None
                if alone and comes and voice not in begun:
                    note.set("id", f"{TIED_IN}{number}")
            begun.add(voice)
            _leave_open(before)
            for note in chord:
                if _ties(note, "start") and note.get("id") is None:
                    before[_pitch(note)] = note, ""
        if goes:
            for left in waiting.values():
                for pitch, (note, _) in left.items():
                    number += 1
                    left[pitch] = note, f"{TIED_OUT}{number}"
    for left in waiting.values():
        _leave_open(left)


def _leave_open_halves_out(measures: Iterable[ET.Element]) -> None:
    """Take the second sign of an open tie away, which the library would take for a tie
    to another note."""
    for measure in measures:
        for note in measure.iterfind("note"):
            notations = note.find("notations")
            if notations is None or note.find("cue") is not None:
                continue
            for tied in notations.findall("tied"):
                if not _ties(note, tied.get("type", "")):
                    notations.remove(tied)


def _leave_open(waiting: dict[_Pitch, tuple[ET.Element, str]]) -> None:
    for note, name in waiting.values():
        if name:
            note.set("id", name)
    waiting.clear()


# where a bar may be read after another than the one at its left, or before another
# than the one at its right
_COMES: Final = (
    "barline[@location='left']/ending",
    "barline[@location='left']/repeat",
    "direction/direction-type/segno",
    "direction/direction-type/coda",
)
_GOES: Final = (
    "barline[@location='right']/ending",
    "barline[@location='right']/repeat",
    "direction/sound[@dalsegno]",
    "direction/sound[@dacapo]",
    "direction/sound[@tocoda]",
)


_Pitch = tuple[str | None, ...]


def _pitch(note: ET.Element) -> _Pitch:
    return tuple(note.findtext(f"pitch/{name}") for name in ("step", "alter", "octave"))


def _ties(note: ET.Element, kind: str) -> bool:
    return any(tie.get("type") == kind for tie in note.iterfind("tie"))


def _chords(measure: ET.Element) -> Iterator[list[ET.Element]]:
    """The notes and rests of a bar, those that sound together as one."""
    chord: list[ET.Element] = []
    for note in measure.iterfind("note"):
        if note.find("cue") is not None or note.find("grace") is not None:
            continue
        if chord and note.find("chord") is None:
            yield chord
            chord = []
        chord.append(note)
    if chord:
        yield chord


_SIGN: Final = re.compile("[♭♯]")


def mended(mei: str, /, *, chord_size: float) -> str:
    """The part as MEI, with sizes, rests and words as they are to be drawn."""
    root = ET.fromstring(mei)
    for parent in root.iter():
        for child in list(parent):
            if child.tag in (f"{_MEI}pb", f"{_MEI}sb"):
                parent.remove(child)
    _hide_empty_staves(root)
    for measure in root.iter(f"{_MEI}measure"):
        _join_stacked_chords(measure)
        _two_voices(measure)
    for harm in root.iter(f"{_MEI}harm"):
        if harm.text:
            # no font of ours has the signs of double accidentals
            harm.text = harm.text.replace("𝄪", "♯♯").replace("𝄫", "♭♭")
        if harm.text and _SIGN.search(harm.text):
            # accidentals are wider in our fonts than the library thinks
            harm.text += "\u00a0"
        # the size counts for the spacing only where a rend states it
        _enclose(harm, {"fontweight": "bold", "fontsize": f"{chord_size:.0%}"})
    for letter in root.iter(f"{_MEI}reh"):
        for rend in letter.findall(f"{_MEI}rend"):
            rend.set("fontsize", "130%")
    for tempo in root.iter(f"{_MEI}tempo"):
        _space_out(tempo)
    return ET.tostring(root, encoding="unicode")


_LONG_NAME: Final = re.compile(r"<reh (?=[^>]*>\s*<rend[^>]*>[^<]{3})")


# an ending begun before the new page would be drawn as if it went on there
_OPENED: Final = re.compile(r"((?:<(?:ending|section)\b[^>]*>\s*)*)\Z")


def in_systems(mei: str, starts: Collection[int], /) -> str:
    """The mended part with every system on a page of its own."""
    before, *measures = mei.split("<measure ")
    out = [before]
    for index, measure in enumerate(measures):
        if index in starts:
            # a letter stands beside the chord symbols, a long name above them
            measure = _LONG_NAME.sub('<reh tstamp="1" ', measure)
            if index:
                out[-1] = _OPENED.sub(r"<pb/>\1", out[-1], count=1)
        out += ("<measure ", measure)
    return "".join(out)


def _hide_empty_staves(root: ET.Element) -> None:
    """Let a staff beside the part's own stand in those systems alone in which it has
    notes.

    The part's own stands in all of them: where it rests it gets a note that is not
    seen.
    """
    staves = list(root.iter(f"{_MEI}staffDef"))
    if len(staves) < 2:
        return
    for score in root.iter(f"{_MEI}scoreDef"):
        score.set("optimize", "true")
        break
    own = next(each.get("n", "") for each in staves if each.get("scale") is None)
    for kind, place in (("harm", own), ("reh", "1")):
        for sign in root.iter(f"{_MEI}{kind}"):
            sign.set("staff", place)
    for staff in root.iter(f"{_MEI}staff"):
        if staff.get("n") == own and staff.find(f".//{_MEI}note") is None:
            layer = ET.SubElement(staff, f"{_MEI}layer", {"n": "9"})
            unseen = {"dur": "4", "loc": "4", "visible": "false"}
            ET.SubElement(layer, f"{_MEI}note", unseen)


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


def _two_voices(measure: ET.Element) -> None:
    """Where the hits share the bar, the melody's rests stay in the middle of the staff
    and its ties bend away from theirs."""
    lower: set[str] = set()
    for staff in measure.iter(f"{_MEI}staff"):
        layers = staff.findall(f"{_MEI}layer")
        if len(layers) > 1:
            for rest in layers[0].iter(f"{_MEI}rest"):
                rest.set("loc", "4")
            lower |= {f"#{note.get(_ID)}" for note in layers[0].iter(f"{_MEI}note")}
    for tie in measure.findall(f"{_MEI}tie"):
        if tie.get("startid") in lower:
            tie.set("curvedir", "below")


def _space_out(tempo: ET.Element) -> None:
    """Words and metronome mark are joined without a space: put one between."""
    for left, right in pairwise(list(tempo)):
        if right.get("glyph.auth") == "smufl" and left.text:
            left.text = f"{left.text.rstrip()}\u00a0\u00a0"
