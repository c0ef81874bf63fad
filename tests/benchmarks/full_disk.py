"""A disk that runs full while parts are written: the old ones must stay whole.

    sudo python tests/benchmarks/full_disk.py FOLDER

As root a small disk in memory (tmpfs) is mounted; otherwise the size of files is
limited.  First the parts of the last few charts are made, then those of all charts,
in another style, until there is no room.  Each file that is there at the end must be
one of the first run or one that a run with room makes, none in part; and the command
must say that there was no room, with exit code 1.
"""

from __future__ import annotations

import argparse
import resource
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

PROGRAM = (sys.executable, "-m", "leadsheet_theory", "parts")
KINDS = {".musicxml", ".mxl", ".xml"}


def parts(
    charts: list[Path], to: Path, *options: str, limit: int = 0
) -> subprocess.CompletedProcess[str]:
    """The command, with files of at most so many bytes."""

    def limited() -> None:
        if limit:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))

    names = [str(chart) for chart in charts]
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "leadsheet_theory",
            "parts",
            *names,
            "--to",
            str(to),
            "--musicxml-only",
            "--jobs",
            "2",
            "--quiet",
            *options,
        ],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
        preexec_fn=limited,
    )


def content(folder: Path) -> dict[str, bytes]:
    """All files of a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def main() -> None:
    """Fill the disk and look at what is there."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--charts", type=int, default=20)
    chosen = parser.parse_args()
    given = sorted(p for p in chosen.folder.iterdir() if p.suffix.lower() in KINDS)
    charts = given[: chosen.charts]
    with tempfile.TemporaryDirectory() as scratch:
        roomy, disk = Path(scratch) / "roomy", Path(scratch) / "disk"
        disk.mkdir()
        parts(charts, roomy, "--style", "symbols")
        new = content(roomy)
        sizes = sorted(map(len, new.values()))
        size = sum(sizes) // 2
        mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(disk)]
        mounted = subprocess.run(mount, capture_output=True, check=False)
        is_disk = mounted.returncode == 0
        try:
            parts(charts[-5:], disk)
            old = content(disk)
            limit = 0 if is_disk else sizes[len(sizes) // 2]
            done = parts(charts, disk, "--style", "symbols", limit=limit)
            found = content(disk)
        finally:
            if is_disk:
                subprocess.run(["umount", str(disk)], check=True)
            shutil.rmtree(disk, ignore_errors=True)
    strange = [
        name
        for name, data in found.items()
        if data not in (old.get(name), new.get(name))
    ]
    gone = old.keys() - found.keys()
    kept = sum(found[name] == data for name, data in old.items() if name in found)
    print(f"a disk of {size:,} bytes" if is_disk else f"files of at most {limit:,}")
    print(f"{len(found)} files there, {kept} of {len(old)} as they were before")
    print(f"{len(strange)} in part, {len(gone)} gone")
    print(f"exit code {done.returncode}; the first complaints:")
    print("\n".join(done.stderr.splitlines()[:3]))
    sys.exit(bool(strange or gone or done.returncode != 1))


if __name__ == "__main__":
    main()
