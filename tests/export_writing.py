"""A tune written as MusicXML in the shape that is asked for (:mod:`export_shapes`)."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from attrs import evolve, field, frozen
from export_tunes import Tone, Tune

from leadsheet_theory.interval import Interval
from leadsheet_theory.pitch import NoteName

if TYPE_CHECKING:
    from export_shapes import Shape

_VALUES = {
    Fraction(4): ("whole", 0), Fraction(3): ("half", 1), Fraction(2): ("half", 0),
    Fraction(3, 2): ("quarter", 1), Fraction(1): ("quarter", 0),
    Fraction(3, 4): ("eighth", 1), Fraction(1, 2): ("eighth", 0),
    Fraction(1, 4): ("16th", 0), Fraction(2, 3): ("quarter", 0),
    Fraction(1, 3): ("eighth", 0),
}  # fmt: skip
_KINDS = {
    "": "major", "maj7": "major-seventh", "m7": "minor-seventh", "7": "dominant",
    "6": "major-sixth", "m": "minor", "m7b5": "half-diminished", "dim7":
    "diminished-seventh", "m6": "minor-sixth",
}  # fmt: skip


@frozen
class _Item:
    """Something at a place in a bar: a note that lasts, or what stands over one."""

    at: Fraction
    length: Fraction
    text: Callable[[], str]  # divisions may change before it is written
    first: int = field(default=0)  # what stands over a note comes before it


class _Writer:
    def __init__(self, made: Tune, shape: Shape) -> None:
        self.tune, self.shape = made, shape
        self.divisions = shape.divisions
        self.by = Interval.parse(shape.transposed) if shape.transposed else None

    # time

    def ticks(self, length):
        number = length * self.divisions
        if self.shape.fractional and number.denominator == 1:
            return f"{number.numerator}.0"
        assert number.denominator == 1, (length, self.divisions)
        return str(number.numerator)

    def sounding(self, tone):
        """The ticks of a note: every other one a tick short, the next one a tick
        long."""
        number = self.ticks(tone.length)
        if not self.shape.off_by_one:
            return number
        self._off = -self._off or 1
        return str(int(number) - self._off)

    # pitches

    def written(self, pitch):
        return pitch if self.by is None else pitch + self.by

    def pitch_xml(self, pitch):
        up = self.written(pitch)
        alter = f"<alter>{up.alter}</alter>" if up.alter else ""
        return (
            f"<pitch><step>{up.step}</step>{alter}<octave>{up.octave}</octave></pitch>"
        )

    def harmony_xml(self, symbol, later):
        offset = f"<offset>{self.ticks(later)}</offset>" if later else ""
        match = re.fullmatch(r"([A-G][b#]?)([^/]*)(?:/([A-G][b#]?))?", symbol)
        root, kind, bass = match.groups()
        printed = f' text="{kind}"' if self.shape.kind_text == "given" else ""
        said = self._name("root", root)
        low = self._name("bass", bass) if bass else ""
        return (
            f"<harmony>{said}<kind{printed}>{_KINDS[kind]}</kind>{low}{offset}"
            "</harmony>"
        )

    def _name(self, what, text):
        name = NoteName.parse(text)
        if self.by is not None:
            name = name + self.by
        alter = f"<{what}-alter>{name.alter}</{what}-alter>" if name.alter else ""
        return f"<{what}><{what}-step>{name.step}</{what}-step>{alter}</{what}>"

    # notes

    def note_xml(self, tone, number, staff=""):
        if tone.pitch is None:
            what = "<rest/>"
        else:
            what = self.pitch_xml(tone.pitch)
        ties = notations = ""
        before = tone.pitch is not None and self._tied_in
        for flag, kind in ((before, "stop"), (tone.tied, "start")):
            if flag and self.shape.ties != "tied":
                ties += f'<tie type="{kind}"/>'
            if flag and self.shape.ties != "tie":
                notations += f'<tied type="{kind}"/>'
        self._tied_in = tone.tied
        value = engraved = ""
        if self.shape.values:
            name, dots = _VALUES[tone.length]
            value = f"<type>{name}</type>{'<dot/>' * dots}"
            if tone.triplet:
                value += (
                    "<time-modification><actual-notes>3</actual-notes>"
                    "<normal-notes>2</normal-notes></time-modification>"
                )
                if self.shape.brackets and tone.triplet != "middle":
                    notations += f'<tuplet type="{tone.triplet}"/>'
        if self.shape.engraving and tone.pitch is not None:
            engraved = "<stem>up</stem>"
        about = f"<notations>{notations}</notations>" if notations else ""
        return (
            f'<note default-x="12.5">{what}<duration>{self.sounding(tone)}'
            f"</duration>{ties}<voice>{number}</voice>{value}{engraved}{staff}{about}"
            f"{self._lyric_xml(tone)}</note>"
        )

    def _lyric_xml(self, tone):
        if not tone.syllable:
            return ""
        text = tone.syllable.strip("-")
        syllabic = {
            (False, False): "single", (False, True): "begin",
            (True, True): "middle", (True, False): "end",
        }[tone.syllable.startswith("-"), tone.syllable.endswith("-")]  # fmt: skip
        said = f"<syllabic>{syllabic}</syllabic>"
        if syllabic == "single" and self.shape.syllabic != "said":
            said = ""
        name = ' name="verse"' if self.shape.engraving else ""
        return f'<lyric number="1"{name}>{said}<text>{text}</text></lyric>'

    def hit_xml(self, length, number, staff=""):
        name, dots = _VALUES[length]
        value = f"<type>{name}</type>{'<dot/>' * dots}" if self.shape.values else ""
        if self.shape.hits == "unpitched staff":
            what, head = (
                (
                    "<unpitched><display-step>B</display-step>"
                    "<display-octave>4</display-octave></unpitched>"
                ),
                "",
            )
        else:
            what = "<pitch><step>B</step><octave>4</octave></pitch>"
            head = "<notehead>slash</notehead>"
        return (
            f"<note>{what}<duration>{self.ticks(length)}</duration>"
            f"<voice>{number}</voice>{value}{head}{staff}</note>"
        )

    def rest_xml(self, length, number, staff=""):
        """A rest, or the way past it."""
        kind = self.shape.rests
        about = f"<voice>{number}</voice>"
        if kind in ("forward", "nothing"):
            return f"<forward><duration>{self.ticks(length)}</duration></forward>"
        full = length == self.tune.beats
        if kind == "measure" and full:
            return (
                f'<note><rest measure="yes"/><duration>{self.ticks(length)}</duration>'
                f"{about}{staff}</note>"
            )
        name, dots = _VALUES[length]
        if kind == "whole" and full:
            name, dots = "whole", 0
        value = f"<type>{name}</type>{'<dot/>' * dots}" if self.shape.values else ""
        place = ""
        if self.shape.engraving:
            place = "<display-step>B</display-step><display-octave>4</display-octave>"
        return (
            f"<note><rest>{place}</rest><duration>{self.ticks(length)}</duration>"
            f"{about}{value}{staff}</note>"
        )

    # what stands over the music

    def words_xml(self, text, sound="", symbols=""):
        if self.shape.words == "fonts":
            words = (
                f'<words font-family="Harbour Hand" font-size="9.5" default-y="32" '
                f'xml:lang="en">{escape(text)}</words>'
            )
        elif self.shape.words == "split" and " " in text:
            first, _, rest = text.partition(" ")
            words = f"<words>{escape(first)} </words><words>{escape(rest)}</words>"
        else:
            words = f"<words>{escape(text)}</words>"
        return (
            f'<direction placement="above"><direction-type>{words}</direction-type>'
            f"{symbols}{sound}</direction>"
        )

    def start_signs(self, made):
        text = ""
        if made.section:
            if self.shape.rehearsal == "rehearsal":
                text += (
                    '<direction placement="above"><direction-type><rehearsal>'
                    f"{made.section}</rehearsal></direction-type></direction>"
                )
            else:
                text += (
                    '<direction placement="above"><direction-type><words '
                    f'enclosure="rectangle" font-weight="bold">{made.section}</words>'
                    "</direction-type></direction>"
                )
        for name, there in (("segno", made.segno), ("coda", made.coda)):
            if there:
                text += (
                    f"<direction><direction-type><{name}/></direction-type>"
                    f'<sound {name}="{name}"/></direction>'
                )
        if made.words:
            text += self.words_xml(made.words)
        return text

    def end_signs(self, made):
        text = ""
        if made.to_coda:
            text += self._jump_xml("To Coda", 'tocoda="coda"')
        if made.jump:
            where = 'dalsegno="segno"' if "D.S." in made.jump else 'dacapo="yes"'
            text += self._jump_xml(made.jump, where)
        return text

    def _jump_xml(self, words, sound):
        said = f"<sound {sound}/>"
        # the words of a jump say more than its sound does
        if self.shape.jumps == "sound" and words in ("To Coda", "D.S.", "D.C."):
            return said
        if self.shape.jumps == "with sign" and words == "To Coda":
            return (
                "<direction><direction-type><words>To Coda</words></direction-type>"
                f"<direction-type><coda/></direction-type>{said}</direction>"
            )
        return self.words_xml(words, "" if self.shape.jumps == "words" else said)

    def left_barline(self, made):
        text = ""
        if made.ending_starts:
            printed = {
                "": "", "dot": f"{made.ending}.", "name": f"{made.ending}.",
            }[self.shape.ending_text]  # fmt: skip
            text += f'<ending number="{made.ending}" type="start">{printed}</ending>'
        if made.repeat_start:
            text = (
                f'<bar-style>heavy-light</bar-style>{text}<repeat direction="forward"/>'
            )
        return f'<barline location="left">{text}</barline>' if text else ""

    def right_barline(self, made, last):
        text = ""
        if last or made.repeat_end:
            text += "<bar-style>light-heavy</bar-style>"
        elif made.double:
            text += "<bar-style>light-light</bar-style>"
        if made.ending_ends:
            kind = self.shape.ending_stop
            if made.repeat_end:
                kind = "stop"
            text += f'<ending number="{made.ending}" type="{kind}"/>'
        if made.repeat_end:
            more = made.repeat_end != 2 or self.shape.repeat_times
            times = f' times="{made.repeat_end}"' if more else ""
            text += f'<repeat direction="backward"{times}/>'
        where = ' location="right"' if self.shape.barline_location else ""
        return f"<barline{where}>{text}</barline>" if text else ""

    # a measure

    def attributes(self, index, *, staves=False, clef="", hits=False):
        shape = self.shape
        if index and not (shape.again and index % 3 == 1):
            return self._later_divisions(index)
        later = self._later_divisions(index)
        key = self.tune.key
        fifths = (key if self.by is None or hits else key + self.by).signature
        mode = f"<mode>{key.mode}</mode>" if shape.key_mode else ""
        transpose = ""
        if self.by is not None and not hits:
            transpose = self._transpose_xml(self.by)
        for_part = ""
        if "for-part" in shape.extra and not hits:
            for_part = (
                "<for-part><part-transpose><diatonic>-1</diatonic>"
                "<chromatic>-2</chromatic></part-transpose></for-part>"
            )
        if staves:
            clef = (
                '<staves>2</staves><clef number="1"><sign>G</sign><line>2</line></clef>'
                '<clef number="2"><sign>F</sign><line>4</line></clef>'
            )
        else:
            clef = clef or "<clef><sign>G</sign><line>2</line></clef>"
        if shape.late_attributes and hits:
            return ""
        beats, unit = self.tune.time.split("/")
        return (
            f"{later}<attributes><divisions>{self.divisions}</divisions>"
            f"<key><fifths>{fifths}</fifths>{mode}</key>"
            f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time>"
            f"{clef}{transpose}{for_part}</attributes>"
        )

    def _transpose_xml(self, by):
        semitones, steps = by.chromatic, by.diatonic
        octaves = steps // 7
        change = f"<octave-change>{-octaves}</octave-change>" if octaves else ""
        return (
            f"<transpose><diatonic>{-(steps - 7 * octaves)}</diatonic>"
            f"<chromatic>{-(semitones - 12 * octaves)}</chromatic>{change}</transpose>"
        )

    def _later_divisions(self, index):
        if self.shape.divisions_later and index == 3:
            self.divisions = self.shape.divisions_later
            return self._divisions_xml()
        return ""

    def _divisions_xml(self):
        return f"<attributes><divisions>{self.divisions}</divisions></attributes>"

    def voice_number(self, *, lower=False):
        """The number of the melody's voice, or of the one below it."""
        two = any(each.lower for each in self.tune.bars)
        swapped = two and self.shape.lower_numbered_first
        return str(int(self.shape.melody_voice) + (lower != swapped))

    def melody_items(self, made, staff=""):
        number = self.voice_number()
        if self.shape.wandering and made.number in (3, 6):
            number = str(int(number) + 4)
        items = []
        silent = all(tone.pitch is None for tone in made.tones)
        if silent and self.shape.rests == "nothing":
            return items
        for tone in made.tones:
            if tone.pitch is None:
                text = partial(self.rest_xml, tone.length, number, staff)
            else:
                text = partial(self.note_xml, tone, number, staff)
            items.append(_Item(tone.onset, tone.length, text, 1))
        return items

    def lower_items(self, made, staff=""):
        """The voice below the melody, which is in the next one."""
        number = self.voice_number(lower=True)
        return [
            _Item(
                tone.onset, tone.length, partial(self.lower_xml, tone, number, staff), 1
            )
            for tone in made.lower
        ]

    def lower_xml(self, tone, number, staff):
        """A note of the lower voice; the ties of the melody wait meanwhile."""
        waiting, self._tied_in = self._tied_in, False
        text = self.note_xml(tone, number, staff)
        self._tied_in = waiting
        return text

    def hit_items(self, made, number, staff=""):
        items = []
        at = Fraction(0)
        for onset, length in made.hits:
            if onset > at:
                items += self._rests(at, onset, number, staff)
            text = partial(self.hit_xml, length, number, staff)
            items.append(_Item(onset, length, text, 1))
            at = onset + length
        if at < made.length:
            items += self._rests(at, made.length, number, staff)
        return items

    def _rests(self, at, end, number, staff):
        while at < end:
            for length in sorted(_VALUES, reverse=True):
                fits = length.denominator != 3 and length <= end - at
                if fits and (at % length == 0 or length <= Fraction(1, 2)):
                    break
            yield _Item(at, length, partial(self.rest_xml, length, number, staff), 1)
            at += length

    def over_items(self, made):
        """Chord symbols, by where they are put."""
        shape = self.shape
        if shape.chords == "other part":
            return []
        places = {tone.onset for tone in made.tones}
        items = []
        for onset, symbol in made.chords:
            seat = onset
            if shape.chords == "early offset":
                seat = Fraction(0)
            if shape.chords in ("offset", "before") and onset not in places:
                seat = max(place for place in places if place < onset)
            text = partial(self.harmony_xml, symbol, onset - seat)
            items.append(_Item(seat, Fraction(0), text))
        return items

    def line(self, items, at=Fraction(0)):
        """Items in order, with ways between them; the text and where it ends."""
        text = ""
        for item in sorted(items, key=lambda item: (item.at, item.first)):
            text += self.go(at, item.at) + item.text()
            at = item.at + item.length
            if self._mid_divisions and item.length:
                self.divisions = self._mid_divisions
                self._mid_divisions = 0
                text += self._divisions_xml()
        return text, at

    def go(self, at, to):
        """The way from one place of a bar to another."""
        if to == at:
            return ""
        tag = "forward" if to > at else "backup"
        return f"<{tag}><duration>{self.ticks(abs(to - at))}</duration></{tag}>"

    _tied_in = False
    _mid_divisions = 0
    _off = 0

    def measure(self, made, index, *, with_hits):
        """The content of a melody measure, its attributes left to the caller."""
        shape = self.shape
        if shape.divisions_in_bar and index == 2:
            self._mid_divisions = shape.divisions_in_bar
        staff = "<staff>1</staff>" if with_hits and "staff" in shape.hits else ""
        low = "<staff>2</staff>" if staff else ""
        apart = shape.chords == "backup"
        melody = self.melody_items(made, staff)
        hits = []
        text = self.start_signs(made)
        at = Fraction(0)
        order = ["melody"]
        if with_hits and (made.hits or staff):
            order.insert(0 if shape.hits_first else 1, "hits")
        if made.lower:
            order.insert(0 if shape.hits_first else 1, "lower")
        over_done = False
        for which in order:
            text += self.go(at, Fraction(0))
            if which == "melody":
                items = melody
                if not apart:
                    items = melody + self.over_items(made)
                    over_done = True
                said, at = self.line(items)
            elif which == "lower":
                said, at = self.line(self.lower_items(made, staff))
            else:
                hits = self.hit_items(made, shape.hits_voice, low)
                said, at = self.line(hits)
            text += said
        if not over_done:
            text += self.go(at, Fraction(0))
            said, at = self.line(self.over_items(made))
            text += said
        ends = self.end_signs(made)
        if ends:
            last = made.tones[-1].onset
            to = last if shape.moved_words else made.length
            text += self.go(at, to) + ends
            at = to
        if at < made.length:
            text += self.go(at, made.length)
        return text


