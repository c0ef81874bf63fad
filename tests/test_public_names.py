"""Every public name is documented: the root's, and each public module's."""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from types import ModuleType

import pytest

import leadsheet_theory

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "leadsheet_theory"
REFERENCE = ROOT / "docs" / "reference"


def public_modules() -> Iterator[str]:
    """The dotted names of the modules that users import from; the command line's are
    for the shell."""
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        hidden = any(part.startswith("_") for part in name.split("."))
        if not hidden and not name.startswith(f"{PACKAGE.name}.cli"):
            yield name


MODULES = tuple(public_modules())
PAGES = "\n".join(p.read_text(encoding="utf-8") for p in REFERENCE.glob("*.rst"))
DOCUMENTED = set(re.findall(r"^\.\. automodule:: (\S+)", PAGES, re.MULTILINE))
SINGLY = set(re.findall(r"^\.\. auto(?:function|class):: (\S+)", PAGES, re.MULTILINE))


def leaf_modules() -> Iterator[str]:
    """The public modules that are files: folders only pass their names on."""
    for name in MODULES:
        if not hasattr(importlib.import_module(name), "__path__"):
            yield name


@pytest.mark.parametrize("name", MODULES)
def test_all_is_sorted_out(name: str) -> None:
    module = importlib.import_module(name)
    public = module.__all__
    assert isinstance(public, tuple)
    assert len(set(public)) == len(public)
    for each in public:
        assert hasattr(module, each), f"{name}.__all__ names {each}, which isn't there"
        assert not each.startswith("_")


@pytest.mark.parametrize("name", sorted(leaf_modules()))
def test_every_public_module_has_its_reference(name: str) -> None:
    assert name in DOCUMENTED, f"no page of docs/reference has automodule:: {name}"


def test_no_reference_to_what_is_gone() -> None:
    assert set(MODULES) >= DOCUMENTED


@pytest.mark.parametrize("name", sorted(leaf_modules()))
def test_every_public_constant_says_what_it_is(name: str) -> None:
    """The reference shows constants that have a text below them, and no others."""
    module = importlib.import_module(name)
    assert module.__file__ is not None
    body = ast.parse(Path(module.__file__).read_text(encoding="utf-8")).body
    for statement, following in pairwise([*body, ast.Pass()]):
        if isinstance(statement, ast.Assign):
            targets = statement.targets
        elif isinstance(statement, ast.AnnAssign):
            targets = [statement.target]
        else:
            continue
        text = isinstance(following, ast.Expr) and isinstance(
            following.value, ast.Constant
        )
        for target in targets:
            if isinstance(target, ast.Name) and target.id in module.__all__:
                assert text, f"{name}.{target.id} has no text below it"


def home_of(module: ModuleType, name: str) -> set[str]:
    """Where the object of that name is documented as its module's own, or singly."""
    thing = getattr(module, name)
    if name in SINGLY:
        return {name}
    return {
        each
        for each in DOCUMENTED
        if name in importlib.import_module(each).__all__
        and getattr(importlib.import_module(each), name) is thing
    }


@pytest.mark.parametrize("name", leadsheet_theory.__all__)
def test_every_name_of_the_root_is_documented_in_one_place(name: str) -> None:
    assert home_of(leadsheet_theory, name), f"{name} has no home in docs/reference"


@pytest.mark.parametrize(
    "package",
    [n for n in MODULES if hasattr(importlib.import_module(n), "__path__")],
)
def test_folders_pass_on_documented_names(package: str) -> None:
    module = importlib.import_module(package)
    for name in module.__all__:
        assert home_of(module, name), f"{package}.{name} is documented nowhere"


@pytest.mark.parametrize("name", sorted(leaf_modules()))
def test_what_public_classes_inherit_from_private_ones_is_shown(name: str) -> None:
    module = importlib.import_module(name)
    inherits = any(
        base.__name__.startswith("_") and base.__module__.startswith(PACKAGE.name)
        for each in module.__all__
        if isinstance(getattr(module, each), type)
        for base in getattr(module, each).__mro__
    )
    _, _, options = PAGES.partition(f".. automodule:: {name}\n")
    assert inherits == (":inherited-members:" in options.partition("\n\n")[0])
