"""Names that no two files share, and files that appear whole."""

from __future__ import annotations

import os
import resource
import signal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadsheet_theory.files import (
    LONGEST_NAME,
    NamedBytes,
    Wish,
    plan_names,
    safe_name,
    same_name,
    write_files,
)

ENDS = (("", " - C.pdf"), ("", " - report.txt"), ("musicxml/", " - C.musicxml"))


def planned(*stems: str, kept: tuple[str, ...] = ()) -> tuple[str, ...]:
    return plan_names([Wish(stem, ENDS) for stem in stems], kept=kept)


@pytest.mark.parametrize(
    ("stems", "names"),
    [
        (("tune", "tune", "tune (2)"), ("tune", "tune (2)", "tune (2) (2)")),
        (("Tune", "tUNE"), ("Tune", "tUNE (2)")),
        (("Caf\u00e9", "Cafe\u0301"), ("Caf\u00e9", "Caf\u00e9 (2)")),
        (("tune", "tune - C"), ("tune", "tune - C")),
        (("a?b", "a*b"), ("a-b", "a-b (2)")),
    ],
)
def test_names_are_numbered_where_they_clash(
    stems: tuple[str, ...], names: tuple[str, ...]
) -> None:
    assert planned(*stems) == names


def test_a_name_is_taken_though_its_beginning_is_another() -> None:
    ends = (("", " in F - C.pdf"),)
    taken = plan_names([Wish("tune in F", ENDS[:1]), Wish("tune", ends)])
    assert taken == ("tune in F", "tune (2)")


def test_a_file_that_stays_keeps_its_name() -> None:
    assert planned("tune", kept=("musicxml/Tune - c.musicxml",)) == ("tune (2)",)
    assert planned("tune", kept=("Tune - c.musicxml",)) == ("tune",)


NAMES = st.text(st.sampled_from("aA-C(2) .é\u0301ß?"), max_size=8) | st.text(
    max_size=300
)


@given(st.lists(NAMES, max_size=8))
def test_no_two_files_share_a_name(stems: list[str]) -> None:
    names = [name for stem in planned(*stems) for name in Wish(stem, ENDS).names()]
    assert len(set(map(same_name, names))) == len(names) == 3 * len(stems)
    for name in names:
        base = name.rpartition("/")[2]
        assert len(base.encode()) <= LONGEST_NAME
        assert safe_name(base) == base


@given(st.text())
def test_safe_names_are_legal_on_windows(text: str) -> None:
    """Microsoft, "Naming Files, Paths, and Namespaces"."""
    name = safe_name(text)
    assert name
    assert not set(name) & set('<>:"/\\|?*')
    assert all(ord(sign) >= 32 for sign in name)
    assert name[-1] not in " ."
    assert name.partition(".")[0].strip().casefold() not in {"con", "nul", "com1"}
    assert safe_name(name) == name


@pytest.mark.parametrize("name", ["CON", "nul.tune", "Com1", "LPT³.x", "aux .pdf"])
def test_names_of_devices_are_changed(name: str) -> None:
    assert safe_name(name) != name


def test_a_file_of_bytes_knows_its_hash() -> None:
    # FIPS 180-4, the published example of the message "abc"
    assert NamedBytes("a", b"abc").sha256.startswith("ba7816bf8f01cfea414140de5dae2223")


class TestWriting:
    def test_all_are_written_and_nothing_beside(self, tmp_path: Path) -> None:
        write_files(tmp_path, {"a.txt": b"1", "sub/b.txt": b"2"})
        write_files(tmp_path, {"a.txt": b"3"})
        found = {p.name: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
        assert found == {"a.txt": b"3", "b.txt": b"2"}

    def test_a_link_is_replaced_not_followed(self, tmp_path: Path) -> None:
        chart = tmp_path / "chart"
        chart.write_bytes(b"old")
        (tmp_path / "link").symlink_to(chart)
        write_files(tmp_path, {"link": b"new"})
        assert chart.read_bytes() == b"old"
        assert (tmp_path / "link").read_bytes() == b"new"

    def test_a_folder_in_the_way_stops_all(self, tmp_path: Path) -> None:
        (tmp_path / "b").mkdir()
        with pytest.raises(IsADirectoryError):
            write_files(tmp_path, {"a": b"1", "b": b"2"})
        assert [path.name for path in tmp_path.iterdir()] == ["b"]

    @pytest.mark.skipif(os.name == "nt", reason="no such limit")
    def test_a_full_disk_leaves_the_old_files(self, tmp_path: Path) -> None:
        """A limit to the size of files stands for it."""
        write_files(tmp_path, {"a": b"old", "b": b"old"})
        limits = resource.getrlimit(resource.RLIMIT_FSIZE)
        before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (1000, limits[1]))
        try:
            with pytest.raises(OSError, match="File too large"):
                write_files(tmp_path, {"a": b"new", "b": bytes(2000)})
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, limits)
            signal.signal(signal.SIGXFSZ, before)
        found = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
        assert found == {"a": b"old", "b": b"old"}

    def test_who_interrupts_waits_until_all_have_their_names(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        write_files(tmp_path, {"a": b"old", "b": b"old"})
        replace = Path.replace

        def interrupted(self: Path, target: Path) -> Path:
            if target.name == "a":
                replace(self, target)
                raise KeyboardInterrupt
            return replace(self, target)

        monkeypatch.setattr(Path, "replace", interrupted)
        with pytest.raises(KeyboardInterrupt):
            write_files(tmp_path, {"a": b"new", "b": b"new"})
        found = {p.name: p.read_bytes() for p in tmp_path.iterdir()}
        assert found == {"a": b"new", "b": b"new"}
