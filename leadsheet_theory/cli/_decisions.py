"""What is decided for a chart on the command line: in files beside it, and typed.

``tune.toml`` beside ``tune.musicxml`` is for that tune, ``band.toml`` for all charts of
the folder; what is typed wins over both.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from ..decisions.keys import DECISION_KEYS
from ..decisions.model import Decisions
from ..decisions.reading import decisions_from, read_decisions
from ..errors import DecisionError
from ._say import UsageError

__all__ = ("BAND_FILE", "band_decisions", "decisions_beside", "typed_decisions")

BAND_FILE: Final = "band.toml"
"""What the file for all charts of a folder is called."""


def decisions_beside(chart: Path, /) -> Decisions:
    """What the files beside a chart say of it: the band's first, then its own.

    Raises:
        DecisionError: if a file says what can't be.
        OSError: if a file can't be read.
    """
    own = chart.with_suffix(".toml")
    decisions = band_decisions(chart.parent)
    if own.name != BAND_FILE and own.is_file():
        of_tune = read_decisions(own.read_bytes(), file=str(own))
        decisions = decisions.followed_by(of_tune)
    return decisions


def band_decisions(folder: Path, /) -> Decisions:
    """What the band's file in a folder says, if there is one."""
    file = folder / BAND_FILE
    if not file.is_file():
        return Decisions()
    return read_decisions(file.read_bytes(), file=str(file), of_band=True)


def typed_decisions(
    options: argparse.Namespace, /, *, without: Sequence[str] = ()
) -> Decisions:
    """What was typed, save options that mean something else in this command.

    Raises:
        UsageError: if it can't be.
    """
    asked = {}
    for key in DECISION_KEYS.values():
        option = key.option.replace("-", "_")
        if option in options.typed and key.name not in without:
            asked[key.name] = getattr(options, option)
    try:
        return decisions_from(asked)
    except DecisionError as error:
        option = DECISION_KEYS[error.key].option
        raise UsageError(f"--{option}: {error.problem}") from None
