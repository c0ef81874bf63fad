"""Every finding has a code that stands in one of two tables."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from leadsheet_theory import errors
from leadsheet_theory.errors import TheoryError
from leadsheet_theory.leadsheet import FINDING_CODES
from leadsheet_theory.proof import PROOF_RULES

PACKAGE = Path(__file__).resolve().parents[2] / "leadsheet_theory"
CODE = re.compile("[a-z]+(-[a-z]+)*")
SEVERITIES = {"note", "query", "warning", "error"}
RULES = {rule.name for rule in PROOF_RULES}


def text_of(node: ast.expr | None) -> str:
    """A text that stands as it is in the code."""
    is_text = isinstance(node, ast.Constant) and isinstance(node.value, str)
    return node.value if is_text else ""  # type: ignore[union-attr,return-value]


def codes_in(path: Path) -> Iterator[str]:
    """The codes of findings that a module makes."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        keywords = {each.arg: each.value for each in node.keywords}
        if text_of(keywords.get("rule")):
            yield text_of(keywords["rule"])
        first, second = [*map(text_of, node.args[:2]), "", ""][:2]
        if CODE.fullmatch(first) and second in SEVERITIES:
            yield first


def test_every_code_stands_in_a_table() -> None:
    used = {code for path in PACKAGE.rglob("*.py") for code in codes_in(path)}
    assert len(used) > 100
    assert not used - RULES - FINDING_CODES.keys()


def test_the_tables_share_no_code_and_codes_are_words() -> None:
    assert not RULES & FINDING_CODES.keys()
    assert all(CODE.fullmatch(code) for code in RULES | FINDING_CODES.keys())


def test_every_error_has_a_code_of_its_own() -> None:
    kinds = [getattr(errors, name) for name in errors.__all__]
    codes = {kind.code for kind in kinds}
    assert len(codes) == len(kinds)
    assert errors.MusicXMLReadError.code == "musicxml-read"
    assert TheoryError("x").code == "theory"
    assert all(CODE.fullmatch(code) for code in codes)
