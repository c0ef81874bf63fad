"""Bars by their numbers, as they are typed and as they are told: ``4, 12-14``."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from ..errors import BarNumberError

__all__ = ("bars_text", "parse_bars")

_BARS: Final = re.compile(r"(\d{1,5})(?:\s*[-–]\s*(\d{1,5}))?$")


def parse_bars(text: str, /) -> tuple[int, ...]:
    """The numbers of bars (0 for a pickup) in a text, in the order it has them.

    >>> parse_bars("4, 12-14")
    (4, 12, 13, 14)

    Raises:
        BarNumberError: if a word is no bar.
    """
    bars: list[int] = []
    for word in filter(None, (each.strip() for each in text.split(","))):
        match = _BARS.match(word)
        if match is None:
            raise BarNumberError(
                f"{word!r} is no bar: expected a number such as 4, or 12-14"
            )
        first = int(match[1])
        bars += range(first, int(match[2] or first) + 1)
    return tuple(bars)


def bars_text(numbers: Iterable[int], /) -> str:
    """The numbers of bars in a text, neighbours joined.

    >>> bars_text([14, 4, 12, 13])
    '4, 12-14'
    """
    stretches: list[list[int]] = []
    for number in sorted(set(numbers)):
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    return ", ".join(
        f"{bars[0]}-{bars[-1]}" if len(bars) > 1 else str(bars[0]) for bars in stretches
    )
