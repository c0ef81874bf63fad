"""The repository as a stranger finds it: what lies where, and the two commands."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import leadsheet_theory

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"```sh\n(.*?)\n```", README, re.DOTALL)


def test_nothing_else_lies_at_the_top() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "docs",
               "leadsheet_theory", "shared", "tests", "MANIFEST.in"}  # fmt: skip
    made_by_tools = {"books", "build", "dist", "parts", "leadsheet_theory.egg-info",
                     "PKG-INFO", "setup.cfg"}  # fmt: skip
    seen = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert seen - made_by_tools - {"__pycache__"} <= allowed


def test_set_up_is_two_commands() -> None:
    first, second = COMMANDS
    assert first.startswith("python3 -m venv .venv && ")
    assert "\n" not in first
    (chart,) = re.findall(r"shared/\S+", first)
    assert (ROOT / chart).is_file()
    assert second == "python3 tests/check_everything.py"


def test_the_server_runs_exactly_the_second_command() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert script.splitlines()[-1].endswith(f"exec {COMMANDS[1]}")


def test_the_changelog_knows_this_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    version = project["project"]["version"]
    changelog = (ROOT / "docs" / "changelog.rst").read_text(encoding="utf-8")
    assert f"\n{version}\n{'-' * len(version)}\n" in changelog


def test_the_package_says_which_version_it_is() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert project["project"]["version"] == leadsheet_theory.__version__


def test_every_chart_of_shared_is_described() -> None:
    text = (ROOT / "shared" / "README.md").read_text(encoding="utf-8")
    for chart in (ROOT / "shared" / "charts").iterdir():
        assert f"`charts/{chart.name}`" in text
