"""Every public name is documented: the root's, and each public module's."""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from types import ModuleType

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


LEAVES = tuple(leaf_modules())

# Each rule is one test; one that fails lists everything that breaks it.


def test_all_is_sorted_out() -> None:
    wrong = []
    for name in MODULES:
        module = importlib.import_module(name)
        public = module.__all__
        if not isinstance(public, tuple) or len(set(public)) != len(public):
            wrong.append(f"{name}.__all__ is no tuple, or names one thing twice")
        for each in public:
            if not hasattr(module, each):
                wrong.append(f"{name}.__all__ names {each}, which isn't there")
            if each.startswith("_"):
                wrong.append(f"{name}.__all__ names {each}, which is private")
    assert not wrong


def test_every_public_module_has_its_reference() -> None:
    missing = set(LEAVES) - DOCUMENTED
    assert not missing, "no page of docs/reference has automodule:: for these"


def test_no_reference_to_what_is_gone() -> None:
    assert not DOCUMENTED - set(MODULES)


def names_in(path: Path) -> set[str]:
    """The names that a module's code uses."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    return names | {
        node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)
    }


def test_every_public_name_has_a_user() -> None:
    """Another module or a guide: the README or the documentation outside its
    reference.  A name that nobody uses is made private, or goes."""
    guides = {ROOT / "README.md", *(ROOT / "docs").rglob("*.rst")}
    guides -= {*REFERENCE.glob("*.rst"), ROOT / "docs" / "changelog.rst"}
    told = set(
        re.findall(r"\w+", "\n".join(p.read_text(encoding="utf-8") for p in guides))
    )
    used = {
        path: names_in(path)
        for path in PACKAGE.rglob("*.py")
        if path.name != "__init__.py"
    }
    idle = []
    for name in LEAVES:
        module = importlib.import_module(name)
        home = Path(str(module.__file__))
        for each in module.__all__:
            elsewhere = any(each in used[path] for path in used if path != home)
            if each not in told and not elsewhere:
                idle.append(f"{name}.{each}")
    assert not idle


def untold_constants(name: str) -> Iterator[str]:
    """The public constants of a module without a text below them."""
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
        told = isinstance(following, ast.Expr) and isinstance(
            following.value, ast.Constant
        )
        for target in targets:
            public = isinstance(target, ast.Name) and target.id in module.__all__
            if public and not told:
                yield f"{name}.{ast.unparse(target)}"


def test_every_public_constant_says_what_it_is() -> None:
    """The reference shows constants that have a text below them, and no others."""
    assert not [each for name in LEAVES for each in untold_constants(name)]


def has_home(module: ModuleType, name: str) -> bool:
    """Whether the thing of that name is documented as its module's own, or singly."""
    thing = getattr(module, name)
    return name in SINGLY or any(
        getattr(importlib.import_module(each), name) is thing
        for each in DOCUMENTED
        if name in importlib.import_module(each).__all__
    )


def test_the_root_and_the_folders_pass_on_documented_names() -> None:
    homeless = [
        f"{package}.{name}"
        for package in MODULES
        if hasattr(module := importlib.import_module(package), "__path__")
        for name in module.__all__
        if not has_home(module, name)
    ]
    assert not homeless, "documented nowhere in docs/reference"


def inherits_from_private(name: str) -> bool:
    """Whether a public class of the module has a private one of ours as a base."""
    module = importlib.import_module(name)
    return any(
        base.__name__.startswith("_") and base.__module__.startswith(PACKAGE.name)
        for each in module.__all__
        if isinstance(getattr(module, each), type)
        for base in getattr(module, each).__mro__
    )


def test_what_public_classes_inherit_from_private_ones_is_shown() -> None:
    shown = {
        name
        for name in LEAVES
        for options in [PAGES.partition(f".. automodule:: {name}\n")[2]]
        if ":inherited-members:" in options.partition("\n\n")[0]
    }
    assert shown == {name for name in LEAVES if inherits_from_private(name)}
