"""What is loaded when: names of a room with the first use, commands when chosen."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest

from leadsheet_theory.cli import COMMANDS

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "leadsheet_theory"
LAZY = ("leadsheet_theory", "leadsheet_theory.chords", "leadsheet_theory.instruments")


def for_checkers_and_for_python(room: str) -> tuple[object, object]:
    """The names of a room by module: as imported for type checkers, and in the table
    that Python reads."""
    module = importlib.import_module(room)
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    (branch,) = (node for node in tree.body if isinstance(node, ast.If))
    imported = {
        node.module or "": {alias.name for alias in node.names}
        for node in branch.body
        if isinstance(node, ast.ImportFrom)
    }
    (table,) = (node for node in ast.walk(branch) if isinstance(node, ast.Dict))
    lazy = {home: set(names.split()) for home, names in ast.literal_eval(table).items()}
    return imported, lazy


@pytest.mark.parametrize("room", LAZY)
def test_checkers_and_python_see_the_same_names(room: str) -> None:
    imported, lazy = for_checkers_and_for_python(room)
    assert isinstance(lazy, dict)
    lazy.pop("", None)  # rooms: a checker knows them as modules
    assert imported == lazy
    module = importlib.import_module(room)
    names = {name for names in lazy.values() for name in names}
    assert names - {"__version__"} == set(module.__all__)


@pytest.mark.parametrize("room", LAZY)
def test_every_name_is_listed_and_loaded(room: str) -> None:
    module = importlib.import_module(room)
    folder = Path(str(module.__file__)).parent
    for name in module.__all__:
        assert name in dir(module)
        assert getattr(module, name).__class__ is not type(sys)
        assert not (folder / f"{name}.py").exists(), f"a module hides {room}.{name}"
    with pytest.raises(AttributeError, match="has no attribute 'crotchet'"):
        getattr(module, "crotchet")  # noqa: B009


def loaded(*arguments: str) -> set[str]:
    """The rooms of the library that a fresh Python has loaded at its end."""
    says = "import sys; print(*[m for m in sys.modules if m.startswith('leadsheet_')])"
    done = subprocess.run(
        [sys.executable, "-c", f"{'; '.join(arguments)}; {says}"],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    words = done.stdout.splitlines()[-1].split()
    return {word.split(".")[1] for word in words if "." in word}


@pytest.mark.parametrize(
    "lines",
    [
        ["import leadsheet_theory.chords"],
        ["from leadsheet_theory.chords import parse_chord", "parse_chord('Bbm7')"],
        ["from leadsheet_theory.__main__ import main", "main(['chord', 'C'])"],
    ],
)
def test_chords_need_no_parts_and_no_files(lines: list[str]) -> None:
    rooms = loaded(*lines)
    assert "chords" in rooms
    assert not rooms & {"parts", "proof", "musicxml", "leadsheet", "rhythm"}
    assert "instruments" not in rooms or "cli" in rooms  # the room alone, not its table
    assert "spelling" not in rooms


def test_the_root_loads_nothing_at_once() -> None:
    assert loaded("import leadsheet_theory") == {"_lazy"}


def test_rooms_are_at_hand_from_the_root() -> None:
    assert "chords" in loaded(
        "import leadsheet_theory as lt", "lt.chords.parse_chord('C')"
    )


def test_the_commands_are_modules() -> None:
    modules = {path.stem for path in (PACKAGE / "cli").glob("[a-z]*.py")}
    assert set(COMMANDS) == modules
