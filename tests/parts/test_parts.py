"""Parts: what each reader of the band gets from one concert sheet."""

from fractions import Fraction

import pytest
from attrs import evolve

from leadsheet_theory import NoteName, Pitch, make_parts
from leadsheet_theory.chords import parse_chord
from leadsheet_theory.errors import ChordSpellingError, RespellError
from leadsheet_theory.instruments import find_book, find_instrument
from leadsheet_theory.key import Key
from leadsheet_theory.leadsheet import (
    Bar,
    Direction,
    FormSigns,
    Hit,
    Jump,
    LeadSheet,
    Note,
    PlacedChord,
    Rest,
)
from leadsheet_theory.parts import Respell, solo_changes
from leadsheet_theory.rhythm import Meter, NoteValue

COMMON = Meter(4, 4)
EB = Key.parse("Eb major")
QUARTER = NoteValue("quarter")
EIGHTH = NoteValue("eighth")


def bar(number, melody="", chords="", *, key=EB, **signs):
    """A bar of quarter notes, or with `/` of eighths; chords two to a bar."""
    events, onset = [], Fraction(0)
    for word in melody.split():
        value = EIGHTH if word.startswith("/") else QUARTER
        name = word.lstrip("/")
        if name == "rest":
            events.append(Rest(onset, value.duration, value))
        else:
            pitches = tuple(Pitch.parse(each) for each in name.split("+"))
            events.append(
                Note(onset=onset, duration=value.duration, pitches=pitches, value=value)
            )
        onset += value.duration
    placed = tuple(
        PlacedChord(Fraction(2 * place), parse_chord(text))
        for place, text in enumerate(chords.split())
    )
    return Bar(
        number=number,
        key=key,
        meter=COMMON,
        length=Fraction(4),
        melody=tuple(events),
        chords=placed,
        **signs,
    )


def sheet(*bars):
    return LeadSheet(title="Slack Water", bars=bars)


def part(of, name, **options):
    (made,) = make_parts(of, books=(find_book(name),), **options)
    return made


def melody(each):
    return " ".join(str(p) for p in each.pitches)


def changes(each):
    return " ".join(map(str, each.symbols))


TURN = sheet(bar(1, "Bb4 C5 D5 Eb5", "F#m7 B7"), bar(2, "G4 G4 Bb4 Eb5", "Ebmaj7"))


