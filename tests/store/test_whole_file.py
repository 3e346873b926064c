"""Files that are there whole or not at all, and what is left of those that were not finished."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from broachplan.store.whole_file import take_place, written_beside

KILLED = """
import os, signal, sys
from pathlib import Path
from broachplan.store.whole_file import written_beside
with written_beside(Path(sys.argv[1]), b"half") as made:
    print(made.name, flush=True)
    os.kill(os.getpid(), signal.SIGKILL)
"""


def begun(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name.startswith(".broachplan-"))


def test_what_one_that_was_killed_had_begun_is_removed_by_the_next(tmp_path: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path / "a")],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert begun(tmp_path) == [ran.stdout.strip()]

    with written_beside(tmp_path / "b", b"whole") as made:
        assert begun(tmp_path) == [made.name]
        take_place(made, tmp_path / "b")

    assert [path.name for path in tmp_path.iterdir()] == ["b"]
    assert (tmp_path / "b").read_bytes() == b"whole"


def test_what_another_is_still_writing_is_left_to_it(tmp_path: Path) -> None:
    with (
        written_beside(tmp_path / "a", b"first") as first,
        written_beside(tmp_path / "a", b"second") as second,
    ):
        assert begun(tmp_path) == sorted([first.name, second.name])
        assert (first.read_bytes(), second.read_bytes()) == (b"first", b"second")
        take_place(second, tmp_path / "a")
        with written_beside(tmp_path / "b", b"third"):
            assert first.exists()

    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_one_that_was_swept_up_before_it_was_claimed_is_begun_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, made = os.fstat, []

    def swept_once(handle: int) -> os.stat_result:
        if not made:
            made.extend(tmp_path.glob(".broachplan-*"))
            made[0].unlink()
        return real(handle)

    monkeypatch.setattr(os, "fstat", swept_once)
    with written_beside(tmp_path / "a", b"whole") as again:
        assert again != made[0]
        assert again.read_bytes() == b"whole"


def test_what_is_not_a_file_of_ours_is_left(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("mine")
    (tmp_path / ".broachplan-link.tmp").symlink_to("mine")
    (tmp_path / ".broachplan-folder.tmp").mkdir()
    os.mkfifo(tmp_path / ".broachplan-pipe.tmp")
    (tmp_path / ".broachplan-notes.txt").write_text("mine too")
    before = begun(tmp_path)

    with written_beside(tmp_path / "a", b"whole"):
        pass

    assert begun(tmp_path) == before
    assert (tmp_path / "mine").read_text() == "mine"
