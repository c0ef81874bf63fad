"""Parts of outside music, read back by an independent reader.

The charts are music21's own: the lead sheets of its corpus, and tunes of its
collections (Aird's Airs, O'Neill's Music of Ireland, Ryan's Mammoth Collection),
which it turns into MusicXML.  music21 must hear in each part what it hears in the
source: the same onsets, durations and pitches, but for the octaves that the part
reports, and the same chord roots and basses.
"""

import warnings
from pathlib import Path

import music21
import pytest
from parts_check import differences, heard, schema_errors, typed_chords

from leadsheet_theory import make_parts, read_lead_sheet, write_part

PROJECT = Path(__file__).resolve().parents[2]
CORPUS = Path(music21.__file__).parent / "corpus"
SHEETS = PROJECT / "../shared/leadsheets"
LEAD_SHEETS = sorted((CORPUS / "leadSheet").glob("*.mxl"))


def check(data, every=1):
    """Make, write and read back the parts of a chart; each N-th of them."""
    result = read_lead_sheet(data)
    source = heard(data)
    typed = typed_chords(result.findings)
    for part in make_parts(result.sheet)[::every]:
        written = write_part(part)
        assert schema_errors(written) == [], part.name
        assert list(differences(source, written, part, typed)) == [], part.name


@pytest.mark.parametrize("path", LEAD_SHEETS, ids=lambda path: path.stem)
def test_the_corpus_lead_sheets(path):
    check(path.read_bytes())


TUNES = [
    *(("airdsAirs/book1.abc", number) for number in range(1, 9)),
    *(("oneills1850/0001-0050.abc", number) for number in range(1, 11)),
    *((f"ryansMammoth/{path.name}", None)
      for path in sorted((CORPUS / "ryansMammoth").glob("*.abc"))[::90]),
]  # fmt: skip


@pytest.mark.parametrize("at", range(len(TUNES)), ids=lambda at: str(TUNES[at]))
def test_tunes_of_the_corpus(at):
    name, number = TUNES[at]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        tune = music21.converter.parse(
            CORPUS / name, number=number, forceSource=True, storePickle=False
        )
        data = music21.musicxml.m21ToXml.GeneralObjectExporter(tune).parse()
    result = read_lead_sheet(data)
    part = make_parts(result.sheet)[at % 5]
    written = write_part(part)
    assert schema_errors(written) == []
    assert list(differences(heard(data), written, part)) == []


def test_some_real_lead_sheets():
    if not SHEETS.is_dir():
        pytest.skip(
            "no ../shared/leadsheets on this machine: the corpus alone is tried"
        )
    for path in sorted(SHEETS.glob("*.mxl"))[7::60]:
        check(path.read_bytes(), every=2)