class TestKeysAndSpelling:
    @pytest.mark.parametrize(
        ("source", "book", "written"),
        [
            # C. E. Gardner, Essentials of Music Theory: the usual signatures; winds
            # prefer six flats (C. Schmidt-Jones, "Transposition: Changing Keys")
            ("Eb", "C", "Eb"),
            ("Eb", "Bb", "F"),
            ("Eb", "Eb", "C"),
            ("Eb", "F", "Bb"),
            ("B", "Bb", "Db"),
            ("B", "Eb", "Ab"),
            ("E", "Bb", "Gb"),
            ("Gb", "Bb", "Ab"),
            ("Cm", "Bb", "Dm"),
        ],
    )
    def test_written_key(self, source, book, written):
        tune = sheet(bar(1, "C5 C5 C5 C5", key=Key.parse(source)))
        assert part(tune, book).report.key == Key.parse(written)

    def test_the_two_five_reads_flat_in_the_b_flat_book(self):
        assert [changes(each) for each in part(TURN, "Bb").bars] == [
            "Abm7 Db7",
            "Fmaj7",
        ]
        told = part(TURN, "Bb").report.chords[0]
        assert str(told).startswith("bar 1: Abm7, not G#m7 (")

    @pytest.mark.parametrize(
        ("onset", "duration", "written"),
        [
            # common practice, no source: a note held into a chord goes along with it
            ("1", "2", "Eb5"),  # half of it
            ("1", "3", "Eb5"),  # most of it
            ("0", "3", "D#5"),  # less than half
        ],
    )
    def test_a_note_goes_along_with_the_chord_that_half_of_it_stands_over(
        self, onset, duration, written
    ):
        note = Note(
            onset=Fraction(onset),
            duration=Fraction(duration),
            pitches=(Pitch.parse("C#5"),),
        )
        tune = sheet(
            evolve(bar(1, "", "Ebmaj7 F#m7"), melody=(note,)),
            bar(2, "D5 D5 D5 D5", "B7 Ebmaj7"),
        )
        assert melody(part(tune, "Bb").bars[0]) == written

    def test_the_source_s_own_roots_stay_in_the_c_book(self):
        assert changes(part(TURN, "C").bars[0]) == "F#m7 B7"
        assert part(TURN, "C").report.chords == ()

    def test_one_chord_of_one_part_can_be_respelled(self):
        wish = Respell(1, Fraction(3), NoteName.parse("C#"), "Bb")
        plain, asked = make_parts(TURN), make_parts(TURN, respell=[wish])
        assert [a == b for a, b in zip(plain, asked, strict=True)] == [
            True, False, True, True, True,
        ]  # fmt: skip
        assert changes(asked[1].bars[0]) == "G#m7 C#7"
        apart = [
            (a.symbols, b.symbols)
            for a, b in zip(
                (*plain[1].bars, *plain[1].solo),
                (*asked[1].bars, *asked[1].solo),
                strict=True,
            )
            if a.symbols != b.symbols
        ]
        assert len(apart) == 2  # the tune's bar, and its place on the solo page

    def test_a_wish_without_a_book_goes_where_it_sounds_right(self):
        wish = Respell(1, Fraction(3), NoteName.parse("C#"))
        assert [changes(each.bars[0]) for each in make_parts(TURN, respell=[wish])] == [
            "F#m7 B7", "G#m7 C#7", "Ebm7 Ab7", "Dbm7 Gb7", "F#m7 B7",
        ]  # fmt: skip

    def test_a_chord_of_the_solo_page_has_a_number_of_its_own(self):
        wish = Respell(3, Fraction(3), NoteName.parse("C#"), "Bb")
        asked = part(TURN, "Bb", respell=[wish])
        assert changes(asked.bars[0]) == "Abm7 Db7"
        assert (asked.solo[0].shared.number, changes(asked.solo[0])) == (3, "G#m7 C#7")

    @pytest.mark.parametrize(
        ("wish", "error", "message"),
        [
            (
                Respell(1, Fraction(2), NoteName.parse("Gb"), "C"),
                RespellError,
                "no chord to respell in bar 1, beat 2: there are F♯m7 on beat 1, "
                "B7 on beat 3",
            ),
            (
                Respell(9, Fraction(1), NoteName.parse("Gb"), "C"),
                RespellError,
                "no chord to respell in bar 9, beat 1: the bar has none",
            ),
            (
                Respell(1, Fraction(1), NoteName.parse("Gb"), "G"),
                RespellError,
                "no part called 'G' to respell Gb in: there are C",
            ),
        ],
    )
    def test_wishes_that_cannot_be_met(self, wish, error, message):
        with pytest.raises(error) as raised:
            part(TURN, "C", respell=[wish])
        assert str(raised.value) == message

    def test_a_wish_never_changes_the_sound(self):
        with pytest.raises(ChordSpellingError):
            part(TURN, "C", respell=[Respell(1, 1, NoteName.parse("G"), "C")])

    def test_no_double_accidental_where_the_source_has_none(self):
        tune = sheet(bar(1, "A4 A#4 B4 C#5", key=Key.parse("A major")))
        made = part(tune, "Eb", six_signs="sharps")
        assert melody(made.bars[0]) == "F#5 G5 G#5 A#5"
        assert [str(each) for each in made.report.notes] == [
            "bar 1: G5, not F𝄪5 (no double accidental where the source has none)"
        ]


