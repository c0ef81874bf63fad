"""Written parts: the elements of MusicXML 4.0 that an engraver's program reads."""

from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest
from attrs import evolve
from parts_check import schema_errors

from leadsheet_theory import Pitch, make_parts, write_lead_sheet, write_part
from leadsheet_theory.chords import CAPITALS, NoChord, parse_chord
from leadsheet_theory.errors import MusicXMLWriteError
from leadsheet_theory.instruments import find_book, find_instrument
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import (
    Bar,
    Direction,
    FormSigns,
    Hit,
    Jump,
    LeadSheet,
    Lyric,
    Mark,
    Note,
    PlacedChord,
    Rest,
    Slur,
    Tempo,
)
from leadsheet_theory.rhythm import Meter, NoteValue, Tuplet
from leadsheet_theory.spelling import AccidentalRules

COMMON = Meter(4, 4)
EB = Key.parse("Eb major")
NAMES = {"q": NoteValue("quarter"), "e": NoteValue("eighth"), "h": NoteValue("half")}


def line(text):
    """Notes such as ``q:Bb4 e:rest``, one after the other."""
    events, onset = [], Fraction(0)
    for word in text.split():
        name, pitch = word.split(":")
        value = NAMES[name]
        if pitch == "rest":
            events.append(Rest(onset, value.duration, value))
        else:
            events.append(
                Note(
                    onset=onset,
                    duration=value.duration,
                    pitches=(Pitch.parse(pitch),),
                    value=value,
                )
            )
        onset += value.duration
    return tuple(events)


def bar(number=1, melody="q:Bb4 q:C5 q:D5 q:Eb5", **more):
    events = line(melody) if isinstance(melody, str) else melody
    more = {"key": EB, "meter": COMMON, "length": Fraction(4), **more}
    return Bar(number=number, melody=events, **more)


def written(*bars, book="C", style=None, **options):
    """The root of a written part, which is valid by the W3C's schema."""
    head = {"title": "Slack Water", **options.pop("head", {})}
    (part,) = make_parts(
        LeadSheet(bars=bars, **head), books=(find_book(book),), **options
    )
    data = write_part(part) if style is None else write_part(part, style=style)
    assert schema_errors(data) == []
    return ET.fromstring(data)


def texts(root, path):
    return [element.text for element in root.iterfind(path)]


class TestAttributes:
    @pytest.mark.parametrize(
        ("reader", "transpose"),
        [
            # W3C MusicXML 4.0, transpose: from written to sounding, octaves apart
            ("Trumpet in B♭", ("-1", "-2", None)),
            ("Tenor Saxophone in B♭", ("-1", "-2", "-1")),
            ("Alto Saxophone in E♭", ("-5", "-9", None)),
            ("Baritone Saxophone in E♭", ("-5", "-9", "-1")),
            ("Horn in F", ("-4", "-7", None)),
        ],
    )
    def test_transpose(self, reader, transpose):
        sheet = LeadSheet(title="Slack Water", bars=(bar(),))
        (part,) = make_parts(sheet, books=(find_instrument(reader),))
        element = ET.fromstring(write_part(part)).find(".//transpose")
        names = ("diatonic", "chromatic", "octave-change")
        assert tuple(element.findtext(name) for name in names) == transpose

    def test_a_part_at_pitch_says_no_transposition(self):
        assert written(bar()).find(".//transpose") is None

    def test_the_letters_of_an_enharmonic_key(self):
        """B major is written in D♭ for B♭ readers: a diminished third."""
        root = written(bar(melody="q:B4 q:B4 q:B4 q:B4", key=Key.parse("B")), book="Bb")
        assert root.findtext(".//fifths") == "-5"
        assert root.findtext(".//diatonic") == "-2"
        assert root.findtext(".//chromatic") == "-2"

    def test_key_metre_clef(self):
        root = written(
            bar(meter=Meter(4, 4, symbol="common")),
            bar(2, melody="q:Bb4 q:C5 q:D5", meter=Meter(3, 4), length=Fraction(3)),
            bar(
                3,
                melody="q:Bb4 q:C5 q:D5 q:D5 q:D5",
                meter=Meter(5, 4, (3, 2)),
                length=Fraction(5),
                key=Key.parse("C minor"),
            ),
            book="Bass clef",
            solo_page=False,
        )
        assert texts(root, ".//clef/sign") == ["F"]
        assert [e.get("symbol") for e in root.iter("time")] == ["common", None, None]
        assert texts(root, ".//time/beats") == ["4", "3", "3+2"]
        assert texts(root, ".//key/mode") == ["major", "minor"]

    def test_sound_ids_of_the_sounds_list(self):
        sounds = {
            part.name: ET.fromstring(write_part(part)).findtext(".//instrument-sound")
            for part in make_parts(LeadSheet(title="Slack Water", bars=(bar(),)))
        }
        assert sounds == {
            "C": "wind.flutes.flute",
            "B♭": "brass.trumpet.bflat",
            "E♭": "wind.reed.saxophone.alto",
            "F": "brass.french-horn",
            "Bass clef": "brass.trombone.tenor",
        }