def _numbering(made, shape, index):
    each = made.bars[index]
    if each.length < made.beats and not index:
        if shape.pickup == "implicit":
            return 'number="0" implicit="yes"'
        if shape.pickup == "zero":
            return 'number="0"'
        return 'number="1"'
    number = each.number
    if shape.pickup in ("short", "full") and made.bars[0].number == 0:
        number += 1
    if shape.numbers == "from 11":
        number += 10
    if shape.numbers == "letters":
        return f'number="A{number}"'
    return f'number="{number}"'


def _full_pickup(made):
    """The tune with its pickup as a full bar that begins with rests."""
    first = made.bars[0]
    if first.length == made.beats:
        return made
    by = made.beats - first.length
    rests = []
    at = Fraction(0)
    while at < by:
        length = next(
            each
            for each in sorted(_VALUES, reverse=True)
            if each.denominator != 3 and each <= by - at
        )
        rests.append(Tone(at, length, None))
        at += length
    moved = tuple(evolve(tone, onset=tone.onset + by) for tone in first.tones)
    chords = tuple((onset + by, symbol) for onset, symbol in first.chords)
    hits = tuple((onset + by, length) for onset, length in first.hits)
    full = evolve(
        first,
        tones=(*rests, *moved),
        chords=chords,
        hits=hits,
        length=Fraction(made.beats),
    )
    return evolve(made, bars=(full, *made.bars[1:]))