class TestOctave:
    def test_bass_clef_goes_down_where_the_melody_lies_high(self):
        made = part(sheet(bar(1, "Bb4 C5 D5 Eb5")), "Bass clef")
        assert melody(made.bars[0]) == "Bb3 C4 D4 Eb4"
        assert made.report.octaves == -1
        assert made.report.octave_reason.startswith("Bass clef: an octave down")

    def test_bass_clef_keeps_a_low_melody(self):
        made = part(sheet(bar(1, "Bb2 C3 D3 Eb3")), "Bass clef")
        assert (melody(made.bars[0]), made.report.octaves) == ("Bb2 C3 D3 Eb3", 0)

    def test_an_instrument_in_place_of_a_book(self):
        tenor = find_instrument("tenor sax")
        (made,) = make_parts(sheet(bar(1, "Bb4 C5 D5 Eb5")), books=(tenor,))
        assert made.name == tenor.name
        assert made.sound_id == "wind.reed.saxophone.tenor"
        assert made.headings == ("Tenor Saxophone in B♭ – lead sheet",)
        sounding = [p + made.to_sounding for p in made.bars[0].pitches]
        moved = 12 * made.report.octaves
        assert [p.midi - moved for p in sounding] == [70, 72, 74, 75]

    def test_a_tune_too_wide_for_its_reader_is_told(self):
        made = part(sheet(bar(1, "C3 C5 C5 D7", form=FormSigns(barline="final"))), "Bb")
        assert [(f.rule, f.bar) for f in made.report.findings] != []
        assert {f.rule for f in made.report.findings} == {"range"}

    def test_a_chart_without_melody_has_no_range(self):
        made = part(sheet(bar(1, "", "F7 Bb7")), "Bb")
        assert (made.report.low, made.report.high, made.report.octaves) == (
            None,
            None,
            0,
        )
        (rest,) = made.bars[0].bar.melody
        assert rest == Rest(Fraction(0), Fraction(4), whole_bar=True)


class TestRhythm:
    def test_a_lone_off_beat_keeps_its_flag(self):
        made = part(sheet(bar(1, "Bb4 /rest /C5 /D5 /Eb5 Eb5")), "C")
        marks = [each[0] if each else "" for each in made.bars[0].melody_look.beams]
        assert marks == ["", "", "", "begin", "end", ""]

    def test_a_gap_becomes_rests_and_a_long_note_is_tied(self):
        whole = Bar(
            number=1, key=EB, meter=COMMON, length=Fraction(4),
            melody=(Note(onset=Fraction(3, 2), duration=Fraction(3, 2),
                         pitches=(Pitch.parse("G4"),)),),
        )  # fmt: skip
        made = part(sheet(whole), "C").bars[0].bar.melody
        assert [
            (type(e).__name__, e.value.name, getattr(e, "tied_to_next", False))
            for e in made
        ] == [
            ("Rest", "quarter", False), ("Rest", "eighth", False),
            ("Note", "eighth", True), ("Note", "quarter", False),
            ("Rest", "quarter", False),
        ]  # fmt: skip

    def test_under_a_cue_the_melody_s_stems_go_down(self):
        hits = (Hit(Fraction(3, 2), Fraction(1, 2), EIGHTH),)
        made = part(sheet(bar(1, "F4 F4 F4 F4", hits=hits)), "C").bars[0]
        assert made.stems == ("down", "down", "up", "up")
        assert [type(each).__name__ for each in made.cue] == ["Rest", "Rest", "Hit"]
        assert made.cue[-1].onset + made.cue[-1].duration == 2  # no rest after it

    def test_cues_can_be_left_out_or_labelled(self):
        hits = (Hit(Fraction(0), Fraction(1), QUARTER),)
        tune = sheet(bar(1, "F4 F4 F4 F4", hits=hits))
        assert part(tune, "C", cues=False).bars[0].cue == ()
        assert part(tune, "C").bars[0].cue_label == ""
        assert part(tune, "C", cue_label="hits").bars[0].cue_label == "hits"


