"""Write the schema of the package, and the data that later releases must read.

    python tests/data_keeping.py [--check]

Run it after a change of the model; the check tells whether the schema is up to date.
The data is kept for the version that is being worked on.  Once a version is out, its
data stays as it is: a change must then read it, by a default for what is new.
"""

from __future__ import annotations

import json
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from leadsheet_theory import (  # noqa: E402
    make_parts,
    parse_symbol,
    proofread,
    read_lead_sheet,
    solo_changes,
)
from leadsheet_theory.chords import STYLES  # noqa: E402
from leadsheet_theory.data import Value, data_schema, to_data  # noqa: E402
from leadsheet_theory.exercises import check_spelling  # noqa: E402
from leadsheet_theory.instruments import RHYTHM_BOOKS, STANDARD_BOOKS  # noqa: E402

SCHEMA = ROOT / "leadsheet_theory" / "data" / "schema.json"
KEPT = ROOT / "tests" / "data" / "kept"
VERSION = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))[
    "project"
]["version"]


def schema_text() -> str:
    """The file of the schema."""
    return json.dumps(data_schema(), indent=1, ensure_ascii=False) + "\n"


def examples() -> list[Value]:
    """A value of each kind that people keep."""
    result = read_lead_sheet(ROOT / "shared/charts/rope_walk.musicxml")
    waltz = read_lead_sheet(ROOT / "shared/charts/waltz_for_a_moored_ferry.musicxml")
    part = make_parts(waltz.sheet)[1]
    project = ROOT / "shared/charts/as_they_come/mooring_bell_strut.musicxml"
    strut = read_lead_sheet(project).sheet
    return [
        result,
        part,
        solo_changes(result.sheet),
        *proofread(waltz.sheet),
        *(parse_symbol(text) for text in ("Ebm7b5/Bbb", "D|C", "N.C.", "G7alt")),
        check_spelling("Ebm7b5", "Eb Gb A Db"),
        part.report.chords[0],
        *STYLES,
        *STANDARD_BOOKS,
        *RHYTHM_BOOKS,
        make_parts(strut, books="Rhythm", solo_page=False)[0],
    ]


def kept_text() -> str:
    """The data kept of this version."""
    return json.dumps(to_data(examples()), ensure_ascii=False) + "\n"


def main() -> int:
    """Write both, or check the schema."""
    if "--check" in sys.argv[1:]:
        same = SCHEMA.read_text(encoding="utf-8") == schema_text()
        print("the schema is up to date" if same else "run tests/data_keeping.py")
        return 0 if same else 1
    SCHEMA.write_text(schema_text(), encoding="utf-8")
    KEPT.mkdir(exist_ok=True)
    (KEPT / f"{VERSION}.json").write_text(kept_text(), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
