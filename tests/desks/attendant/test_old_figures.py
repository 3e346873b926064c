"""Old figures do not overwrite new ones, and a figure that jumps is kept only where somebody is sure of it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from broachplan.crib.jumps import JumpError
from broachplan.errors import CribStateError, InputError
from broachplan.store.check import check
from broachplan.store.exchange import ImportRefused
from broachplan.tooling.figures import Kind
from tests.databases import contents
from tests.desks.doing import (
    add_piece,
    edit_piece,
    export_crib,
    import_crib,
    preview_import,
    regrind_piece,
    retire_piece,
    undo_act,
)
from tests.desks.looking import show_piece

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
HEAD = "tag,slot_width,web,measured_on"
WEB = {"outside_diameter": "0.999 in", "slot_width": "0.253 in", "web": "0.3061 in"}


def bushings(folder: Path, *rows: str, head: str = HEAD) -> Path:
    path = folder / "bushings.csv"
    path.write_text("\n".join([head.replace("tag,", "tag,outside_diameter,"), *(row.replace(",", ",0.999 in,", 1) for row in rows), ""]))  # fmt: skip
    return path


@pytest.fixture
def crib(db: str) -> str:
    """A bushing that was measured on 2031-05-02, and one that nobody measured."""
    add_piece(db, Kind.BUSHING, "G-1", {**WEB, "measured_on": "2031-05-02"}, at=NOW)
    add_piece(db, Kind.BUSHING, "G-2", WEB, at=NOW)
    return db


def test_after_a_regrind_the_old_spreadsheet_does_not_put_the_old_heights_back(
    filled: str, tmp_path: Path
) -> None:
    export_crib(filled, tmp_path)
    new = {"first_tooth_height": "0.3998 in", "last_tooth_height": "0.4498 in"}
    regrind_piece(filled, "B-250", {**new, "measured_on": "2031-06-01"}, at=NOW)
    before = contents(filled)

    with pytest.raises(
        ImportRefused,
        match=r"^broaches.csv, row 2: B-250 was measured on 2031-06-01, and the row's figures were measured on 2031-05-02, so they count as older: .*height over first tooth 0.3998 in -> 0.4 in; .*--older takes them all the same$",
    ):
        import_crib(filled, [tmp_path], at=NOW)
    assert contents(filled) == before

    assert len(import_crib(filled, [tmp_path], older=True, at=NOW).changed) == 1
    undo_act(filled, at=NOW)
    assert show_piece(filled, "B-250").record.measured.on is not None
    assert check(filled) == ()


@pytest.mark.parametrize(
    ("row", "head", "refused"),
    [
        ("G-1,0.253 in,0.3060 in,2031-05-01", HEAD, "were measured on 2031-05-01"),
        ("G-1,0.253 in,0.3060 in,", HEAD, "have no measuring day"),
        ("G-1,0.253 in,0.3060 in", "tag,slot_width,web", "have no measuring day"),
        ("G-1,0.253 in,,2031-05-01", HEAD, "were measured on 2031-05-01"),
        ("G-1,0.253 in,0.3061 in,2031-05-01", HEAD, "were measured on 2031-05-01"),
        ("G-1,0.253 in,0.3060 in,2031-05-02", HEAD, ""),
        ("G-1,0.253 in,0.3060 in,2031-05-03", HEAD, ""),
        ("G-1,0.253 in,0.3061 in", "tag,slot_width,web", ""),
        ("G-1,0.253 in,0.3061 in,drawer 7", "tag,slot_width,web,home", ""),
        ("G-1,0.253 in,0.3061 in,1 in", "tag,slot_width,web,length", ""),
        ("G-2,0.253 in,0.3060 in,", HEAD, ""),
    ],
)
def test_a_row_is_older_by_its_day_or_where_it_says_none_and_changes_what_was_measured(
    crib: str, tmp_path: Path, row: str, head: str, refused: str
) -> None:
    file = bushings(tmp_path, row, head=head)
    before = contents(crib)

    shown = preview_import(crib, [file])

    assert (len(shown.older), shown.refused, shown.jumps) == (bool(refused), (), ())
    assert contents(crib) == before
    if refused:
        assert refused in shown.older[0]
        with pytest.raises(ImportRefused, match=r"^bushings.csv, row 2: G-1 was measured on 2031-05-02"):
            import_crib(crib, [file], at=NOW)
    taken = preview_import(crib, [file], older=True)
    done = import_crib(crib, [file], older=bool(refused), at=NOW)
    assert (done.changed, done.added, done.unchanged) == (taken.changed, 0, taken.unchanged)
    assert check(crib) == ()


def test_a_preview_shows_what_is_added_changed_as_before_and_refused_and_writes_nothing(
    crib: str, tmp_path: Path
) -> None:
    retire_piece(crib, "G-2", at=NOW)
    rows = ("G-1,0.253 in,0.3070 in,2031-05-03", "G-2,0.253 in,0.3 in,", "G-3,0.253 in,0.2 in,", "G-4,x,,")
    file, before = bushings(tmp_path, *rows), contents(crib)

    first, *lines = preview_import(crib, [file]).lines

    assert first == "preview, nothing is written: 1 to add, 1 to change, 0 as before, 2 refused"
    assert lines[:2] == [
        "to add: bushing G-3",
        "to change: bushing G-1: measured on “2031-05-02” -> “2031-05-03”; web 0.3061 in -> 0.307 in",
    ]
    assert [line.partition(":")[2].partition(",")[0] for line in lines[2:]] == [" bushings.csv"] * 2
    assert contents(crib) == before
    with pytest.raises(ImportRefused, match=r"cannot be read|there is no"):
        preview_import(crib, [tmp_path / "missing.csv"])


def test_a_web_that_jumps_is_refused_with_both_figures_by_edit_and_by_import(
    crib: str, tmp_path: Path
) -> None:
    jumps = r"web: read 0.3601 in; it was 0.3061 in, and a figure that jumps by more than 0.0100 in is more often misread; .*\(--sure\)"
    file = bushings(tmp_path, "G-1,0.253 in,0.3601 in,2031-05-03")
    before = contents(crib)

    with pytest.raises(JumpError, match=f"^{jumps}$"):
        edit_piece(crib, "G-1", {"web": "0.3601 in"}, at=NOW)
    with pytest.raises(JumpError, match=r"outside diameter: .*; web too: 0.3061 in -> 0.3601 in$"):
        edit_piece(crib, "G-1", {"web": "0.3601 in", "outside_diameter": "1.05 in"}, at=NOW)
    with pytest.raises(ImportRefused, match=f"^bushings.csv, row 2, G-1: {jumps}$"):
        import_crib(crib, [file], older=True, at=NOW)
    assert contents(crib) == before

    edit_piece(crib, "G-1", {"length": "1 in", "web": "0.3161 in"}, at=NOW)
    assert len(import_crib(crib, [file], sure=True, at=NOW).changed) == 1
    edit_piece(crib, "G-1", {"web": "0.3061 in"}, sure=True, at=NOW)
    assert check(crib) == ()


def test_a_regrind_that_takes_off_far_more_than_geometry_says_is_asked_about(filled: str) -> None:
    # 0.005 in off faces relieved by 2 degrees lower a tooth by 0.005 tan 2 = 0.00017 in (plain trigonometry).
    grind = {"ground_off": "0.005 in", "relief": "2 deg"}

    def heights(down: float) -> dict[str, str]:
        return {
            "first_tooth_height": f"{0.4 - down:.4f} in",
            "last_tooth_height": f"{0.45 - down:.4f} in",
        }

    with pytest.raises(JumpError, match=r"comes down by 0.0018 in where geometry says 0.0002 in"):
        regrind_piece(filled, "B-250", heights(0.0018), at=NOW, **grind)
    with pytest.raises(JumpError, match=r"height over first tooth: read 0.3192 in; it was 0.4000 in.*jumps"):
        regrind_piece(filled, "B-250", heights(0.0808), at=NOW)
    regrind_piece(filled, "B-250", heights(0.0017), at=NOW, **grind)
    regrind_piece(filled, "B-250", heights(0.0808), sure=True, at=NOW)

    assert check(filled) == ()


def test_being_sure_opens_no_other_door(crib: str) -> None:
    with pytest.raises(InputError, match="slot width"):
        edit_piece(crib, "G-1", {"slot_width": "2 in"}, sure=True, at=NOW)
    retire_piece(crib, "G-1", at=NOW)
    with pytest.raises(CribStateError, match="is retired"):
        edit_piece(crib, "G-1", {"web": "0.4 in"}, sure=True, at=NOW)