def _halves(each):
    """A bar as two measures."""
    middle = each.length / 2
    left = tuple(tone for tone in each.tones if tone.onset < middle)
    right = tuple(
        evolve(tone, onset=tone.onset - middle)
        for tone in each.tones
        if tone.onset >= middle
    )
    if any(tone.onset + tone.length > middle for tone in left):
        return None
    if any(t.onset < middle < t.onset + t.length for t in each.lower):
        return None
    below = [
        tuple(t for t in each.lower if t.onset < middle),
        tuple(
            evolve(t, onset=t.onset - middle) for t in each.lower if t.onset >= middle
        ),
    ]
    first = evolve(
        each, tones=left, lower=below[0], length=middle, double=False, repeat_end=0,
        jump="",
        chords=tuple(c for c in each.chords if c[0] < middle),
        hits=tuple(h for h in each.hits if h[0] < middle),
        to_coda=False, ending_ends=False,
    )  # fmt: skip
    second = evolve(
        each, tones=right, lower=below[1], length=middle, section="", words="",
        segno=False,
        chords=tuple((at - middle, c) for at, c in each.chords if at >= middle),
        hits=tuple((at - middle, n) for at, n in each.hits if at >= middle),
        coda=False, repeat_start=False, ending_starts=False,
    )  # fmt: skip
    if any(onset + length > middle for onset, length in first.hits):
        return None
    return first, second


