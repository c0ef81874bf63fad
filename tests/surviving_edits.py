"""Edit the library in small wrong ways and see whether its tests notice.

    python tests/surviving_edits.py [WORD…]

Each row of the table below is a fault that once passed all tests.  The script copies
the project, makes one edit at a time, and runs the tests of the edited code's own
folder: they must fail.  With words, only the edits whose description holds one of them
are tried.  Exits 1 and names the edits that survive, or that no longer apply because
the code has changed: put their row in order then, the fault may come back.

Not part of the quick suite.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]


class Edit(NamedTuple):
    """A fault: what is wrong then, where, the text and what it becomes, and the folder
    of tests that must notice."""

    what: str
    file: str
    text: str
    becomes: str
    tests: str


EDITS = (
    Edit(
        "a push by half a beat is no anticipation",
        "leadsheet/felt_chords.py",
        "2 * (ends - at) <= ends - begins",
        "2 * (ends - at) < ends - begins",
        "leadsheet",
    ),
    Edit(
        "an open tie has one sign, as if its other half stood beside it",
        "musicxml/writing/_note.py",
        "if tied or open_tie:",
        "if tied:",
        "leadsheet",
    ),
    Edit(
        "a key without signs draws six sharps or flats to its side",
        "spelling/transposing.py",
        "new.signature * key.signature < 0",
        "new.signature * key.signature <= 0",
        "spelling",
    ),
    Edit(
        "half of a note under a respelled chord is not enough",
        "parts/_sounds.py",
        "2 * together >= end - start",
        "2 * together > end - start",
        "parts",
    ),
    Edit(
        "two eighths are a run where a half bar is joined wherever it can be",
        "rhythm/beams.py",
        "return run if len(run) >= 3 else",
        "return run if len(run) >= 2 else",
        "rhythm",
    ),
    Edit(
        "6/4 has no beams by the quarter",
        "rhythm/beams.py",
        "if in_thirds and max(lengths) > 2:",
        "if in_thirds and max(lengths) > 3:",
        "rhythm",
    ),
    Edit(
        "triplets that a file has rounded lose their beam",
        "rhythm/beams.py",
        "self.slack = tick // 16",
        "self.slack = 0",
        "rhythm",
    ),
    Edit(
        "a double-dotted rest is let pass",
        "rhythm/bars.py",
        "event.value.dots == 1)",
        "event.value.dots >= 1)",
        "rhythm",
    ),
    Edit(
        "10/8 falls into 2+3+2+3",
        "rhythm/meter.py",
        "(10, 8): (3, 2, 3, 2),",
        "(10, 8): (2, 3, 2, 3),",
        "rhythm",
    ),
    Edit(
        "the F book's comfortable range",
        "instruments/books.py",
        '"F#3-C6", "C4-G5"',
        '"F#3-C6", "C4-A5"',
        "instruments",
    ),
    Edit(
        "a suspended chord with a flat 13 has no seventh",
        "chords/_suffix.py",
        "not number and colours & {9, 13}",
        "not number and colours & {9}",
        "chords",
    ),
    Edit(
        "folding sees no section after a repeat",
        "leadsheet/folding.py",
        "or before.form.repeat_end",
        "or False",
        "leadsheet",
    ),
    Edit(
        "D.C. al Fine leaves at a to coda",
        "leadsheet/form.py",
        'self.jump.until in ("", "coda")',
        'self.jump.until in ("", "coda", "fine")',
        "leadsheet",
    ),
    Edit(
        "a heavy-heavy bar line is read as a double one",
        "musicxml/_vocabulary.py",
        '"heavy-heavy": "final"',
        '"heavy-heavy": "double"',
        "musicxml",
    ),
    Edit(
        "cue and counterline are written in one voice",
        "musicxml/writing/_bar.py",
        "voice=3 if shared.source.counterline else 2",
        "voice=2",
        "musicxml",
    ),
    Edit(
        "a bass staff is printed where nothing stands on it",
        "musicxml/writing/_added.py",
        "shown = any(bar.has_notes for bar in staff.bars[start:end])",
        "shown = True",
        "parts",
    ),
    Edit(
        "a break that names no bars lasts as long as its section",
        "parts/stop_time.py",
        "_BREAK: Final = 4",
        "_BREAK: Final = 400",
        "parts",
    ),
    Edit(
        "a drummer stops under N.C.",
        "instruments/rhythm_books.py",
        "    stops_at_no_chord=False,",
        "    stops_at_no_chord=True,",
        "parts",
    ),
    Edit(
        "chords of a divided bar are judged on the wrong beats on the solo page",
        "leadsheet/felt_chords.py",
        "return earlier.length if divided else _START",
        "return _START",
        "parts",
    ),
    Edit(
        "the clash of a flat thirteenth is never reported",
        "proof/_fit.py",
        '"major":     (0, 3.0, 0.3, 3.0, 0.0, 1.2, 1.2, 0.0, 2.0,',
        '"major":     (0, 3.0, 0.3, 3.0, 0.0, 1.2, 1.2, 0.0, 0.0,',
        "proof",
    ),
)


def outcome(edit: Edit, copy: Path) -> str:
    """What the tests make of one edit: nothing to say if they notice."""
    path = copy / "leadsheet_theory" / edit.file
    before = path.read_text(encoding="utf-8")
    if before.count(edit.text) != 1:
        return f"no longer applies: {edit.text!r} in {edit.file}"
    path.write_text(before.replace(edit.text, edit.becomes), encoding="utf-8")
    try:
        done = subprocess.run(
            [
                *(sys.executable, "-m", "pytest", f"tests/{edit.tests}", "-q", "-x"),
                *("-p", "no:cacheprovider"),
            ],
            cwd=copy,
            env={**os.environ, "PYTHONPATH": str(copy)},
            capture_output=True,
            text=True,
            check=False,
        )
    finally:
        path.write_text(before, encoding="utf-8")
    if done.returncode == 0:
        return f"survives tests/{edit.tests}"
    if "failed" not in done.stdout:
        return f"the tests don't run: {(done.stdout + done.stderr)[-500:]}"
    return ""


def main(words: list[str]) -> int:
    """Try the edits and print what came of each."""
    edits = [
        edit for edit in EDITS if not words or any(word in edit.what for word in words)
    ]
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "project"
        shutil.copytree(
            ROOT,
            copy,
            ignore=shutil.ignore_patterns(".*", "__pycache__", "_build"),
        )
        for edit in edits:
            said = outcome(edit, copy)
            bad += bool(said)
            print(f"{'NOT' if said else '   '} noticed: {edit.what} {said}", flush=True)
    print(f"{len(edits) - bad} of {len(edits)} edits are noticed")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
