"""Invented tunes to be written as files of every shape (:mod:`export_shapes`)."""

from __future__ import annotations

from fractions import Fraction

from attrs import evolve, frozen

from leadsheet_theory.key import Key
from leadsheet_theory.pitch import Pitch


@frozen
class Tone:
    """A note (or a rest, without a pitch) of a voice, in quarter notes."""

    onset: Fraction
    length: Fraction
    pitch: Pitch | None
    tied: bool = False
    syllable: str = ""
    triplet: str = ""  # "start", "middle", "stop"


@frozen
class TuneBar:
    """A bar; `words` are those of form and others over its start, or its end."""

    tones: tuple[Tone, ...]
    lower: tuple[Tone, ...] = ()
    chords: tuple[tuple[Fraction, str], ...] = ()
    hits: tuple[tuple[Fraction, Fraction], ...] = ()
    section: str = ""
    words: str = ""
    segno: bool = False
    coda: bool = False
    to_coda: bool = False
    jump: str = ""
    repeat_start: bool = False
    repeat_end: int = 0
    ending: str = ""
    ending_starts: bool = False
    ending_ends: bool = False
    double: bool = False
    length: Fraction = Fraction(4)
    number: int = 0


@frozen
class Tune:
    """A tune, `beats` quarter notes a bar; its first bar may be shorter, a pickup."""

    title: str
    composer: str
    lyricist: str
    key: Key
    beats: int
    bars: tuple[TuneBar, ...]
    time: str


def voice(text):
    """Tones from text: ``C5:1/2`` (``r`` a rest, ``~`` tied on, a syllable after a
    comma), three thirds in a row a triplet."""
    tones = []
    at = Fraction(0)
    thirds = 0
    for word in text.split():
        said, _, syllable = word.partition(",")
        tied = said.endswith("~")
        name, _, length = said.rstrip("~").partition(":")
        length = Fraction(length)
        triplet = ""
        if length.denominator == 3:
            triplet = ("start", "middle", "stop")[thirds]
            thirds = (thirds + 1) % 3
        pitch = None if name == "r" else Pitch.parse(name)
        tones.append(Tone(at, length, pitch, tied, syllable, triplet))
        at += length
    return tuple(tones)


def bar(text, chords="", hits="", lower="", **signs):
    """A bar from text: its tones and those of a lower voice, chords as ``F@0 Gm7@2``,
    hits as ``0:1 3/2:1/2``."""
    tones = voice(text)
    placed = tuple(
        (Fraction(word.partition("@")[2] or 0), word.partition("@")[0])
        for word in chords.split()
    )
    struck = tuple(
        tuple(Fraction(part) for part in word.split(":")) for word in hits.split()
    )
    length = sum((tone.length for tone in tones), Fraction(0))
    return TuneBar(tones, voice(lower), placed, struck, length=length, **signs)


def tune(title, key, beats, bars, *, time=""):
    """A tune with its bars numbered."""
    first = 0 if bars[0].length < beats else 1
    numbered = tuple(evolve(each, number=first + at) for at, each in enumerate(bars))
    names = "The Tar Barrels", "N. Bollard"
    return Tune(title, *names, Key.parse(key), beats, numbered, time or f"{beats}/4")


BOLLARD_BOUNCE = tune(
    "Bollard Bounce",
    "F major",
    4,
    [
        bar("A4:1/2 C5:1/2,tie-", ""),
        bar("A4:1,-up C5:1,the D5:1,boat C5:1,and", "F@0", section="A",
            repeat_start=True),
        bar("Bb4:3/2,wait G4:1/2~,for G4:2", "Gm7@0 C7@2", "0:1 3/2:1/2"),
        bar("A4:1/3,ri- G4:1/3,-sing F4:1/3,wa- E4:1,-ter F4:2,now",
            "Am7b5@0 D7@2"),
        bar("r:4", "Gm7@0 C7@3", "0:1/2 3/2:1/2 3:1"),
        bar("D5:2,round C5:2,we", "Bbmaj7@0 Bdim7@2", ending="1", ending_starts=True),
        bar("A4:4~,go", "F6@0 D7@2", ending="1", ending_ends=True, repeat_end=2),
        bar("D5:2,home E5:2,the", "Gm7@0 C7@2", ending="2", ending_starts=True),
        bar("F5:3,tide r:1/2 C5:1/2,will", "F6@0", "0:1 2:1", ending="2",
            ending_ends=True, double=True),
        bar("D5:1,car- D5:1,-ry D5:1/2,all C5:1/2,of A4:1,us", "Bbmaj7@0",
            section="B", words="lightly"),
        bar("C5:2,out A4:2,to", "Am7@0 D7@5/2"),
        bar("G4:1,sea D5:1 C5:1 Bb4:1", "Gm7@0 C7/G@2", "0:1 3/2:1/2 2:1 7/2:1/2"),
        bar("F4:4", "F6@0"),
    ],
)  # fmt: skip

