"""How often the key is found from the notes alone, beside the published profiles.

    python tests/benchmarks/key_accuracy.py [FOLDER…] [--corpus mozart …]

FOLDER holds lead sheets (.mxl, .musicxml, .xml); a corpus is one that music21 carries.
The profiles are music21's own implementations (``analysis.discrete``), which get the
same notes in the same run.  Printed is the share of key signatures found, and of
signature, tonic and mode together where the file says the mode.
"""

from __future__ import annotations

import argparse
import xml.etree.ElementTree as ET
from pathlib import Path

from _spelled_scores import Score, _xml, lead_sheet, score
from music21 import corpus, note, stream
from music21.analysis import discrete

from leadsheet_theory.errors import TheoryError
from leadsheet_theory.key import Key
from leadsheet_theory.spelling import find_key

CORPORA = {
    "chorales": "bach",
    "mozart": "mozart",
    "haydn": "haydn",
    "beethoven": "beethoven",
    "schumann": "schumann_robert",
}
PROFILES = {
    "Krumhansl-Schmuckler": discrete.KrumhanslSchmuckler,
    "Aarden-Essen": discrete.AardenEssen,
    "Bellman-Budge": discrete.BellmanBudge,
    "simple weights": discrete.SimpleWeights,
    "Temperley": discrete.TemperleyKostkaPayne,
}


def mode_of(path: Path) -> str:
    """The mode that the file states at its start, or an empty text."""
    stated = ET.fromstring(_xml(path)).find(".//key/mode")
    mode = (stated.text or "").strip() if stated is not None else ""
    return mode if mode in ("major", "minor") else ""


def by_profile(one: Score, profile: type) -> tuple[int, str]:
    heard = stream.Stream()
    for each in one.notes:
        if each.heard.duration > 0:
            sound = note.Note(each.heard.midi, quarterLength=each.heard.duration)
            heard.insert(each.heard.onset, sound)
    found = profile().getSolution(heard)
    return found.sharps, found.mode


def ours(one: Score, _profile: object) -> tuple[int, str]:
    key: Key = find_key([each.heard for each in one.notes])
    return key.signature, key.mode


def report(title: str, scores: list[tuple[Score, str]]) -> None:
    moded = sum(bool(mode) for _, mode in scores)
    print(f"{title}: {len(scores)} pieces, the mode stated in {moded}")
    ways = {"this library": (ours, None)}
    ways |= {name: (by_profile, profile) for name, profile in PROFILES.items()}
    for name, (way, profile) in ways.items():
        signature = whole = 0
        for one, mode in scores:
            sharps, found = way(one, profile)
            right = (sharps - one.keys[0].signature) % 12 == 0
            signature += right
            whole += right and bool(mode) and found == mode
        share = 100 * signature / max(len(scores), 1)
        said = (
            f"  {name:22} signature {share:6.2f} % ({len(scores) - signature} missed)"
        )
        if moded:
            said += f", tonic and mode {100 * whole / moded:6.2f} %"
        print(said)


def read_all(paths, read, *, modes: bool) -> list[tuple[Score, str]]:
    found = []
    for path in sorted(paths):
        if path.suffix not in (".mxl", ".musicxml", ".xml"):
            continue
        try:
            one = read(path)
        except (TheoryError, ValueError, KeyError) as error:
            print(f"  not read: {path.name}: {str(error).splitlines()[0]}")
            continue
        if one.notes:
            found.append((one, mode_of(path) if modes else ""))
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folders", nargs="*", type=Path)
    parser.add_argument("--corpus", action="append", default=[], choices=CORPORA)
    options = parser.parse_args()
    for folder in options.folders:
        # the mode that lead sheets state is "major" nearly everywhere
        report(str(folder), read_all(folder.iterdir(), lead_sheet, modes=False))
    for name in options.corpus:
        folder = Path(corpus.__file__).parent / CORPORA[name]
        report(name, read_all(folder.rglob("*"), score, modes=True))


if __name__ == "__main__":
    main()