def _measures(made, shape):
    """(attributes of the measure element, index of the bar, its content as a bar)."""
    if shape.pickup == "full":
        made = _full_pickup(made)
    out = []
    for index, each in enumerate(made.bars):
        said = _numbering(made, shape, index)
        halves = _halves(each) if index in shape.divided else None
        if halves is None:
            out.append((said, each))
        else:
            out.append((said, halves[0]))
            out.append((f'number="X{index}" implicit="yes"', halves[1]))
    return out


def export(made: Tune, shape: Shape) -> bytes:
    """The tune as a file of this shape."""
    has_hits = any(each.hits for each in made.bars)
    in_part = has_hits and shape.hits in ("staff", "voice", "unpitched staff")
    measures = _measures(made, shape)
    parts = [("P1", "Melody", _melody_part(made, shape, measures, in_part))]
    if has_hits and not in_part:
        parts.append(("P2", "Rhythm", _hits_part(made, shape, measures)))
    if shape.chords == "other part":
        parts.append(("P3", "Chords", _chords_part(made, shape, measures)))
    for name, build in (
        ("drums", _drums), ("tablature", _tablature), ("silent part", _silent),
        ("transposed copy", _copy),
    ):  # fmt: skip
        if name in shape.extra:
            part = build(made, shape, measures)
            parts.append((f"P{len(parts) + 4}", name.title(), part))
    if shape.order == "melody last" and not (
        set(shape.extra) & {"transposed copy", "tablature"}
    ):
        parts.append(parts.pop(0))
    return _score(made, shape, parts)