class TestNotes:
    def test_beams_stems_and_accidentals(self):
        root = written(bar(melody="e:B4 e:C5 e:B4 e:Bb4 q:rest e:rest e:Eb4"))
        notes = list(root.iter("note"))[:6]
        assert [n.findtext("beam") for n in notes] == [
            "begin", "continue", "continue", "end", None, None,
        ]  # fmt: skip
        assert [n.findtext("accidental") for n in notes] == [
            "natural", None, None, "flat", None, None,
        ]  # fmt: skip
        assert [n.findtext("stem") for n in notes[:4]] == ["down"] * 4

    def test_a_courtesy_accidental_is_cautionary(self):
        bars = bar(melody="q:B4 q:C5 q:D5 q:Eb5"), bar(2)
        sign = list(written(*bars).iter("accidental"))[1]
        assert (sign.text, sign.get("cautionary")) == ("flat", "yes")
        rules = AccidentalRules(parentheses=True)
        sign = list(written(*bars, accidentals=rules).iter("accidental"))[1]
        assert sign.get("parentheses") == "yes"

    def test_ties_for_ear_and_eye(self):
        melody = (
            Note(
                onset=Fraction(0),
                duration=Fraction(4),
                pitches=(Pitch.parse("G4"),),
                value=NoteValue("whole"),
                tied_to_next=True,
            ),
        )
        after = Note(
            onset=Fraction(0),
            duration=Fraction(4),
            pitches=(Pitch.parse("G4"),),
            value=NoteValue("whole"),
            tied_from_previous=True,
        )
        first, second = list(written(bar(melody=melody), bar(2, (after,))).iter("note"))
        assert [first.find("tie").get("type"), second.find("tie").get("type")] == [
            "start", "stop",
        ]  # fmt: skip
        assert first.find("notations/tied").get("type") == "start"

    def test_a_triplet_has_a_bracket_unless_a_beam_holds_it(self):
        def triplet(*names):
            return tuple(
                Note(
                    onset=Fraction(place)
                    * NoteValue(name, tuplet=Tuplet(3, 2)).duration,
                    duration=NoteValue(name, tuplet=Tuplet(3, 2)).duration,
                    pitches=(Pitch.parse("G4"),),
                    value=NoteValue(
                        name, tuplet=Tuplet(3, 2, starts=place == 0, ends=place == 2)
                    ),
                )
                for place, name in enumerate(names)
            )

        for name, bracket in (("eighth", "no"), ("quarter", "yes")):
            root = written(bar(melody=triplet(name, name, name)))
            assert [e.get("type") for e in root.iter("tuplet")] == ["start", "stop"]
            assert root.find(".//tuplet").get("bracket") == bracket
            assert root.findtext(".//time-modification/actual-notes") == "3"

    def test_what_stands_on_a_note(self):
        rich = Note(
            onset=Fraction(0),
            duration=Fraction(2),
            pitches=(Pitch.parse("G4"), Pitch.parse("Eb4")),
            value=NAMES["h"],
            lyrics=(Lyric("hum & hold", "begin", 2, extend="start"),),
            marks=(Mark("accent"), Mark("fermata"), Mark("trill-mark")),
            slurs=(Slur("start", 1), Slur("start", 2, "glissando")),
        )
        grace = Note(
            onset=Fraction(2),
            duration=Fraction(0),
            pitches=(Pitch.parse("F#4"),),
            value=NAMES["e"],
            grace="slashed",
        )
        rest = Rest(Fraction(2), Fraction(2), NAMES["h"], marks=(Mark("fermata"),))
        end = line("h:G4 h:rest")[0]
        root = written(bar(melody=(rich, grace, rest)), bar(2, (end, rest)))
        first, second, graced, silent = list(root.iter("note"))[:4]
        assert [e.tag for e in first.find("notations")] == [
            "slur", "glissando", "articulations", "fermata", "ornaments",
        ]  # fmt: skip
        assert first.findtext("lyric/text") == "hum & hold"
        assert first.find("lyric").get("number") == "2"
        assert first.find("lyric/extend") is not None
        assert second.find("chord") is not None
        assert graced.find("grace").get("slash") == "yes"
        assert silent.find("notations/fermata") is not None


