"""Labels of the pieces asked for, into a file that is whole or not touched."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path
from typing import Any

import pytest

from broachplan.desks.attendant import print_labels as desk
from broachplan.desks.attendant.print_labels import Printed, grid_named
from broachplan.errors import InputError
from broachplan.questions.files import LabelsRequest, OutlinesRequest
from broachplan.store.tables import PIECE
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind
from tests.desks.doing import retire_piece
from tests.paper.pages import pictures, scanned

GRID = grid_named("letter-2x5")
EVERY = ["B-250", "G-1000", "S-1", "P-1", "N-1", "R-1"]


def print_labels(
    db: str, file: Path, wanted: dict[str, Any], *, progress: Any = None, **asked: Any
) -> Printed:
    request = LabelsRequest(file=str(file), grid=GRID.name, **wanted, **asked)
    return desk.print_labels(db, request, progress=progress)


@pytest.fixture
def placed(filled: str) -> str:
    """A crib with four homes in two cabinets."""
    with writing(filled) as work:
        for tag, home in (("G-1000", "C2/D3/1"), ("S-1", "c2 / D3"), ("N-1", "C2/D4"), ("R-1", "C20/D3")):
            work.connection.execute(PIECE.update().where(PIECE.c.tag == tag).values(home=home))
        work.commit()
    return filled


def tags_on(file: Path) -> list[str]:
    return [tag for page in pictures(file.read_bytes()) for tag in scanned(page, GRID, GRID.labels) if tag]


@pytest.mark.parametrize(
    ("wanted", "tags"),
    [
        ({}, EVERY),
        ({"tags": ("S-1", " B-250", "S-1")}, ["S-1", "B-250", "S-1"]),
        ({"kind": Kind.PIN}, ["N-1"]),
        ({"text": "SHARP"}, ["B-250"]),
        ({"set_name": "inch set"}, ["B-250"]),
        ({"home": "C2/d3"}, ["G-1000", "S-1"]),
        ({"home": "C2", "kind": Kind.SHIM}, ["S-1"]),
    ],
)
def test_the_pieces_asked_for_have_labels_in_the_order_of_the_list_or_of_their_tags(
    placed: str, tmp_path: Path, wanted: dict[str, Any], tags: list[str]
) -> None:
    file = tmp_path / "labels.pdf"

    printed = print_labels(placed, file, wanted, start=5)

    assert printed == Printed(
        file, GRID, len(tags), 1 if len(tags) <= 6 else 2, (4 + len(tags)) % 10 and 5 + len(tags)
    )
    assert tags_on(file) == tags
    assert file.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    ("wanted", "start", "message"),
    [
        ({"tags": ("B-25",)}, 1, "tag: read “B-25”: no such tag; the nearest: B-250"),
        (
            {"tags": ("B-250",), "home": "C2"},
            1,
            "tag: a tag names its piece; leave out kind, text, set and home",
        ),
        ({"set_name": "no such"}, 1, "set: read “no such”: no such set"),
        ({"home": " / "}, 1, "home: read “ / ”; write a home, for example C2/D3"),
        ({"home": "C2/D9"}, 1, "nothing to print: the crib has no such piece"),
        ({}, 0, "start: read 0; a sheet letter-2x5 has the labels 1 to 10"),
        ({}, 11, "start: read 11; a sheet letter-2x5 has the labels 1 to 10"),
    ],
)
def test_labels_that_cannot_be_printed_are_reported_and_no_file_is_made(
    placed: str, tmp_path: Path, wanted: dict[str, Any], start: int, message: str
) -> None:
    with pytest.raises(InputError, match=f"^{re.escape(message)}"):
        print_labels(placed, tmp_path / "labels.pdf", wanted, start=start)

    assert not (tmp_path / "labels.pdf").exists()


def test_a_retired_piece_has_a_label_only_by_its_tag(filled: str, tmp_path: Path) -> None:
    retire_piece(filled, "S-1", by="Kim")

    everything = print_labels(filled, tmp_path / "all.pdf", {})
    by_tag = print_labels(filled, tmp_path / "one.pdf", {"tags": ("S-1",)})

    assert (everything.labels, by_tag.labels) == (5, 1)


def test_an_existing_file_is_replaced_only_when_asked_and_the_crib_never(
    filled_file: str, tmp_path: Path
) -> None:
    file = tmp_path / "labels.pdf"
    file.write_text("mine")
    crib = Path(filled_file).read_bytes()

    for write in (
        lambda to, overwrite: print_labels(filled_file, to, {}, overwrite=overwrite),
        lambda to, overwrite: desk.print_outlines(
            filled_file, OutlinesRequest(file=str(to), grid=GRID.name, overwrite=overwrite)
        ),
    ):
        file.write_text("mine")
        with pytest.raises(
            InputError, match=r"^“.*labels\.pdf” is there already; choose another name, or add"
        ):
            write(file, False)
        assert file.read_text() == "mine"
        write(file, True)
        assert file.read_bytes().startswith(b"%PDF")
        for name in (filled_file, f"{filled_file}-journal"):
            with pytest.raises(
                InputError, match=r"is the crib's own file; choose another name for the labels$"
            ):
                write(Path(name), True)
    assert Path(filled_file).read_bytes() == crib
    assert sorted(path.name for path in tmp_path.iterdir()) == ["crib.db", "labels.pdf"]


def test_a_full_disk_is_reported_and_the_old_file_stays(
    filled: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "labels.pdf"
    file.write_text("mine")

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(
        InputError, match=r"labels\.pdf” could not be written: no space left on device; no file was replaced"
    ):
        print_labels(filled, file, {}, overwrite=True)

    assert file.read_text() == "mine"
    assert not list(tmp_path.glob(".broachplan*"))


def test_progress_is_reported_only_where_it_takes_a_while(
    filled: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    message: list[tuple[int, int]] = []

    print_labels(filled, tmp_path / "few.pdf", {}, progress=lambda *far: message.append(far))
    assert message == []

    monkeypatch.setattr(desk, "MANY", 5)
    print_labels(filled, tmp_path / "many.pdf", {}, progress=lambda *far: message.append(far))
    assert message == [(done, 6) for done in range(1, 7)]