def _melody_part(made, shape, measures, in_part):
    writer = _Writer(made, shape)
    two_staves = in_part and shape.hits in ("staff", "unpitched staff")
    out = []
    for index, (said, each) in enumerate(measures):
        text = writer.attributes(index, staves=two_staves)
        text = _print_xml(index) + text if "print" in shape.extra else text
        if (
            shape.multirest
            and _is_silent(each)
            and not _is_silent(measures[index - 1][1])
        ):
            text += (
                "<attributes><measure-style><multiple-rest>1</multiple-rest>"
                "</measure-style></attributes>"
            )
        text += writer.left_barline(each)
        if not index:
            text += _opening(shape)
        if index == 1 and "octave shift" in shape.extra:
            text += _shift("down")
        if index == 1 and "figured bass" in shape.extra:
            text += (
                "<figured-bass><figure><figure-number>6</figure-number></figure>"
                "</figured-bass>"
            )
        text += writer.measure(each, index, with_hits=in_part)
        if index == 1 and "octave shift" in shape.extra:
            text += _shift("stop")
        if index == 1 and "lines" in shape.extra:
            text += "".join(
                f"<direction><direction-type><{line}/></direction-type></direction>"
                for line in (
                    'wedge type="crescendo"', 'wedge type="stop"', 'pedal type="start"',
                    'pedal type="stop"', 'dashes type="start"', 'dashes type="stop"',
                )
            )  # fmt: skip
        if "cue notes" in shape.extra and _is_silent(each):
            text += _cue_notes(writer, each)
        bars = writer.right_barline(each, index + 1 == len(measures))
        if not bars and "plain barlines" in shape.extra:
            bars = '<barline location="right"><bar-style>regular</bar-style></barline>'
        text += bars
        if "playback" in shape.extra:
            text = text.replace("</note>", "<play><ipa>a</ipa></play></note>").replace(
                "<voice>", '<instrument id="P1-I1"/><voice>'
            )
        out.append((said, text))
    return out


