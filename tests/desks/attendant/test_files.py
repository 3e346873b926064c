"""Pieces in from files and out to files, the check and the upgrade."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest

from broachplan import places
from broachplan.desks.attendant.check_data import check_data
from broachplan.desks.attendant.export_crib import export_crib
from broachplan.desks.attendant.import_crib import ImportRefused, import_crib
from broachplan.desks.attendant.list_pieces import list_pieces
from broachplan.desks.attendant.upgrade_data import Outcome, upgrade_data
from broachplan.errors import InputError, StorageError


def test_what_is_exported_imports_into_another_crib(filled: str, tmp_path: Path) -> None:
    exported = export_crib(filled, tmp_path / "out")

    imported = import_crib(str(tmp_path / "other.db"), [tmp_path / "out"])

    assert (exported.pieces, len(exported.files), imported.added) == (6, 6, 6)
    assert list_pieces(str(tmp_path / "other.db")) == list_pieces(filled)


def test_the_demo_toolroom_comes_in_twice_and_changes_nothing_the_second_time(db: str) -> None:
    first, second = (import_crib(db, [places.seed_inventory()]) for _ in range(2))

    assert (second.added, second.changed, second.unchanged) == (0, (), first.added)
    assert check_data(db) == ()


def test_a_refused_import_adds_nothing(db: str, tmp_path: Path) -> None:
    (tmp_path / "pins.csv").write_text("tag,diameter,length,home,note\nN-1,1 mm,,,\nN-2,1,,,\n")

    with pytest.raises(ImportRefused, match=r"^pins\.csv, row 3, column diameter: read “1” without a unit"):
        import_crib(db, [tmp_path])

    assert list_pieces(db).total == 0


def test_an_export_over_older_files_takes_their_place(filled: str, tmp_path: Path) -> None:
    for name in ("shims.csv", "notes.txt"):
        (tmp_path / name).write_text("older")

    export_crib(filled, tmp_path)

    assert (tmp_path / "shims.csv").read_text().startswith("tag,thickness")
    assert (tmp_path / "notes.txt").read_text() == "older"


@pytest.mark.parametrize("folder", ["file.txt", "no/such/parent"])
def test_an_export_to_no_folder_is_refused(filled: str, tmp_path: Path, folder: str) -> None:
    (tmp_path / "file.txt").write_text("mine")

    with pytest.raises(InputError, match=r"^folder “.*” cannot be written: "):
        export_crib(filled, tmp_path / folder)

    assert (tmp_path / "file.txt").read_text() == "mine"


def test_an_export_that_fails_half_way_leaves_the_older_file_whole(
    filled: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "broaches.csv").write_text("older")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match=r"cannot be written: no space left on device"):
        export_crib(filled, tmp_path / "out")

    assert [path.name for path in (tmp_path / "out").iterdir()] == ["broaches.csv"]
    assert (tmp_path / "out" / "broaches.csv").read_text() == "older"


def test_an_upgrade_makes_what_is_not_there_and_then_has_nothing_to_do(empty: str) -> None:
    outcomes = [upgrade_data(empty, date(2031, 5, 2)).outcome for _ in range(2)]

    assert outcomes == [Outcome.CREATED, Outcome.CURRENT]


def test_a_check_of_nothing_is_refused(db_file: str) -> None:
    with pytest.raises(StorageError, match=r"there is no such file"):
        check_data(db_file)
