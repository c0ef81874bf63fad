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
from ..catalogue.charts import NOTHING_DECIDED, Chart, chart_stems, read_charts
from ..decisions.model import Decisions
from ..errors import TheoryError
from ..files import Ends, Wish, plan_names, safe_name
from ..musicxml.reading._xml import MAX_FILE_BYTES
from ..musicxml.writing.files import is_written_part
from ._decisions import decisions_beside
from ._say import Progress, UsageError, count, say_aside

__all__ = (
    "Chart",
    "Source",
    "bytes_of",
    "called",
    "charts_in",
    "charts_of",
    "check_no_chart",
    "check_regular",
    "each_chart",
    "say_failed",
    "sources",
    "tried",
    "why",
)

_Done = TypeVar("_Done")

_SUFFIXES: Final = (".musicxml", ".mxl", ".xml", ".abc")
_HERE: Final = Path()
# what of a file shows whether it is a part
_HEAD: Final = 64_000


def _no_ends(_: Decisions) -> Ends:
    return ()


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
    found: dict[Path, Path] = {}
    for name in names:
        path = Path(name)
        for chart in _charts_in(path) if path.is_dir() else (path,):
            found.setdefault(chart.parent.resolve() / chart.name, chart)
    return tuple(found.values())


def _charts_in(folder: Path) -> list[Path]:
    try:
        inside = sorted(
            path
            for path in folder.iterdir()
            if path.suffix.lower() in _SUFFIXES and not path.name.startswith(".")
        )
    except OSError as error:
        raise UsageError(f"{folder}: {error.strerror}") from None
    files = [path for path in inside if path.is_file()]
    for path in inside:
        if not path.is_file():
            say_aside(f"{path}: no regular file, left out")
    charts = [path for path in files if not _is_part(path)]
    if made := len(files) - len(charts):
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
        decisions = (beside or NOTHING_DECIDED).followed_by(typed)
        these = ends(decisions)  # none where nothing is named after the chart
        stems = _stems(path, decisions) if these else ()
        wishes.append([Wish(stem, these) for stem in stems])
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


def _stems(path: Path, decisions: Decisions) -> tuple[str, ...]:
    """How the files made from each tune of a file would begin."""
    if path.suffix.lower() != ".abc":
        return chart_stems(path.name, ())
    tunes, _ = tried(partial(_tunes_of, path))
    titles = [decisions.text("title") or tune.sheet.title for tune in tunes or ()]
    return chart_stems(path.name, titles)


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


def check_no_chart(
    file: Path, charts: Iterable[Path], /, *, option: str = "--to"
) -> None:
    """Make sure that a file to be written is none of those that are read.

    Raises:
        UsageError: if it is one.
    """
    for chart in charts:
        if file.resolve() == chart.resolve() or (
            file.exists() and chart.exists() and file.samefile(chart)
        ):
            raise UsageError(f"{option} {file}: that is read, and is not written over")


def check_regular(path: Path, /) -> None:
    """Make sure that a file can be read to its end.

    Raises:
        OSError: if it is a pipe, a device or a folder.
    """
    if path.exists() and not path.is_file():
        raise OSError(EINVAL, "Not a regular file", str(path))


def bytes_of(path: Path, /) -> bytes:
    """The bytes of a chart's file, at most one more than a chart may have.

    Raises:
        OSError: if it can't be read, or is no regular file.
    """
    check_regular(path)
    with path.open("rb") as file:
        return file.read(MAX_FILE_BYTES + 1)


def charts_of(source: Source, typed: Decisions, /) -> tuple[Chart, ...]:
    """The charts in a file: one in MusicXML, as many as there are tunes in ABC."""
    return read_charts(
        bytes_of(source.path),
        name=source.path.name,
        decisions=decisions_beside(source.path).followed_by(typed),
        stems=source.stems,
    )


def each_chart(
    paths: Sequence[Path],
    work: Callable[[Chart], bool],
    /,
    *,
    quiet: bool,
    typed: Decisions = NOTHING_DECIDED,
    to: Path = _HERE,
    ends: Callable[[Decisions], Ends] = _no_ends,
) -> int:
    """Read every chart and do the work on it, whatever becomes of the others.

    `work` tells whether all was well.  The charts that failed are named at the end.
    `typed` is what was decided on the command line; `to` and `ends` tell what files the
    work writes.  Gives the exit code: 0 if all was well, else 1.
    """
    bad: list[tuple[str, str]] = []
    well = True
    charts = 0
    progress = Progress(len(paths), quiet=quiet)
    for source in sources(paths, typed, to=to, ends=ends):
        progress.at(source.path.name)
        in_file, error = tried(partial(charts_of, source, typed))
        charts += len(in_file or (source,))
        if error:
            bad.append((str(source.path), why(error)))
        for chart in in_file or ():
            fine, error = tried(partial(work, chart))
            well = well and bool(fine)
            if error:
                bad.append((called(source, chart), why(error)))
    say_failed(bad, charts)
    return 0 if well and not bad else 1


def called(source: Source, chart: Chart, /) -> str:
    """What a chart is called that failed."""
    return str(source.path) if chart.tunes == 1 else chart.name


def say_failed(bad: Sequence[tuple[str, str]], charts: int, /) -> None:
    """Name the charts that failed."""
    if not bad:
        return
    say_aside(f"{count(len(bad), 'chart')} of {charts} failed:")
    for name, says in bad:
        first, *rest = says.splitlines() or [""]
        say_aside(f"  {name}: {first.removesuffix(f' ({name})')}")
        for line in rest:
            say_aside(f"    {line}")


def tried(work: Callable[[], _Done]) -> tuple[_Done | None, Exception | None]:
    """What a piece of work gives, or None and why it failed."""
    try:
        return work(), None
    except (BrokenPipeError, UsageError):  # nobody reads on, or nothing can be done
        raise
    except Exception as error:  # a fault of ours stops no other chart
        return None, error


def why(error: Exception, /) -> str:
    """Why a chart failed, in words."""
    if isinstance(error, OSError) and error.strerror:
        where = f" ({error.filename})" if error.filename else ""
        return f"{error.strerror[0].lower()}{error.strerror[1:]}{where}"
    if isinstance(error, TheoryError | OSError):
        return str(error)
    return f"a fault of this program: {error!r}"
