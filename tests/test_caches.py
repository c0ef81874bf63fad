"""What is kept to be found again has a bound, so that a catalogue of any size fits."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent / "leadsheet_theory"
MOST = 8192

# caches without a number: few values can be asked for
FEW = {
    ("pitch.py", "_name_at"): "names have at most 7 accidentals; others are refused",
    ("key.py", "_key_of"): "keys have at most 14 signs; others are refused",
    ("key.py", "_scale_of"): "the keys' scales",
    ("spelling/accidentals.py", "_sign"): "alterations of at most 7",
    ("spelling/accidentals.py", "_signature_alters"): "the keys' signatures",
    ("spelling/_root_search.py", "_link"): "12 steps between a few colours",
    ("parts/_shared.py", "tune_chords"): "no argument, and gone with the tune",
    ("parts/_shared.py", "sounds"): "2 lines of a tune, and gone with it",
    ("pages/_libraries.py", "_fonts"): "no argument",
    ("pages/_inline.py", "_face"): "the fonts of the pages",
}


def caches() -> Iterator[tuple[tuple[str, str], int | None]]:
    """Each cached function of the library, with the most results it keeps."""
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.FunctionDef):
                continue
            for decorator in node.decorator_list:
                called = (
                    decorator.func if isinstance(decorator, ast.Call) else decorator
                )
                name = called.id if isinstance(called, ast.Name) else ""
                if name in ("cache", "cached_property", "lru_cache"):
                    where = path.relative_to(PACKAGE).as_posix()
                    yield (where, node.name), most_of(decorator)


def most_of(decorator: ast.expr) -> int | None:
    """The number that a cache states, if it does."""
    if not isinstance(decorator, ast.Call):
        return None
    stated = {word.arg: word.value for word in decorator.keywords}.get("maxsize")
    return stated.value if isinstance(stated, ast.Constant) else None  # type: ignore[return-value]


def test_every_cache_has_a_bound() -> None:
    found = dict(caches())
    assert {where for where, most in found.items() if most is None} == set(FEW)
    assert not {where for where, most in found.items() if most and most > MOST}
