"""Pieces in from files and out to files, the check and the upgrade."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest

from broachplan import places
from broachplan.desks.attendant.import_crib import ImportRefused
from broachplan.desks.attendant.upgrade_data import UpgradeOutcome
from broachplan.errors import InputError, StorageError
from tests.desks.doing import export_crib, import_crib, upgrade_data
from tests.desks.looking import check_data, list_pieces
from tests.store.test_backup import umask


def test_what_is_exported_imports_into_another_crib(filled: str, tmp_path: Path) -> None:
    exported = export_crib(filled, tmp_path / "out")

    imported = import_crib(str(tmp_path / "other.db"), [tmp_path / "out"])

    assert (exported.pieces, len(exported.files), imported.added) == (6, 6, 6)
    assert list_pieces(str(tmp_path / "other.db")) == list_pieces(filled)


@pytest.mark.parametrize("mask", [0, 0o777])
def test_a_folder_made_for_an_export_is_its_owner_s_alone(filled: str, tmp_path: Path, mask: int) -> None:
    with umask(mask):
        export_crib(filled, tmp_path / "out")

    assert (tmp_path / "out").stat().st_mode & 0o777 == 0o700


def test_the_demo_toolroom_comes_in_twice_and_changes_nothing_the_second_time(db: str) -> None:
    first, second = (import_crib(db, [places.seed_inventory()]) for _ in range(2))

    assert (second.added, second.changed, second.unchanged) == (0, (), first.added)
    assert check_data(db) == ()


def test_a_refused_import_adds_nothing(db: str, tmp_path: Path) -> None:
    (tmp_path / "pins.csv").write_text("tag,diameter,length,home,note\nN-1,1 mm,,,\nN-2,1,,,\n")

    with pytest.raises(ImportRefused, match=r"^pins\.csv, row 3, column diameter: read “1” without a unit"):
        import_crib(db, [tmp_path])

    assert list_pieces(db).total == 0


def test_an_export_replaces_older_files_only_when_asked(filled: str, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "pins.csv").symlink_to("nowhere")
    for name in ("shims.csv", "crib.xlsx", "notes.txt"):
        (out / name).write_text("older")

    with pytest.raises(
        InputError, match=r"^“.*/shims.csv” and “.*/pins.csv” are there already; .* --overwrite"
    ):
        export_crib(filled, out)
    for to in (out / "crib.xlsx", out):
        with pytest.raises(InputError, match=r"^“.*/crib.xlsx” is there already; .* add --overwrite"):
            export_crib(filled, to, xlsx=True)
    assert sorted(path.name for path in out.iterdir()) == ["crib.xlsx", "notes.txt", "pins.csv", "shims.csv"]
    assert {path.read_text() for path in out.iterdir() if path.is_file()} == {"older"}

    export_crib(filled, out, overwrite=True)
    export_crib(filled, out, xlsx=True, overwrite=True)
    assert (out / "shims.csv").read_text().startswith("tag,thickness")
    assert (out / "pins.csv").read_text().startswith("tag,diameter")
    assert (out / "crib.xlsx").read_bytes().startswith(b"PK")
    assert (out / "notes.txt").read_text() == "older"


@pytest.mark.parametrize("overwrite", [False, True])
@pytest.mark.parametrize(
    ("crib", "to", "xlsx"),
    [
        ("crib.xlsx", "crib.xlsx", False),
        ("out/shims.csv", "out", False),
        ("out/crib.xlsx", "out", True),
        ("out/crib", "out/link.xlsx", False),
        ("out/crib", "out/second-name.xlsx", False),
        ("out/crib", "another-crib.xlsx", False),
    ],
)
def test_an_export_never_writes_over_a_crib_whatever_its_name(
    filled_file: str, tmp_path: Path, crib: str, to: str, xlsx: bool, overwrite: bool
) -> None:
    out, live = tmp_path / "out", tmp_path / crib
    out.mkdir()
    Path(filled_file).rename(live)
    (out / "link.xlsx").symlink_to(live)
    (out / "second-name.xlsx").hardlink_to(live)
    upgrade_data(str(tmp_path / "another-crib.xlsx"), date(2031, 5, 2))
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}

    with pytest.raises(InputError, match=r"is the crib's own file|is a crib or another database"):
        export_crib(str(live), tmp_path / to, xlsx=xlsx, overwrite=overwrite)

    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


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
    with pytest.raises(
        InputError,
        match=r"^the files for “.*/out” could not be written: no space left on device; no file was replaced",
    ):
        export_crib(filled, tmp_path / "out", overwrite=True)

    assert [path.name for path in (tmp_path / "out").iterdir()] == ["broaches.csv"]
    assert (tmp_path / "out" / "broaches.csv").read_text() == "older"


def test_an_upgrade_makes_what_is_not_there_and_then_has_nothing_to_do(empty: str) -> None:
    outcomes = [upgrade_data(empty, date(2031, 5, 2)).outcome for _ in range(2)]

    assert outcomes == [UpgradeOutcome.CREATED, UpgradeOutcome.CURRENT]


def test_a_check_of_nothing_is_refused(db_file: str) -> None:
    with pytest.raises(StorageError, match=r"there is no such file"):
        check_data(db_file)