class TestSigns:
    def test_the_form(self):
        root = written(
            bar(0, melody="q:Bb4", length=Fraction(1)),
            bar(form=FormSigns(section="A", repeat_start=True, segno=True)),
            bar(2, form=FormSigns(ending=(1, 3), ending_starts=True, repeat_end=4)),
            bar(
                3,
                form=FormSigns(
                    ending=(2,), ending_starts=True, barline="double", to_coda=True
                ),
            ),
            bar(4, form=FormSigns(jump=Jump("segno", "coda"))),
            bar(5, form=FormSigns(coda=True, fine=True, barline="final")),
            solo_page=False,
        )
        pickup, one, two, three, four, five = root.iter("measure")
        assert (pickup.get("number"), pickup.get("implicit")) == ("0", "yes")
        assert one.findtext(".//rehearsal") == "A"
        assert one.find("barline").get("location") == "left"
        assert one.find(".//repeat").get("direction") == "forward"
        assert one.find(".//sound").get("segno") == "segno"
        assert [(e.get("number"), e.get("type")) for e in root.iter("ending")] == [
            ("1, 3", "start"), ("1, 3", "stop"), ("2", "start"), ("2", "discontinue"),
        ]  # fmt: skip
        assert two.find(".//repeat").get("times") == "4"
        assert three.findtext(".//bar-style") == "light-light"
        assert three.find(".//sound").get("tocoda") == "coda"
        assert four.findtext(".//words") == "D.S. al Coda"
        assert four.find(".//sound").get("dalsegno") == "segno"
        assert five.findtext(".//bar-style") == "light-heavy"
        assert five.find(".//sound[@fine]") is not None

    def test_the_jump_after_the_solos_stands_on_their_page_and_leads_to_the_head(self):
        root = written(
            bar(
                form=FormSigns(segno=True),
                chords=(PlacedChord(Fraction(0), parse_chord("C7")),),
            ),
            bar(2, form=FormSigns(to_coda=True)),
            bar(3, form=FormSigns(jump=Jump("segno", "coda"))),
            bar(4, form=FormSigns(coda=True)),
        )
        sounds = [
            value
            for sound in root.iter("sound")
            for name, value in sound.items()
            if name != "tempo"
        ]
        assert sounds == ["segno", "coda", "coda", "segno"]
        words = [each.text for each in root.iter("words")]
        assert words == [
            "To Coda",
            "to Solos, p. 2",
            "Solos: repeat till cue",
            "After solos, D.S. al Coda",
        ]

    def test_directions_and_tempo(self):
        tempo = Tempo(NoteValue("quarter", 1), Fraction(80))
        root = written(
            bar(
                directions=(
                    Direction(Fraction(0), "dynamics", "mf", above=False),
                    Direction(Fraction(3, 2), "words", "<lay back>"),
                    Direction(Fraction(2), "dynamics", "louder"),
                    Direction(Fraction(2), "tempo", tempo=tempo),
                )
            ),
            head={"style": "Slow bounce", "tempo": tempo},
        )
        assert texts(root, ".//words") == ["Slow bounce", "<lay back>"]
        assert root.find(".//dynamics/mf") is not None
        assert texts(root, ".//other-dynamics") == ["louder"]
        assert [e.get("tempo") for e in root.iter("sound")] == ["120", "120"]
        assert texts(root, ".//direction/offset") == ["1"]
        opening = root.find(".//direction")
        assert [kind[0].tag for kind in opening.iterfind("direction-type")] == [
            "words", "metronome",
        ]  # fmt: skip

    def test_headings_stand_on_every_page(self):
        root = written(
            *(bar(n, chords=(PlacedChord(Fraction(0), parse_chord("C7")),))
              for n in (1, 2)),
            book="Bb",
        )  # fmt: skip
        heads = [
            (credit.get("page"), credit.findtext("credit-words"))
            for credit in root.iter("credit")
            if credit.findtext("credit-type") in ("title", "part name")
        ]
        assert heads == [
            ("1", "Slack Water"), ("1", "B♭ – lead sheet"),
            ("2", "Slack Water"), ("2", "B♭ – lead sheet, solos"),
        ]  # fmt: skip
        assert [m.get("number") for m in root.iter("measure")] == ["1", "2", "3", "4"]
        pages = [m.get("number") for m in root.iter("measure")
                 if m.find("print[@new-page='yes']") is not None]  # fmt: skip
        assert pages == ["3"]

    def test_a_long_title_is_set_smaller_and_leaves_the_heading_alone(self):
        chords = (PlacedChord(Fraction(0), parse_chord("C7")),)
        sizes = []
        for title in ("Slack Water", "Slack Water " * 6, "Slack Water " * 20):
            root = written(bar(chords=chords), book="Bb", head={"title": title})
            words = {
                (credit.get("page"), credit.findtext("credit-type")): credit.find(
                    "credit-words"
                )
                for credit in root.iter("credit")
            }
            heights = [
                float(words["1", kind].get("default-y"))
                for kind in ("title", "part name")
            ]
            assert heights[0] > heights[1]
            sizes.append(
                tuple(int(words[page, "title"].get("font-size")) for page in "12")
            )
        assert sizes == [(22, 14), (14, 8), (8, 8)]


