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
    "0": ("errors", "_arguments", "_scan"),
    "1": ("pitch", "interval"),
    "2": ("key",),
    "3": ("spelling.",),
    "4a": ("chords.",),
    "4b": ("instruments.",),
    "4c": ("rhythm.",),
    "5": ("leadsheet.",),
    "6": ("parts.", "proof."),
    "7": ("musicxml.", "abc.", "midi."),
    "8": ("pages.",),
    "9": ("__main__", "cli."),
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


@pytest.mark.parametrize("module", MODULES)
def test_imports_lead_downward(module: str) -> None:
    here = floor_of(module)
    for target, own, line in imports(module, MODULES[module]):
        where = f"{MODULES[module].name}:{line}"
        if not own:
            top = target.partition(".")[0]
            extra = EXTRAS.get(module.partition(".")[0], set())
            assert top in sys.stdlib_module_names | RUN_TIME_DEPENDENCIES | extra, (
                f"{where} imports {target}: attrs is the only run-time dependency"
            )
            assert here >= "7" or top not in INPUT_OUTPUT, (
                f"{where} imports {target}: files are touched from floor 7 up"
            )
            continue
        assert target, f"{where} imports the root of the package"
        there = floor_of(target)
        assert there[0] <= here[0], f"{where}: floor {here} imports {target} ({there})"
        if here in SIDE_BY_SIDE and there in SIDE_BY_SIDE:
            assert here == there, f"{where}: floor {here} imports {target} ({there})"
        if here == ONLY_FLOOR_0_AND_1 and there != here:
            assert there <= "1", f"{where}: rhythm needs no more than floor 1"


@pytest.mark.parametrize("module", MODULES)
def test_no_import_hides_in_a_function(module: str) -> None:
    tree = ast.parse(MODULES[module].read_text(encoding="utf-8"))
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef):
            for node in ast.walk(function):
                assert not isinstance(node, ast.Import | ast.ImportFrom), (
                    f"{module}:{node.lineno} imports inside {function.name}()"
                )


@pytest.mark.parametrize("module", [m for m in MODULES if m != "__main__"])
def test_every_public_module_names_what_is_public(module: str) -> None:
    if any(part.startswith("_") for part in module.split(".")):
        pytest.skip("a private module")
    tree = ast.parse(MODULES[module].read_text(encoding="utf-8"))
    assigned = {
        target.id
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    } | {
        node.target.id
        for node in tree.body
        if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name)
    }
    assert "__all__" in assigned, f"{module} has no __all__"


@pytest.mark.parametrize("module", MODULES)
def test_modules_stay_short(module: str) -> None:
    lines = len(MODULES[module].read_text(encoding="utf-8").splitlines())
    assert lines <= 620, f"{module} has {lines} lines: about 600 is the measure"
