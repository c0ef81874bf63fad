"""Worked transpositions: concert to written, from published sources.

The table beside the project names the source of each row; the cases below
that need no table are from Miller, The Complete Idiot's Guide to Music Theory,
ch. 18 p. 231 (concert keys), and Wikipedia, "Alto saxophone" and "Soprano
saxophone" (pitches).
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from leadsheet_theory.chords import parse_chord
from leadsheet_theory.instruments import Book, Instrument, find_book, find_instrument
from leadsheet_theory.key import Key
from leadsheet_theory.pitch import NoteName, Pitch

PATH = Path(__file__).resolve().parents[2] / ".." / "shared" / "reference"
EXAMPLES = PATH / "transposition_examples.csv"
GROUPS = {
    "B-flat instruments": "Bb",
    "E-flat instruments": "Eb",
    "F instruments": "F",
    "Clarinet in F / basset horn in F": "F",
}


def _rows() -> list[dict[str, str]]:
    if not EXAMPLES.exists():
        return []
    with EXAMPLES.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _reader(name: str) -> Instrument | Book:
    return find_book(GROUPS[name]) if name in GROUPS else find_instrument(name)


def _named(text: str) -> list[str]:
    """The answers a cell gives: ``Gb major (or F# major)``, ``A or B``, ``A#/Bb``."""
    plain = text.split(" (not ")[0].replace("(or ", "or ").replace(")", "")
    plain = plain.split(" (")[0]
    return [part.strip() for part in plain.split(" or ")]


ROWS = _rows()


@pytest.mark.skipif(
    not ROWS, reason="the reference tables beside the project are absent"
)
def test_there_are_examples() -> None:
    assert len(ROWS) >= 116


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda row: f"{row['instrument']} {row['concert']} {row['what']}"
)
def test_the_written_example_holds(row: dict[str, str]) -> None:
    reader = _reader(row["instrument"])
    if row["what"] == "key":
        key = Key.parse(row["concert"])
        answers = [Key.parse(each) for each in _named(row["written"])]
        assert reader.written_key(key) in answers
    elif row["what"] == "chord":
        chord = parse_chord(row["concert"])
        written = chord.transposed(-reader.transposition)
        assert str(written) == str(parse_chord(row["written"]))
    elif row["concert"][-1].isdigit():
        assert str(reader.written(Pitch.parse(row["concert"]))) == row["written"]
    else:
        written_names = {
            reader.written(NoteName.parse(each)).pitch_class
            for each in row["concert"].split("/")
        }
        assert written_names == {
            NoteName.parse(each).pitch_class for each in row["written"].split("/")
        }


# Miller p. 231: concert key, then B♭, E♭ and F instruments.  Where the book prints
# two keys (of six or seven signs) either is right.
MILLER = {
    "C": ("D", "A", "G"),
    "Db": ("Eb", "Bb", "Ab"),
    "D": ("E", "B", "A"),
    "Eb": ("F", "C", "Bb"),
    "E": ("Gb F#", "Db", "B"),
    "F": ("G", "D", "C"),
    "Gb": ("Ab", "Eb", "Db"),
    "G": ("A", "E", "D"),
    "Ab": ("Bb", "F", "Eb"),
    "A": ("B", "Gb F#", "E"),
    "Bb": ("C", "G", "F"),
    "B": ("Db", "Ab", "Gb F#"),
}


@pytest.mark.parametrize("concert", MILLER)
def test_concert_keys_of_the_books(concert: str) -> None:
    key = Key.parse(concert)
    for name, written in zip(("Bb", "Eb", "F"), MILLER[concert], strict=True):
        book = find_book(name)
        ours = book.written_key(key)
        assert str(ours.tonic) in written.split()
        assert book.sounding_key(ours).tonic.pitch_class == key.tonic.pitch_class
    assert find_book("C").written_key(key) == key


@pytest.mark.parametrize(
    ("name", "concert", "written"),
    [
        ("soprano sax", "Ab3", "Bb3"),
        ("soprano sax", "E6", "F#6"),
        ("alto sax", "Db3", "Bb3"),
        ("alto sax", "A5", "F#6"),
    ],
)
def test_pitches_of_the_saxophones(name: str, concert: str, written: str) -> None:
    saxophone = find_instrument(name)
    assert str(saxophone.written(Pitch.parse(concert))) == written
    assert str(saxophone.sounding(Pitch.parse(written))) == concert