class TestChords:
    def test_symbols_in_a_house_style(self):
        symbols = (
            PlacedChord(Fraction(0), parse_chord("Bbmaj7/D")),
            PlacedChord(Fraction(1), parse_chord("C7b9")),
            PlacedChord(Fraction(3), NoChord()),
        )
        melody = line("h:Bb4 h:C5")
        root = written(bar(melody=melody, chords=symbols), solo_page=False)
        first, second, none = root.iter("harmony")
        assert (first.findtext("kind"), first.find("kind").get("text")) == (
            "major-seventh", "maj7",
        )  # fmt: skip
        assert first.findtext("bass/bass-step") == "D"
        assert second.find("degree").get("print-object") == "no"
        assert second.findtext("offset") == "1"
        assert (none.findtext("kind"), none.find("kind").get("text")) == (
            "none",
            "N.C.",
        )
        styled = written(bar(melody=melody, chords=symbols), style=CAPITALS)
        assert styled.find(".//kind").get("text") == "MA7"

    def test_slashes_on_the_solo_page(self):
        root = written(bar(chords=(PlacedChord(Fraction(2), parse_chord("C7")),)))
        first, solo = root.iter("measure")
        style = solo.find("attributes/measure-style/slash")
        assert (style.get("type"), style.get("use-stems")) == ("start", "no")
        slashes = list(solo.iter("note"))
        assert [n.findtext("notehead") for n in slashes] == ["slash"] * 4
        assert [n.findtext("stem") for n in slashes] == ["none"] * 4
        order = [e.tag for e in solo if e.tag in ("note", "harmony")]
        assert order == ["note", "note", "harmony", "note", "note"]
        assert first.find("attributes/measure-style") is None

    def test_slashes_in_another_clef_are_silent_pitches_of_the_key(self):
        """Some programs place unpitched notes as if the clef were a treble one."""
        tune = bar(
            melody="q:Eb3 q:D3 q:Eb3 q:Eb3",
            chords=(PlacedChord(Fraction(0), parse_chord("Eb7")),),
            hits=(Hit(Fraction(0), Fraction(1), NAMES["q"]),),
        )
        heads = {}
        for book in ("C", "Bass clef"):
            root = written(tune, book=book)
            slashes = [
                n for n in root.iter("note") if n.findtext("notehead") == "slash"
            ]
            assert all(n.find("accidental") is None for n in slashes)
            assert [n.get("dynamics") for n in slashes] == [None, *["0"] * 4]
            assert slashes[0].find("cue") is not None
            assert slashes[0].get("print-leger") == "no"
            heads[book] = [
                (n[1] if n[0].tag == "cue" else n[0]) for n in (slashes[0], slashes[1])
            ]
        # the place over the staff and the middle line, of E flat major in bass clef
        assert [[e.text for e in head] for head in heads["C"]] == [
            ["G", "5"], ["B", "4"],
        ]  # fmt: skip
        assert [head.tag for head in heads["C"]] == ["unpitched"] * 2
        assert [[e.text for e in head] for head in heads["Bass clef"]] == [
            ["B", "-1", "3"], ["D", "3"],
        ]  # fmt: skip
        assert [head.tag for head in heads["Bass clef"]] == ["pitch"] * 2


