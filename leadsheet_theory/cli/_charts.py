"""Charts on the command line: find them, go through them, name the bad ones."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from ..errors import TheoryError
from ._say import UsageError, count, say_aside

__all__ = ("charts_in", "each_chart")

_SUFFIXES = (".musicxml", ".mxl", ".xml")


def charts_in(names: Iterable[str], /) -> tuple[Path, ...]:
    """The charts meant by names of files and of folders, each once, in order.

    A folder stands for the MusicXML files in it.  A name that leads nowhere is
    kept: reading it will say so.
    """
    found: dict[Path, None] = {}
    for name in names:
        path = Path(name)
        if path.is_dir():
            inside = [p for p in path.iterdir() if p.suffix.lower() in _SUFFIXES]
            if not inside:
                raise UsageError(f"no MusicXML file in the folder {name}")
            found.update(dict.fromkeys(sorted(inside)))
        else:
            found[path] = None
    return tuple(found)


def each_chart(
    charts: Sequence[Path], work: Callable[[Path], bool], /, *, quiet: bool
) -> int:
    """Do the work on every chart, whatever becomes of the others.

    `work` tells whether all was well.  The charts that failed are named at the
    end.  Gives the exit code: 0 if all was well, else 1.
    """
    bad: list[tuple[Path, str]] = []
    well = True
    for number, chart in enumerate(charts, 1):
        if len(charts) > 1 and not quiet:
            say_aside(f"[{number}/{len(charts)}] {chart.name}")
        try:
            well = work(chart) and well
        except BrokenPipeError:  # nobody reads the result any more
            raise
        except (TheoryError, OSError) as error:
            bad.append((chart, _why(error)))
        except Exception as error:  # a fault of ours stops no other chart
            bad.append((chart, f"a fault of this program: {error!r}"))
    if bad:
        say_aside(f"{count(len(bad), 'chart')} of {len(charts)} failed:")
        for chart, why in bad:
            first, *rest = why.splitlines() or [""]
            say_aside(f"  {chart}: {first}")
            for line in rest:
                say_aside(f"    {line}")
    return 0 if well and not bad else 1


def _why(error: TheoryError | OSError) -> str:
    if isinstance(error, OSError) and error.strerror:
        where = f" ({error.filename})" if error.filename else ""
        return f"{error.strerror[0].lower()}{error.strerror[1:]}{where}"
    return str(error)
