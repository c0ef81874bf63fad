"""Small notes of a file: cues in the melody's staff, or a staff of nothing else."""

from __future__ import annotations

import pytest

from leadsheet_theory.musicxml import ReadResult, parse_lead_sheet

CUE = "<note><cue/><pitch><step>B</step><octave>4</octave></pitch>{}</note>"
SMALL = (
    "<note><pitch><step>B</step><octave>4</octave></pitch>{}"
    '<type size="cue">eighth</type></note>'
)
REST = "<note>{cue}<rest/><duration>{length}</duration></note>"
WHOLE = (
    "<note><pitch><step>C</step><octave>5</octave></pitch>"
    "<duration>8</duration><type>whole</type></note>"
)
LENGTH = "<duration>{}</duration>"
START = (
    "<attributes><divisions>2</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)
FORM = "<work><work-title>Rope</work-title></work>"


def figure(note: str, *, cue: str = "") -> str:
    """A push before beat 3, and rests."""
    rest = REST.format(cue=cue, length=3)
    more = REST.format(cue=cue, length=4)
    return rest + note.format(LENGTH.format(1)) + more


def read(*parts: tuple[str, str], **asked: str) -> ReadResult:
    """Four bars of each part, by its name, alike."""
    names = "".join(
        f'<score-part id="P{n}"><part-name>{name}</part-name></score-part>'
        for n, (name, _) in enumerate(parts, 1)
    )
    music = "".join(
        f'<part id="P{n}">'
        + "".join(
            f'<measure number="{bar}">{START if bar == 1 else ""}{inside}</measure>'
            for bar in range(1, 5)
        )
        + "</part>"
        for n, (_, inside) in enumerate(parts, 1)
    )
    score = f"<score-partwise>{FORM}<part-list>{names}</part-list>{music}"
    return parse_lead_sheet(f"{score}</score-partwise>".encode(), **asked)


@pytest.mark.parametrize(
    "inside", [figure(CUE), figure(CUE, cue="<cue/>"), figure(SMALL)]
)
@pytest.mark.parametrize("first", ["Voice", "Piano"])
def test_a_staff_of_small_notes_is_asked_about(inside: str, first: str) -> None:
    parts = [("Voice", WHOLE), ("Piano", inside)]
    if first == "Piano":
        parts.reverse()
    result = read(*parts)
    assert str(result.sheet.bars[0].melody[0].pitch) == "C5"  # type: ignore[union-attr]
    assert not any(bar.hits for bar in result.sheet.bars)
    (asked,) = [f for f in result.findings if f.rule == "staff"]
    assert "small notes: hits, or a cue of the melody" in asked.message
    assert not [f for f in result.findings if "a cue note" in f.message]


def test_the_small_notes_are_hits_if_the_user_says_so() -> None:
    result = read(("Voice", WHOLE), ("Piano", figure(CUE)), hits="Piano")
    hits = [[str(hit.onset) for hit in bar.hits] for bar in result.sheet.bars]
    assert hits == [["3/2"]] * 4


def test_cues_in_the_melody_s_staff_are_told_but_not_their_rests() -> None:
    back = "<backup><duration>8</duration></backup>"
    cue = figure(CUE, cue="<cue/>").replace("</note>", "<voice>2</voice></note>")
    result = read(("Voice", WHOLE + back + cue))
    assert [str(bar.melody[0].duration) for bar in result.sheet.bars] == ["4"] * 4
    assert not any(bar.counterline for bar in result.sheet.bars)
    (lost,) = [f for f in result.findings if f.severity != "note"]
    assert "<note> is not carried: a cue note" in lost.message


def test_small_notes_of_the_melody_stay_with_it() -> None:
    result = read(("Voice", figure(SMALL)))
    melody = result.sheet.bars[0].melody
    assert [type(event).__name__ for event in melody] == ["Rest", "Note", "Rest"]