class TestCue:
    HITS = (
        Hit(Fraction(3, 2), Fraction(1, 2), NAMES["e"], tied_to_next=True),
        Hit(Fraction(2), Fraction(1), NAMES["q"], tied_from_previous=True,
            marks=(Mark("accent"),)),
    )  # fmt: skip

    def cue(self, **more):
        root = written(bar(hits=self.HITS, **more), solo_page=False)
        measure = root.find(".//measure")
        return measure, [n for n in measure.iter("note") if n.findtext("voice") == "2"]

    def test_a_voice_of_slashes_above_cut_after_the_last_hit(self):
        measure, notes = self.cue(melody="q:Bb4 q:C5 q:D5 q:C5")
        assert [n.find("rest") is not None for n in notes] == [True, True, False, False]
        assert all(n.find("cue") is not None for n in notes)
        assert {n.findtext("stem") for n in notes[2:]} == {"up"}
        assert {n.findtext("notehead") for n in notes[2:]} == {"slash"}
        # the slash, two spaces high, is clear of a D on the fourth line
        assert {n.findtext("unpitched/display-step") for n in notes[2:]} == {"A"}
        assert measure.findtext("backup/duration") == "8"
        last = measure.findall("forward")[-1]
        assert last.findtext("duration") == "2"
        melody = [n for n in measure.iter("note") if n.findtext("voice") == "1"]
        assert [n.findtext("stem") for n in melody] == ["down"] * 4

    def test_it_stands_over_a_high_melody(self):
        _, notes = self.cue(melody="q:A5 q:A5 q:A5 q:A5")
        heads = [n for n in notes if n.find("unpitched") is not None]
        assert heads[0].findtext("unpitched/display-step") == "E"
        assert heads[0].findtext("unpitched/display-octave") == "6"

    def test_it_stands_beside_a_counterline_in_a_voice_of_its_own(self):
        """MusicXML's voice is one line of notes: three lines, three voices."""
        measure, below = self.cue(
            melody="q:Bb4 q:C5 q:D5 q:C5", counterline=line("h:G4 h:F4")
        )
        voices = {
            voice: [n for n in measure.iter("note") if n.findtext("voice") == voice]
            for voice in ("1", "2", "3")
        }
        assert len(voices["1"]) == 4
        assert [n.findtext("pitch/step") for n in below] == ["G", "F"]
        assert not any(n.find("cue") is not None for n in below)
        assert len(voices["3"]) == 4
        assert all(n.find("cue") is not None for n in voices["3"])


class TestWhatCannotBeWritten:
    def refused(self, **more):
        with pytest.raises(MusicXMLWriteError) as error:
            write_lead_sheet(LeadSheet(**{"title": "x", "bars": (bar(),), **more}))
        return str(error.value)

    def test_a_character_that_xml_has_not(self):
        assert self.refused(title="Slack\x00Water") == (
            "'Slack\\x00Water' holds the character U+0000, which XML cannot carry"
        )

    def test_a_note_in_octave_ten(self):
        note = Note(
            onset=Fraction(0), duration=Fraction(4), pitches=(Pitch("C", 0, 10),)
        )
        assert self.refused(bars=(bar(melody=(note,)),)) == (
            "bar 1, beat 1: C10 lies outside octaves 0 to 9, which MusicXML can write"
        )

    def test_a_note_that_lasts_nothing(self):
        note = Note(
            onset=Fraction(0), duration=Fraction(0), pitches=(Pitch.parse("C4"),)
        )
        assert self.refused(bars=(bar(melody=(note,)),)) == (
            "bar 1: a note of 0 divisions cannot be written: "
            "expected a duration above 0"
        )

    def test_a_mark_without_a_name_of_the_standard(self):
        note = Note(
            onset=Fraction(0),
            duration=Fraction(4),
            pitches=(Pitch.parse("C4"),),
            marks=(Mark("wobble"),),
        )
        assert self.refused(bars=(bar(melody=(note,)),)).startswith(
            "bar 1: no mark 'wobble' that can stand on a note alone: expected one of "
        )


def test_text_is_escaped():
    odd = "A <B> & \"C\" 'D'\r\n♭"
    root = ET.fromstring(
        write_lead_sheet(LeadSheet(title=odd, bars=(bar(),), composer="<&>"))
    )
    assert root.findtext("work/work-title") == odd
    assert root.findtext(".//creator") == "<&>"


def test_an_unwritable_note_is_named_with_part_bar_and_beat():
    deep = line("q:C5 q:C-1 h:C5".replace("C-1", "C1"))
    low = tuple(
        evolve(event, pitches=(Pitch("C", 0, -1),)) if place == 1 else event
        for place, event in enumerate(deep)
    )
    sheet = LeadSheet(title="Slack Water", bars=(bar(melody=low),))
    with pytest.raises(MusicXMLWriteError, match=r"^bar 1, beat 2: C-1 lies outside"):
        write_lead_sheet(sheet)
    (part, *_) = make_parts(sheet)
    with pytest.raises(MusicXMLWriteError, match=r"^C, bar 1, beat 2: "):
        write_part(part)
