"""The floors of the package: imports lead downward, files are touched at the top.

The table below is the one in DEVELOPERS.md, module by module.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "leadsheet_theory"

# floor: the modules that stand on it; a name ending in "." means a whole folder.
# "4a", "4b" and "4c" stand side by side and don't import each other.
FLOORS: dict[str, tuple[str, ...]] = {
    "0": ("errors", "_arguments", "_doors", "_lazy", "_printed", "_scan", "_version"),
    "1": ("pitch", "interval"),
    "2": ("key",),
    "3": ("spelling.",),
    "4a": ("chords.",),
    "4b": ("instruments.",),
    "4c": ("rhythm.",),
    "5": ("leadsheet.", "exercises."),
    "6": ("parts.", "proof."),
    "7": ("files", "musicxml.", "abc.", "midi.", "data.", "decisions."),
    "8": ("pages.",),
    "9": ("catalogue.", "notebook."),
    "10": ("__main__", "cli."),
}
SIDE_BY_SIDE = {"4a", "4b", "4c"}
ONLY_FLOOR_0_AND_1 = "4c"

# what nothing below floor 7 may import: files, XML and the like
INPUT_OUTPUT = {"io", "os", "pathlib", "shutil", "socket", "subprocess", "tempfile",
                "urllib", "xml", "zipfile"}  # fmt: skip
RUN_TIME_DEPENDENCIES = {"attrs", "attr"}
# what a room may import besides: the library of its extra
EXTRAS = {"pages": {"verovio", "typst"}, "midi": {"mido"}}


def modules() -> Iterator[tuple[str, Path]]:
    """Every module by its dotted name inside the package, the root left out."""
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        if name:
            yield name, path


MODULES = dict(modules())


def floor_of(module: str) -> str:
    """The floor a module stands on."""
    for floor, names in FLOORS.items():
        for name in names:
            inside = f"{module}.".startswith(name) if name.endswith(".") else False
            if (
                module == name
                or inside
                or (name.startswith("_") and module.startswith(f"{name}_"))
            ):
                return floor
    pytest.fail(f"{module} stands on no floor: add it to the table in {__file__}")


def height(floor: str) -> int:
    """How high a floor lies."""
    return int(floor.rstrip("abc"))


def imports(module: str, path: Path) -> Iterator[tuple[str, bool, int]]:
    """Each import of a module: what, whether it is our own, and the line."""
    own = PACKAGE.name
    package = module if path.stem == "__init__" else module.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                top, _, rest = alias.name.partition(".")
                yield (rest, True, node.lineno) if top == own else (
                    alias.name, False, node.lineno
                )  # fmt: skip
        elif isinstance(node, ast.ImportFrom):
            source = node.module or ""
            if node.level:
                above = package.split(".") if package else []
                above = above[: len(above) - (node.level - 1)]
                source = ".".join([*above, *([source] if source else [])])
            elif source.partition(".")[0] == own:
                source = source.partition(".")[2]
            else:
                yield source, False, node.lineno
                continue
            for alias in node.names:
                whole = f"{source}.{alias.name}".lstrip(".")
                yield whole if whole in MODULES else source, True, node.lineno


def complaint(module: str, target: str, own: bool) -> str | None:
    """What is wrong with an import of a module, if anything."""
    here = floor_of(module)
    if not own:
        top = target.partition(".")[0]
        extra = EXTRAS.get(module.partition(".")[0], set())
        if top not in sys.stdlib_module_names | RUN_TIME_DEPENDENCIES | extra:
            return "attrs is the only run-time dependency"
        if height(here) < 7 and top in INPUT_OUTPUT:
            return "files are touched from floor 7 up"
        return None
    if not target:
        return "that is the root of the package"
    there = floor_of(target)
    if height(there) > height(here):
        return f"floor {there} is above floor {here}"
    if {here, there} <= SIDE_BY_SIDE and here != there:
        return f"floors {here} and {there} don't know each other"
    if here == ONLY_FLOOR_0_AND_1 and here != there and height(there) > 1:
        return "rhythm needs no more than floor 1"
    return None


# Each rule is one test; one that fails lists everything that breaks it.


def test_imports_lead_downward() -> None:
    wrong = [
        f"{module}:{line} imports {target}: {said}"
        for module, path in MODULES.items()
        for target, own, line in imports(module, path)
        if (said := complaint(module, target, own))
    ]
    assert not wrong


def test_no_import_hides_in_a_function() -> None:
    hidden = [
        f"{module}:{node.lineno} imports inside {function.name}()"
        for module, path in MODULES.items()
        for function in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Import | ast.ImportFrom)
    ]
    assert not hidden


def assigned(path: Path) -> set[str]:
    """The names a module gives a value at its top."""
    names = set()
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        targets = node.targets if isinstance(node, ast.Assign) else []
        if isinstance(node, ast.AnnAssign):
            targets = [node.target]
        names |= {target.id for target in targets if isinstance(target, ast.Name)}
    return names


def test_every_public_module_names_what_is_public() -> None:
    silent = [
        module
        for module, path in MODULES.items()
        if not any(part.startswith("_") for part in module.split("."))
        if "__all__" not in assigned(path)
    ]
    assert not silent, "without __all__"


def test_modules_stay_short() -> None:
    lengths = {
        module: len(path.read_text(encoding="utf-8").splitlines())
        for module, path in MODULES.items()
    }
    long = {module: lines for module, lines in lengths.items() if lines > 620}
    assert not long, "about 600 lines is the measure"


def test_no_function_is_a_maze() -> None:
    """Cyclomatic complexity (McCabe, 1976) as radon counts it, with each ``and``,
    ``or`` and comprehension: its rank D starts above 20."""
    radon = pytest.importorskip("radon.complexity")
    mazes = {
        f"{module}:{block.lineno} {block.name}": block.complexity
        for module, path in MODULES.items()
        for block in radon.cc_visit(path.read_text(encoding="utf-8"))
        if block.complexity > 20 and block.letter != "C"
    }
    assert not mazes, "take them apart at their joints"