class TestPages:
    TUNE = sheet(
        bar(0, "Bb4 C5 D5 Eb5"),
        *(bar(n, "G4 G4 Bb4 Eb5", "Ebmaj7 C7") for n in range(1, 9)),
    )

    def test_four_bars_to_a_system_the_pickup_not_counted(self):
        for made in make_parts(self.TUNE):
            starts = [b.shared.number for b in made.bars if b.starts_system]
            assert starts == [0, 5]

    def test_the_solo_page_starts_a_page_and_counts_on(self):
        made = part(self.TUNE, "C")
        assert made.solo[0].starts_page
        assert [b.shared.number for b in made.solo] == list(range(9, 13))
        assert all(len(b.slashes) == 4 for b in made.solo)
        assert part(self.TUNE, "C", solo_page=False).solo == ()

    def test_headings_on_every_page(self):
        assert part(self.TUNE, "Bb").headings == (
            "B♭ – lead sheet",
            "B♭ – lead sheet, solos",
        )
        pattern = "{title}, {book} ({page})"
        made = part(self.TUNE, "Eb", heading=pattern, solo_heading="{book} {page}")
        assert made.headings == (
            "Slack Water, E♭ (1)",
            "E♭ 2",
        )

    def test_what_all_parts_share_is_the_same(self):
        first, *others = make_parts(self.TUNE)
        for other in others:
            assert [b.shared for b in other.bars] == [b.shared for b in first.bars]
            assert other.plan == first.plan


def test_the_sound_is_the_source_s_in_every_part():
    for made in make_parts(TURN):
        for source, each in zip(TURN.bars, made.bars, strict=True):
            heard = [(p + made.to_sounding).midi for p in each.pitches]
            wanted = [n.pitch.midi + 12 * made.report.octaves for n in source.melody]
            assert heard == wanted
            assert [(s.root + made.to_sounding).pitch_class for s in each.symbols] == [
                placed.symbol.root.pitch_class for placed in source.chords
            ]


def test_parts_are_values():
    assert make_parts(TURN) == make_parts(TURN)
    assert hash(make_parts(TURN)[1]) == hash(make_parts(TURN)[1])


class TestWhatIsTold:
    def test_a_bracket_that_stops_short_is_drawn_out_and_told(self):
        first = FormSigns(ending=(1,), ending_starts=True)
        second = FormSigns(ending=(2,), ending_starts=True, barline="final")
        tune = sheet(
            bar(1, "G4 G4 G4 G4", "Ebmaj7"),
            bar(2, "G4 G4 G4 G4", "Bb7", form=first),
            bar(3, "G4 G4 G4 G4", form=FormSigns(repeat_end=2)),
            bar(4, "G4 G4 G4 G4", "Ebmaj7", form=second),
        )
        made = part(tune, "Bb", solo_page=solo_changes(tune, form="as written"))
        for page in (made.bars, made.solo):
            assert [each.bar.form.ending for each in page] == [(), (1,), (1,), (2,)]
            assert [each.shared.ending_stops for each in page] == [
                False, False, True, True,
            ]  # fmt: skip
        assert [str(finding) for finding in made.report.findings] == [
            "bar 2: ending 1 stops short of its end repeat: drawn out to bar 3"
        ]
        assert [each.form.ending for each in made.source.bars] == [(), (1,), (), (2,)]

    def test_what_the_solo_page_has_otherwise_is_told(self):
        quick = (
            PlacedChord(Fraction(0), parse_chord("Ebmaj7")),
            PlacedChord(Fraction(1), parse_chord("Gb7")),
            PlacedChord(Fraction(3, 2), parse_chord("F7")),
            PlacedChord(Fraction(2), parse_chord("Bb7")),
        )
        one = bar(1, "G4 G4 G4 G4")
        tune = sheet(
            Bar(
                number=1,
                key=EB,
                meter=COMMON,
                length=Fraction(4),
                melody=one.melody,
                chords=quick,
            ),
            bar(2, "G4 G4 G4 G4", "Bb7", form=FormSigns(barline="final")),
        )
        told = [
            [str(finding) for finding in made.report.findings]
            for made in make_parts(tune)
        ]
        assert (
            told
            == [
                [
                    "bar 1, beat 2½: F7 stays off the beat: another chord comes "
                    "before the next one",
                ]
            ]
            * 5
        )
        assert part(tune, "C", solo_page=False).report.findings == ()

    @pytest.mark.parametrize(
        ("signs", "drawn", "told"),
        [
            ({}, "final", ["bar 2: a final bar line is drawn here"]),
            ({"barline": "final"}, "final", []),
            ({"barline": "double"}, "double", []),
            ({"repeat_end": 2}, "regular", []),
            (
                {"jump": Jump("capo")},
                "final",
                ["bar 2: a final bar line is drawn here"],
            ),
        ],
    )
    def test_a_tune_ends_with_a_final_bar_line(self, signs, drawn, told):
        first = bar(1, "G4 G4 G4 G4", "Ebmaj7")
        made = part(sheet(first, bar(2, "G4 G4 G4 G4", form=FormSigns(**signs))), "Bb")
        assert [each.bar.form.barline for each in made.bars] == ["regular", drawn]
        assert made.solo[-1].bar.form.repeat_end == 2
        assert [str(finding) for finding in made.report.findings] == told