def _cue_notes(writer, each):
    """What another player has there, in small notes of a third voice."""
    return (
        f"{writer.go(each.length, Fraction(0))}<note><cue/>"
        "<pitch><step>C</step><octave>6</octave></pitch>"
        f"<duration>{writer.ticks(each.length)}</duration><voice>7</voice>"
        "<type>whole</type></note>"
    )


def _is_silent(each):
    return all(tone.pitch is None for tone in each.tones)


def _shift(kind):
    return (
        f'<direction><direction-type><octave-shift type="{kind}" size="8"/>'
        "</direction-type></direction>"
    )


def _print_xml(index):
    if index % 4 == 1:
        return '<print new-system="yes"><system-layout/></print>'
    return "<print/>" if not index else ""


def _opening(shape):
    if shape.tempo == "hidden":
        return (
            '<direction><direction-type><metronome print-object="no">'
            "<beat-unit>quarter</beat-unit><per-minute>132</per-minute></metronome>"
            '</direction-type><sound tempo="132"/></direction>'
        )
    return '<sound tempo="132"/>' if shape.tempo == "sound" else ""


def _plain(shape):
    return evolve(shape, transposed="", divisions_later=0, divisions_in_bar=0)


def _hits_part(made, shape, measures):
    writer = _Writer(made, _plain(shape))
    clef = "<clef><sign>percussion</sign></clef>"
    out = []
    for index, (said, each) in enumerate(measures):
        text = writer.attributes(index, clef=clef, hits=True)
        items = writer.hit_items(each, "1") if each.hits else []
        if each.hits or shape.rests != "nothing":
            items = items or writer.hit_items(each, "1")
        said_notes, at = writer.line(items)
        text += said_notes + writer.go(at, each.length)
        out.append((said, text))
    return out


