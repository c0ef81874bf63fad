"""Charts on the command line: find them, go through them, name the bad ones."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from errno import EINVAL
from functools import partial
from itertools import chain, islice
from pathlib import Path
from typing import Final, TypeVar

from attrs import frozen

from ..abc.reading.read import AbcTune, read_abc
from ..decisions.making import decided_sheet
from ..decisions.model import Decisions
from ..errors import TheoryError
from ..files import Ends, Wish, plan_names, safe_name
from ..leadsheet.findings import Finding
from ..leadsheet.model import LeadSheet
from ..musicxml.reading.read import read_lead_sheet
from ..musicxml.writing.files import is_written_part
from ._decisions import decisions_beside
from ._say import Progress, UsageError, count, say_aside
from ._staves import as_typed

__all__ = (
    "Chart",
    "Source",
    "charts_in",
    "charts_of",
    "check_no_chart",
    "check_regular",
    "each_chart",
    "say_failed",
    "sources",
    "tried",
)

_Done = TypeVar("_Done")

_SUFFIXES: Final = (".musicxml", ".mxl", ".xml", ".abc")
_NOTHING_DECIDED: Final = Decisions()
_HERE: Final = Path()
# what of a file shows whether it is a part
_HEAD: Final = 64_000


def _no_ends(_: Decisions) -> Ends:
    return ()


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


@frozen(order=False)
class Source:
    """A file of charts, and how the files made from each of its tunes begin."""

    path: Path
    stems: tuple[str, ...]


def charts_in(names: Iterable[str], /) -> tuple[Path, ...]:
    """The files of charts meant by names of files and of folders, each once, in order.

    A folder stands for the MusicXML and ABC files in it, but for parts that were
    written into it earlier.  A name that leads nowhere is kept: reading it will say so.
    """
    found: dict[Path, None] = {}
    for name in names:
        path = Path(name)
        if path.is_dir():
            found.update(dict.fromkeys(_charts_in(path)))
        else:
            found[path] = None
    return tuple(found)


def _charts_in(folder: Path) -> list[Path]:
    inside = sorted(
        path
        for path in folder.iterdir()
        if path.suffix.lower() in _SUFFIXES
        and not path.name.startswith(".")
        and path.is_file()
    )
    charts = [path for path in inside if not _is_part(path)]
    if made := len(inside) - len(charts):
        what = "a part" if made == 1 else f"{made} parts"
        say_aside(f"{folder}: {what} made earlier, not taken for charts")
    if not charts:
        raise UsageError(f"no MusicXML or ABC file in the folder {folder}")
    return charts


def _is_part(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return is_written_part(file.read(_HEAD))
    except OSError:  # reading it will say so
        return False


def sources(
    paths: Iterable[Path],
    typed: Decisions,
    /,
    *,
    to: Path,
    ends: Callable[[Decisions], Ends],
) -> tuple[Source, ...]:
    """The plan of names: how the files made from each chart begin, so that none
    replaces another, nor a chart.

    Args:
        paths: the charts' files.
        typed: what was decided on the command line.
        to: the folder that files are written into.
        ends: how the names of a chart's files end, as is decided for it.
    """
    wishes: list[list[Wish]] = []
    for path in paths:
        beside, _ = tried(partial(decisions_beside, path))
        decisions = (beside or _NOTHING_DECIDED).followed_by(typed)
        these = ends(decisions)
        wishes.append([Wish(stem, these) for stem in _stems(path, decisions)])
    kept = _kept(
        paths, to, {folder for each in wishes for w in each for folder, _ in w.ends}
    )
    planned = iter(plan_names(chain.from_iterable(wishes), kept=kept))
    found = []
    for path, wished in zip(paths, wishes, strict=True):
        stems = tuple(islice(planned, len(wished)))
        for wish, stem in zip(wished, stems, strict=True):
            if stem != wish.beginning:
                say_aside(f"{path}: {_renamed(wish.beginning, stem)}")
        found.append(Source(path, stems))
    return tuple(found)


def _renamed(wished: str, stem: str) -> str:
    if safe_name(wished) == wished:
        why = "another file has or needs its name"
    else:
        why = "not every system takes its name"
    return f"the files made from it are called {stem!r} ({why})"


def _stems(path: Path, decisions: Decisions) -> list[str]:
    """How the files made from each tune of a file would begin."""
    if path.suffix.lower() != ".abc":
        return [path.stem]
    tunes, _ = tried(partial(_tunes_of, path))
    titles = [decisions.text("title") or tune.sheet.title for tune in tunes or ()]
    if len(titles) < 2:
        return [path.stem]
    return [f"{path.stem}, {safe_name(title)[:60]}" for title in titles]


def _kept(paths: Iterable[Path], to: Path, folders: Collection[str]) -> set[str]:
    """The names of charts that lie where files are written."""
    there = {(to / folder).resolve(): folder for folder in folders}
    return {
        f"{there[home]}{path.name}"
        for given in paths
        for path in (given, given.resolve())
        if (home := path.parent.resolve()) in there
    }


def _tunes_of(path: Path) -> tuple[AbcTune, ...]:
    check_regular(path)
    return read_abc(path)


def check_no_chart(file: Path, charts: Iterable[Path], /) -> None:
    """Make sure that a file to be written is none of those that are read.

    Raises:
        UsageError: if it is one.
    """
    for chart in charts:
        if file.resolve() == chart.resolve() or (
            file.exists() and chart.exists() and file.samefile(chart)
        ):
            raise UsageError(f"--to {file}: that is read, and is not written over")


def check_regular(path: Path, /) -> None:
    """Make sure that a file can be read to its end.

    Raises:
        OSError: if it is a pipe, a device or a folder.
    """
    if path.exists() and not path.is_file():
        raise OSError(EINVAL, "Not a regular file", str(path))


def charts_of(source: Source, typed: Decisions, /) -> list[Chart]:
    """The charts in a file: one in MusicXML, as many as there are tunes in ABC."""
    path = source.path
    check_regular(path)
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
    for (read, findings), stem in zip(results, source.stems, strict=True):
        sheet = decided_sheet(read, decisions.without("key"))
        alone = len(results) == 1
        charts.append(
            Chart(
                sheet=sheet,
                findings=findings,
                name=path.name
                if alone
                else f"{path.name}, {sheet.title or 'untitled'}",
                stem=stem,
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
    to: Path = _HERE,
    ends: Callable[[Decisions], Ends] = _no_ends,
) -> int:
    """Read every chart and do the work on it, whatever becomes of the others.

    `work` tells whether all was well.  The charts that failed are named at the
    end, and put into `failed` with the reason.  `typed` is what was decided on the
    command line; `to` and `ends` tell what files the work writes.  Gives the exit
    code: 0 if all was well, else 1.
    """
    bad: list[tuple[str, str]] = failed if failed is not None else []
    well = True
    charts = 0
    progress = Progress(len(paths), quiet=quiet)
    for source in sources(paths, typed, to=to, ends=ends):
        progress.at(source.path.name)
        in_file, why = tried(partial(charts_of, source, typed))
        charts += len(in_file or (source,))
        if why:
            bad.append((str(source.path), why))
        for chart in in_file or ():
            fine, why = tried(partial(work, chart))
            well = well and bool(fine)
            if why:
                bad.append((str(source.path) if chart.tunes == 1 else chart.name, why))
    say_failed(bad, charts)
    return 0 if well and not bad else 1


def say_failed(bad: Sequence[tuple[str, str]], charts: int, /) -> None:
    """Name the charts that failed."""
    if not bad:
        return
    say_aside(f"{count(len(bad), 'chart')} of {charts} failed:")
    for name, why in bad:
        first, *rest = why.splitlines() or [""]
        say_aside(f"  {name}: {first}")
        for line in rest:
            say_aside(f"    {line}")


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