LOCK_KEEPERS_WALTZ = tune(
    "The Lock Keeper's Waltz",
    "G minor",
    3,
    [
        bar("D5:1"),
        bar("G5:2 F5:1", "Gm@0", section="A", segno=True),
        bar("Eb5:1 D5:1 C5:1", "Cm7@0"),
        bar("D5:3~", "D7@0", to_coda=True),
        bar("D5:1 r:1 D5:1", "Gm6@0"),
        bar("Bb4:1 C5:1 D5:1", "Ebmaj7@0", section="B", words="sweetly"),
        bar("C5:3/2 Bb4:1/2 A4:1", "Am7b5@0 D7@2"),
        bar("G4:3", "Gm@0"),
        bar("r:1 D5:2", "D7@0", jump="D.S. al Coda", double=True),
        bar("G4:3~", "Gm6@0", coda=True),
        bar("G4:3", "Gm6@0"),
    ],
)  # fmt: skip

TWO_STEP_FOR_A_TUG = tune(
    "Two Step for a Tug",
    "Eb major",
    4,
    [
        bar("Eb5:3/2 D5:1/2 Eb5:1 G4:1", "Ebmaj7@0", "0:1 3/2:1/2", section="A",
            repeat_start=True),
        bar("Bb4:1 C5:1/2 Bb4:1/2~ Bb4:2", "Cm7@0 F7@2", "1:1 3:1"),
        bar("Ab4:1 F4:1 D5:1 Ab4:1", "Fm7@0 Bb7@2"),
        bar("G4:4", "Ebmaj7@0 C7@5/2", "0:1/2 3/2:1/2", repeat_end=3),
        bar("r:4", "Abmaj7@0", "0:1/2 3/2:1/2 3:1/2", section="B"),
        bar("r:4", "Abm6@0", "0:1/2 3/2:1/2"),
        bar("G4:3/4 Ab4:1/4 A4:3/4 Bb4:1/4 C5:2", "Ebmaj7@0 C7@2"),
        bar("F4:2 D4:2", "Fm7@0 Bb7@2"),
        bar("Eb4:4", "Eb6@0"),
    ],
)  # fmt: skip

JIG_FOR_A_DREDGER = tune(
    "Jig for a Dredger",
    "D major",
    3,
    [
        bar("A4:1/2,come"),
        bar("D5:1,down- F#5:1/2,-stream D5:1,in A4:1/2,the", "D@0", section="A",
            repeat_start=True),
        bar("B4:3/2,grey D5:3/2,light", "G@0 G6@3/2"),
        bar("C#5:1/2 B4:1/2 A4:1/2 B4:1 C#5:1/2", "A7@0", "0:1/2 1:1/2 5/2:1/2"),
        bar("D5:1 r:1/2 A4:1 A4:1/2", "D@0 A7@3/2", repeat_end=2),
        bar("r:3", "Em7@0", "0:1/2 1:1/2 5/2:1/2", section="B", words="hush"),
        bar("G4:3/2 B4:3/2~", "A7@0"),
        bar("B4:1 A4:1/2 F#4:1 E4:1/2", "D@0 Bm7@3/2"),
        bar("D4:3", "D6@0", jump="D.C. al Fine", double=True),
    ],
    time="6/8",
)  # fmt: skip

CUT_TIME_FOR_CORKS = tune(
    "Cut Time for Corks",
    "Ab major",
    4,
    [
        bar("C5:2 Eb5:2", "Abmaj7@0 F7@2", "1:1 3:1", section="A"),
        bar("Db5:3 C5:1", "Bbm7@0 Eb7@2", segno=True),
        bar("Bb4:1 Ab4:1~ Ab4:2", "Abmaj7@0", to_coda=True),
        bar("r:2 Eb4:1 F4:1", "Fm7@0 Bb7@3", "0:2 3:1"),
        bar("G4:2 Bb4:2", "Eb7@0", section="B"),
        bar("r:1 Ab4:1 C5:2", "Abmaj7@0 Db6@2", jump="D.S. al Coda", double=True),
        bar("Ab4:4", "Ab6@0", coda=True),
    ],
    time="2/2",
)  # fmt: skip

ROUND_FOR_TWO_TENDERS = tune(
    "Round for Two Tenders",
    "Bb major",
    4,
    [
        bar("D5:1 F5:1 Eb5:1 D5:1", "Bbmaj7@0", lower="Bb4:2 A4:2", section="A",
            repeat_start=True),
        bar("C5:2 D5:2", "Cm7@0 F7@2", lower="G4:1 A4:1 Bb4:2"),
        bar("Bb4:4", "Bb6@0", lower="D4:1 F4:1 G4:2", repeat_end=2),
        bar("G5:2 F5:2", "Ebmaj7@0", section="B"),
        bar("Eb5:3/2 D5:1/2 C5:2", "Cm7@0 Bbmaj7@2", lower="G4:2 F4:2"),
        bar("D5:2 C5:2", "Dm7@0 F7@2", lower="Bb4:4"),
        bar("Bb4:4", "Bb6@0", lower="F4:2 D4:2"),
    ],
)  # fmt: skip

TUNES = (
    BOLLARD_BOUNCE,
    LOCK_KEEPERS_WALTZ,
    TWO_STEP_FOR_A_TUG,
    JIG_FOR_A_DREDGER,
    CUT_TIME_FOR_CORKS,
    ROUND_FOR_TWO_TENDERS,
)