class TestWords:
    """Words that name a sound mean what chord symbols mean: common practice."""

    @pytest.mark.parametrize(
        ("words", "book", "written"),
        [
            ("Bb pedal", "Bb", "C pedal"),
            ("(B♭ ped.)", "Eb", "(G ped.)"),
            ("pedal on Bb", "F", "pedal on F"),
            ("Pedal F#", "Bb", "Pedal Ab"),
            ("F#m7", "Bb", "Abm7"),
            ("Eb 7/Bb", "Bb", "F7/C"),
            ("Eb 7/Bb", "Bass clef", "Eb 7/Bb"),
            ("2nd time Bb7 Eb7", "Eb", "2nd time G7 C7"),
            ("A7-D7", "Bb", "B7-E7"),
            ("Bb instruments", "Eb", "Bb instruments"),
            ("lay back", "Bb", "lay back"),
            ("A tempo", "Bb", "A tempo"),
            ("with pedal", "Bb", "with pedal"),
            ("Ad lib.", "Eb", "Ad lib."),
        ],
    )
    def test_a_named_sound_has_the_letters_of_the_part(self, words, book, written):
        said = (Direction(Fraction(0), "words", words),)
        tune = sheet(bar(1, "G4 G4 Bb4 Eb5", "Ebmaj7", directions=said))
        made = part(tune, book)
        assert made.bars[0].bar.directions[0].text == written

    @pytest.mark.parametrize("words", ["F79", "Fèm7 Bb7", "G"])
    def test_what_only_looks_like_a_chord_is_left_out_of_transposed_parts(self, words):
        said = (Direction(Fraction(0), "words", words),)
        tune = sheet(bar(1, "G4 G4 Bb4 Eb5", "Ebmaj7", directions=said))
        texts = [
            [d.text for d in made.bars[0].bar.directions if "Solos" not in d.text]
            for made in make_parts(tune)
        ]
        assert texts == [[words], [], [], [], [words]]
        findings = part(tune, "Bb").report.findings
        (told,) = [each for each in findings if each.rule == "chord-words"]
        assert (told.rule, told.severity, told.bar) == ("chord-words", "error", 1)
        assert repr(words) in told.message

    def test_a_pedal_on_the_solo_page_too(self):
        said = (Direction(Fraction(0), "words", "Bb pedal"),)
        tune = sheet(bar(1, "G4 G4 Bb4 Eb5", "Ebmaj7", directions=said))
        texts = [made.solo[0].bar.directions[-1].text for made in make_parts(tune)]
        assert texts == [f"{note} pedal" for note in ("Bb", "C", "G", "F", "Bb")]