def _chords_part(made, shape, measures):
    """A part of rests that has the chord symbols."""
    writer = _Writer(made, evolve(_plain(shape), chords="before"))
    out = []
    for index, (said, each) in enumerate(measures):
        text = writer.attributes(index, hits=True)
        rests = [
            _Item(
                Fraction(0),
                each.length,
                partial(
                    "<note><rest measure='yes'/><duration>{}</duration></note>".format,
                    writer.ticks(each.length),
                ),
                1,
            )
        ]
        silent = evolve(each, tones=(Tone(Fraction(0), each.length, None),))
        said_notes, _ = writer.line(writer.over_items(silent) + rests)
        out.append((said, text + said_notes))
    return out


def _drums(made, shape, measures):
    """A drum staff that keeps time all along."""
    writer = _Writer(made, _plain(shape))
    out = []
    for index, (said, each) in enumerate(measures):
        text = writer.attributes(
            index, clef="<clef><sign>percussion</sign></clef>", hits=True
        )
        at = Fraction(0)
        while at < each.length:
            length = min(Fraction(1, 2), each.length - at)
            text += (
                "<note><unpitched><display-step>G</display-step>"
                "<display-octave>5</display-octave></unpitched>"
                f"<duration>{writer.ticks(length)}</duration><voice>1</voice>"
                "<type>eighth</type><notehead>x</notehead></note>"
            )
            at += length
        out.append((said, text))
    return out


def _tablature(made, shape, measures):
    """The melody once more, as tablature."""
    writer = _Writer(made, _plain(shape))
    out = []
    for index, (said, each) in enumerate(measures):
        text = writer.attributes(
            index, clef="<clef><sign>TAB</sign><line>5</line></clef>", hits=True
        )
        bare = evolve(
            each,
            tones=tuple(evolve(tone, syllable="") for tone in each.tones),
            lower=(),
        )
        said_notes, at = writer.line(writer.melody_items(bare))
        out.append((said, text + said_notes + writer.go(at, each.length)))
    return out


