"""Write the five parts of every chart with two states of the library, and list what
differs.

    python tests/benchmarks/compare_parts.py [REVISION] [--every N] [--lines N]
                                             [--folder FOLDER]

REVISION is anything that git knows (by default ``main``); it is checked out into a
temporary folder, and each state of the library works in a process of its own.  The
charts are those of ``shared/charts`` and, where they are, of ``shared/leadsheets``
beside the project.  For each part that differs the first differing lines are shown;
the exit code is 1 if any does.
"""

import argparse
import hashlib
import json
import subprocess
import sys
import tempfile
from itertools import islice, zip_longest
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = (ROOT.parent / "shared/leadsheets", ROOT / "shared/charts")
CHARTS = (".mxl", ".musicxml", ".xml")


def charts_in(folders, every):
    """Every N-th chart of some folders."""
    return [
        path
        for folder in folders
        for path in sorted(folder.rglob("*"))
        if path.suffix in CHARTS
    ][::every]


def work(tree, charts, target):
    """Write the parts of the charts with the library in a folder; their hashes."""
    sys.path.insert(0, str(tree))
    import leadsheet_theory as library

    assert Path(library.__file__).is_relative_to(tree), library.__file__
    hashes = {}
    for number, chart in enumerate(charts):
        try:
            sheet = library.read_lead_sheet(Path(chart)).sheet
            written = {
                part.name: library.write_part(part)
                for part in library.make_parts(sheet)
            }
        except Exception as error:  # what fails alike is no difference
            written = {"no parts": repr(error).encode()}
        for name, data in written.items():
            (target / f"{number} {name.replace('/', '-')}").write_bytes(data)
            hashes[f"{number} {name}"] = hashlib.sha256(data).hexdigest()
    (target / "hashes.json").write_text(json.dumps(hashes), encoding="utf-8")


def first_differences(old, new, most):
    """The first lines that differ, as text."""
    before = old.read_text(encoding="utf-8").splitlines() if old.exists() else []
    after = new.read_text(encoding="utf-8").splitlines() if new.exists() else []
    pairs = zip_longest(before, after, fillvalue="(no such line)")
    for line, (was, now) in islice(
        ((line, pair) for line, pair in enumerate(pairs, 1) if pair[0] != pair[1]), most
    ):
        yield f"    line {line}"
        yield f"      - {was.strip()}"
        yield f"      + {now.strip()}"


def compared(revision, charts, most):
    """Whether the parts of the charts are the same bytes; tells what is not."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        tree = folder / "tree"
        git = ("git", "-C", str(ROOT), "worktree")
        subprocess.run(
            [*git, "add", "--quiet", "--detach", str(tree), revision], check=True
        )
        try:
            running = []
            for state, library in (("old", tree), ("new", ROOT)):
                target = folder / state
                target.mkdir()
                job = json.dumps([str(library), [str(c) for c in charts], str(target)])
                running.append(
                    subprocess.Popen([sys.executable, __file__, "--work", job])
                )
            if max(process.wait() for process in running):
                sys.exit("one of the two states failed")
        finally:
            subprocess.run([*git, "remove", "--force", str(tree)], check=True)
        old, new = (
            json.loads((folder / state / "hashes.json").read_text(encoding="utf-8"))
            for state in ("old", "new")
        )
        differing = [
            part
            for part in dict.fromkeys([*old, *new])
            if old.get(part) != new.get(part)
        ]
        for part in differing:
            number, _, book = part.partition(" ")
            print(f"{charts[int(number)].name}, {book}:")
            file = part.replace("/", "-")
            for line in first_differences(
                folder / "old" / file, folder / "new" / file, most
            ):
                print(line)
    print(
        f"{len(charts)} charts, {len(old)} parts at {revision}, {len(new)} now: "
        f"{len(differing)} differ"
    )
    return not differing


def main():
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("revision", nargs="?", default="main")
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--lines", type=int, default=3)
    options.add_argument("--folder", type=Path, action="append", default=[])
    options.add_argument("--work", help=argparse.SUPPRESS)
    chosen = options.parse_args()
    if chosen.work:
        tree, charts, target = json.loads(chosen.work)
        work(Path(tree), charts, Path(target))
        return
    folders = chosen.folder or [folder for folder in FOLDERS if folder.is_dir()]
    charts = charts_in(folders, chosen.every)
    if not charts:
        sys.exit(f"no charts in {', '.join(map(str, folders))}")
    sys.exit(not compared(chosen.revision, charts, chosen.lines))


if __name__ == "__main__":
    main()
