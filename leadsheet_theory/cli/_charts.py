"""Charts on the command line: find them, go through them, name the bad ones."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import Final, TypeVar

from attrs import frozen

from ..abc.reading.read import read_abc
from ..decisions.making import decided_sheet
from ..decisions.model import Decisions
from ..errors import TheoryError
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet
from ..musicxml.reading.read import read_lead_sheet
from ._decisions import decisions_beside
from ._say import UsageError, count, say_aside
from ._staves import as_typed

__all__ = ("Chart", "charts_in", "each_chart", "tried")

_Done = TypeVar("_Done")

_SUFFIXES: Final = (".musicxml", ".mxl", ".xml", ".abc")
_NOTHING_DECIDED: Final = Decisions()
_NOT_IN_NAMES: Final = re.compile(r'[\\/:*?"<>|\s]+')


@frozen(order=False, kw_only=True)
class Chart:
    """A chart that has been read: its sheet in its own key, what its file holds beside,
    what to call it, how files made from it begin, the folder it lies in, how many tunes
    stand in its file, and what is decided for it."""

    sheet: LeadSheet
    findings: tuple[Finding, ...]
    name: str
    stem: str
    folder: Path
    tunes: int = 1
    decisions: Decisions = _NOTHING_DECIDED

    @property
    def played(self) -> LeadSheet:
        """The sheet in the key that it is to be played in."""
        return decided_sheet(self.sheet, self.decisions)


def charts_in(names: Iterable[str], /) -> tuple[Path, ...]:
    """The files of charts meant by names of files and of folders, each once, in order.

    A folder stands for the MusicXML and ABC files in it.  A name that leads nowhere is
    kept: reading it will say so.
    """
    found: dict[Path, None] = {}
    for name in names:
        path = Path(name)
        if path.is_dir():
            inside = [p for p in path.iterdir() if p.suffix.lower() in _SUFFIXES]
            if not inside:
                raise UsageError(f"no MusicXML or ABC file in the folder {name}")
            found.update(dict.fromkeys(sorted(inside)))
        else:
            found[path] = None
    return tuple(found)


def _charts_of(path: Path, used: dict[str, int], typed: Decisions) -> list[Chart]:
    """The charts in a file: one in MusicXML, as many as there are tunes in ABC."""
    decisions = decisions_beside(path).followed_by(typed)
    results: Sequence[tuple[LeadSheet, tuple[Finding, ...]]]
    if path.suffix.lower() == ".abc":
        results = [(tune.sheet, tune.findings) for tune in read_abc(path)]
    else:
        result = read_lead_sheet(
            path,
            hits=decisions.text("hits"),
            bass_line=decisions.text("bass-line"),
        )
        results = [(result.sheet, tuple(as_typed(result.findings)))]
    charts = []
    for read, findings in results:
        sheet = decided_sheet(read, decisions.without("key"))
        name, stem = path.name, path.stem
        if len(results) > 1:
            title = _NOT_IN_NAMES.sub(" ", sheet.title).strip(" .")[:60]
            stem = f"{stem}, {title or 'untitled'}"
            name = f"{name}, {sheet.title or 'untitled'}"
        number = used[stem] = used.get(stem, 0) + 1
        charts.append(
            Chart(
                sheet=sheet,
                findings=findings,
                name=name,
                stem=stem if number == 1 else f"{stem} ({number})",
                folder=path.parent,
                tunes=len(results),
                decisions=decisions,
            )
        )
    return charts


def each_chart(
    paths: Sequence[Path],
    work: Callable[[Chart], bool],
    /,
    *,
    quiet: bool,
    failed: list[tuple[str, str]] | None = None,
    typed: Decisions = _NOTHING_DECIDED,
) -> int:
    """Read every chart and do the work on it, whatever becomes of the others.

    `work` tells whether all was well.  The charts that failed are named at the
    end, and put into `failed` with the reason.  `typed` is what was decided on
    the command line.  Gives the exit code: 0 if all was well, else 1.
    """
    bad: list[tuple[str, str]] = failed if failed is not None else []
    well = True
    used: dict[str, int] = {}
    charts = 0
    for number, path in enumerate(paths, 1):
        if len(paths) > 1 and not quiet:
            say_aside(f"[{number}/{len(paths)}] {path.name}")
        read = partial(_charts_of, path, used, typed)
        in_file, why = tried(read)
        charts += len(in_file or (path,))
        if why:
            bad.append((str(path), why))
        for chart in in_file or ():
            fine, why = tried(partial(work, chart))
            well = well and bool(fine)
            if why:
                bad.append((str(path) if chart.tunes == 1 else chart.name, why))
    if bad:
        say_aside(f"{count(len(bad), 'chart')} of {charts} failed:")
        for name, why in bad:
            first, *rest = why.splitlines() or [""]
            say_aside(f"  {name}: {first}")
            for line in rest:
                say_aside(f"    {line}")
    return 0 if well and not bad else 1


def tried(work: Callable[[], _Done]) -> tuple[_Done | None, str]:
    """What a piece of work gives, or None and why it failed."""
    try:
        return work(), ""
    except (BrokenPipeError, UsageError):  # nobody reads on, or nothing can be done
        raise
    except (TheoryError, OSError) as error:
        return None, _why(error)
    except Exception as error:  # a fault of ours stops no other chart
        return None, f"a fault of this program: {error!r}"


def _why(error: TheoryError | OSError) -> str:
    if isinstance(error, OSError) and error.strerror:
        where = f" ({error.filename})" if error.filename else ""
        return f"{error.strerror[0].lower()}{error.strerror[1:]}{where}"
    return str(error)