def _silent(made, shape, measures):
    """A part that rests throughout, its attributes left to the parts before it."""
    writer = _Writer(made, _plain(shape))
    out = []
    for said, each in measures:
        out.append(
            (
                said,
                f'<note><rest measure="yes"/><duration>{writer.ticks(each.length)}'
                "</duration></note>",
            )
        )
    out[0] = (out[0][0], writer.attributes(0, hits=True) + out[0][1])
    return out


def _copy(made, shape, measures):
    """The melody in a transposed part of the same score."""
    plain = evolve(shape, divisions_later=0, divisions_in_bar=0, transposed="M2")
    writer = _Writer(made, plain)
    out = []
    for index, (said, each) in enumerate(measures):
        text = writer.attributes(index)
        bare = evolve(
            each,
            tones=tuple(evolve(tone, syllable="") for tone in each.tones),
            lower=(),
        )
        said_notes, at = writer.line(writer.melody_items(bare))
        out.append((said, text + said_notes + writer.go(at, each.length)))
    return out


def _head(made, shape):
    title, composer, lyricist = map(escape, (made.title, made.composer, made.lyricist))
    people = (
        f'<creator type="composer">{composer}</creator>'
        f'<creator type="lyricist">{lyricist}</creator>'
    )
    if shape.head == "untyped":
        people = people.replace(' type="composer"', "").replace(' type="lyricist"', "")
    identification = f"<identification>{people}</identification>"
    if shape.head == "work":
        return f"<work><work-title>{title}</work-title></work>{identification}"
    text = f"<movement-title>{title}</movement-title>{identification}"
    if shape.head == "credits":
        text += "".join(
            f'<credit page="1">{kind}<credit-words default-x="5" default-y="9" '
            f'font-size="20">{words}</credit-words></credit>'
            for kind, words in (
                ("<credit-type>title</credit-type>", title),
                ("<credit-type>composer</credit-type>", composer),
                ("", title),
                ("<credit-type>page number</credit-type>", "1"),
            )
        )
    return text


def _score(made, shape, parts):
    listed = "".join(
        f'<score-part id="{name}"><part-name>{called}</part-name></score-part>'
        for name, called, _ in parts
    )
    head = f"{_head(made, shape)}<part-list>{listed}</part-list>"
    if shape.form == "timewise":
        count = len(parts[0][2])
        body = "".join(
            f"<measure {parts[0][2][at][0]}>"
            + "".join(f'<part id="{name}">{m[at][1]}</part>' for name, _, m in parts)
            + "</measure>"
            for at in range(count)
        )
        kind = "timewise"
    else:
        body = "".join(
            f'<part id="{name}">'
            + "".join(f"<measure {said}>{text}</measure>" for said, text in measures)
            + "</part>"
            for name, _, measures in parts
        )
        kind = "partwise"
    spaces = ' xmlns:xlink="http://www.w3.org/1999/xlink"' if shape.namespaces else ""
    text = f'<score-{kind} version="4.0"{spaces}>{head}{body}</score-{kind}>'
    return _bytes(text, kind, shape)


def _bytes(text, kind, shape):
    if shape.form == "comments":
        text = re.sub(r"(?<=</note>)", '<!-- a note --><?seen by="nobody"?>', text)
    if shape.form == "utf-16":
        return f'<?xml version="1.0" encoding="UTF-16"?>{text}'.encode("utf-16")
    start = '<?xml version="1.0" encoding="UTF-8"?>\n'
    if shape.form == "doctype":
        start += (
            f"<!DOCTYPE score-{kind} PUBLIC "
            f'"-//Recordare//DTD MusicXML 4.0 {kind.title()}//EN" '
            f'"http://www.musicxml.org/dtds/{kind}.dtd">\n'
        )
    data = (start + text).encode()
    if shape.form != "mxl":
        return data
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "META-INF/container.xml",
            '<container><rootfiles><rootfile full-path="tune.xml"/></rootfiles>'
            "</container>",
        )
        archive.writestr("tune.xml", data)
    return packed.getvalue()
