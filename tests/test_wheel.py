"""The built wheel: what it ships, what it asks for, that attrs alone is enough."""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
import sys
import tarfile
import venv
import zipfile
from email import message_from_bytes
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
FONT_FILES = ("LeadsheetChords-Bold.ttf", "LeadsheetHand-Regular.ttf", "OFL.txt")


def run(*command: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    environment.pop("PYTHONPATH", None)
    return subprocess.run(
        command,
        cwd=cwd,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel built from a copy of the sources, without a network."""
    copy = tmp_path_factory.mktemp("source")
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy)
    shutil.copytree(
        ROOT / "leadsheet_theory",
        copy / "leadsheet_theory",
        ignore=shutil.ignore_patterns("__pycache__"),
    )
    done = run(
        *(sys.executable, "-m", "pip", "wheel", ".", "--no-deps"),
        *("--no-build-isolation", "--wheel-dir", "built"),
        cwd=copy,
    )
    assert done.returncode == 0, done.stderr
    (built,) = (copy / "built").glob("*.whl")
    return built


def test_the_source_archive_has_all_that_its_tests_need(tmp_path: Path) -> None:
    """Built from a copy, without a network: each file of the project is in it."""
    skipped = shutil.ignore_patterns(
        "__pycache__", "_build", "*.egg-info", "build", "dist", ".*_cache",
        ".hypothesis", ".venv*", ".git", "parts", "books"
    )  # fmt: skip
    copy = tmp_path / "copy"
    shutil.copytree(ROOT, copy, ignore=skipped)
    made = (
        "import setuptools.build_meta as backend; print(backend.build_sdist('built'))"
    )
    done = run(sys.executable, "-c", made, cwd=copy)
    assert done.returncode == 0, done.stderr
    (built,) = (copy / "built").glob("*.tar.gz")
    with tarfile.open(built) as archive:
        inside = {name.partition("/")[2] for name in archive.getnames()}
    wanted = {
        path.relative_to(copy).as_posix()
        for path in copy.rglob("*")
        if path.is_file()
        and not path.relative_to(copy).parts[0].startswith("built")
        and "egg-info" not in str(path)
    }
    assert wanted - inside <= {".gitattributes", ".git"}


def test_ships_the_package_and_its_types_and_nothing_else(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.partition("/")[0] for name in names}
    assert tops == {"leadsheet_theory", f"{wheel.name.split('-py3')[0]}.dist-info"}
    assert "leadsheet_theory/py.typed" in names
    modules = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "leadsheet_theory").rglob("*.py")
    }
    assert modules <= set(names)
    fonts = {f"leadsheet_theory/pages/fonts/{name}" for name in FONT_FILES}
    assert fonts <= set(names)


def test_asks_for_attrs_alone(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    (name,) = (n for n in archive.namelist() if n.endswith(".dist-info/METADATA"))
    metadata = message_from_bytes(archive.read(name))
    needed = [r for r in metadata.get_all("Requires-Dist") or () if "extra" not in r]
    assert [r.split(">")[0].strip() for r in needed] == ["attrs"]
    assert metadata["Requires-Python"] == ">=3.11"
    assert metadata["License-Expression"] == "MIT AND OFL-1.1"


def test_installs_a_command(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    (name,) = (n for n in archive.namelist() if n.endswith("entry_points.txt"))
    lines = archive.read(name).decode().split("\n")
    assert "leadsheet-theory = leadsheet_theory.__main__:console" in lines


def test_works_with_attrs_alone(wheel: Path, tmp_path: Path) -> None:
    """In an environment that holds the wheel and attrs, everything imports and the
    main job runs."""
    home = tmp_path / "bare"
    venv.create(home, with_pip=False)
    python = home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    asked = run(
        *(str(python), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"),
        cwd=tmp_path,
    )
    packages = Path(asked.stdout.strip())
    zipfile.ZipFile(wheel).extractall(packages)
    for name in ("attr", "attrs"):
        spec = importlib.util.find_spec(name)
        assert spec is not None
        assert spec.origin is not None
        shutil.copytree(Path(spec.origin).parent, packages / name)
    everything = "; ".join(
        f"import {path.relative_to(ROOT).with_suffix('').as_posix().replace('/', '.')}"
        for path in sorted((ROOT / "leadsheet_theory").rglob("*.py"))
        if path.stem not in {"__init__", "__main__"}
    )
    done = run(str(python), "-c", everything, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    chart = ROOT / "shared" / "charts" / "harbourmasters_day_off.musicxml"
    done = run(
        *(str(python), "-m", "leadsheet_theory", "parts", str(chart), "--to", "parts"),
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stderr
    assert len(list((tmp_path / "parts" / "musicxml").iterdir())) == 5
    assert "leadsheet-theory[pages]" in done.stdout
    drawing = (
        "from leadsheet_theory import make_parts, read_lead_sheet\n"
        "from leadsheet_theory.errors import PagesExtraError\n"
        "from leadsheet_theory.pages import can_draw, draw_pages\n"
        "assert not can_draw()\n"
        f"(part, *_) = make_parts(read_lead_sheet({str(chart)!r}).sheet)\n"
        "try:\n    draw_pages(part)\nexcept PagesExtraError as error:\n"
        "    print(error)"
    )
    done = run(str(python), "-c", drawing, cwd=tmp_path)
    assert "leadsheet-theory[pages]" in done.stdout, done.stderr
