"""Files that are there whole or not at all, and what is left of those that were not finished."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from errno import EPERM
from pathlib import Path

import pytest

from broachplan.errors import InputError
from broachplan.store.whole_file import (
    COMPANIONS,
    ThereAlreadyError,
    check_places,
    take_place,
    write_named,
    written_beside,
)

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


OLD = {"a": b"old a", "c": b"old c"}
NEW = {"a": b"new a", "b": b"new b", "c": b"new c"}


def there(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def put(folder: Path, files: dict[str, bytes]) -> dict[Path, bytes]:
    return {folder / name: data for name, data in files.items()}


@pytest.fixture
def old(tmp_path: Path) -> Path:
    for path, data in put(tmp_path, OLD).items():
        path.write_bytes(data)
    return tmp_path


def without_second_names(*_names: Path, **_how: object) -> None:
    raise OSError(EPERM, os.strerror(EPERM))


@pytest.mark.parametrize("link", [os.link, without_second_names], ids=["second names", "copies"])
@pytest.mark.parametrize("refused", ["a", "b", "c"])
def test_where_one_of_several_files_cannot_have_its_name_all_are_as_they_were(
    old: Path, monkeypatch: pytest.MonkeyPatch, refused: str, link: Callable[..., None]
) -> None:
    real, refusals = Path.replace, []

    def replace(path: Path, to: Path) -> Path:
        # Another's file in a folder such as /tmp, which only its owner may replace.
        if to.name == refused and not refusals:
            refusals.append(to)
            raise PermissionError(EPERM, os.strerror(EPERM))
        return real(path, to)

    monkeypatch.setattr(os, "link", link)
    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(InputError, match="could not be written: operation not permitted; no file was rep"):
        write_named(put(old, NEW), overwrite=True)

    assert there(old) == OLD
    write_named(put(old, NEW), overwrite=True)
    assert there(old) == NEW


@pytest.mark.parametrize("link", [os.link, without_second_names], ids=["second names", "copies"])
def test_a_file_that_came_while_others_were_written_is_not_replaced_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, link: Callable[..., None]
) -> None:
    def link_after_another_came(made: Path, path: Path, **how: bool) -> None:
        if path.name == "c":
            path.write_bytes(b"another's")
        link(made, path, **how)

    monkeypatch.setattr(os, "link", link_after_another_came)
    with pytest.raises(ThereAlreadyError, match=r"^“.*/c” is there already; choose another name, or add"):
        write_named(put(tmp_path, NEW), overwrite=False)

    assert there(tmp_path) == {"c": b"another's"}


def test_a_name_that_a_database_has_or_would_take_for_its_own_is_refused(tmp_path: Path) -> None:
    crib = tmp_path / "shims.csv"
    with closing(sqlite3.connect(crib)) as connection:
        connection.execute("CREATE TABLE some (one)")
    (tmp_path / "link").symlink_to(crib)

    for name in ("shims.csv", "link", *(f"shims.csv{ending}" for ending in COMPANIONS)):
        with pytest.raises(InputError, match=r"is a crib or another database, and is never replaced"):
            check_places([tmp_path / "fine", tmp_path / name], "export", [], overwrite=True)
    for name in ("fine", "notes-journal"):
        check_places([tmp_path / name], "export", [], overwrite=False)
