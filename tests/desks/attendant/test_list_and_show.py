"""The crib as a list and piece by piece."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy import insert, select, update

from broachplan.crib.records import Record
from broachplan.desks.attendant.list_pieces import PieceList
from broachplan.errors import InputError
from broachplan.lengths import Units
from broachplan.settings import Settings
from broachplan.store.tables import HOLD, LOAN, PIECE
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Pin, Shim
from tests.desks.doing import change_setting
from tests.desks.looking import list_pieces, show_piece, show_settings
from tests.store.cribs import fill

DAY = date(2031, 6, 1)


def tags(listed: PieceList) -> list[str]:
    return [kept.record.piece.tag for kept in listed]


def lend_and_hold(db: str) -> None:
    with writing(db) as work:
        ids = {row.tag: row.id for row in work.connection.execute(select(PIECE.c.tag, PIECE.c.id))}
        work.connection.execute(insert(LOAN).values(piece_id=ids["S-1"], to_name="Kim", since="2031-05-02"))
        work.connection.execute(insert(HOLD).values(piece_id=ids["P-1"], day=str(DAY), for_what="job 12"))
        work.commit()


def retire(db: str, tag: str) -> None:
    with writing(db) as work:
        work.connection.execute(update(PIECE).where(PIECE.c.tag == tag).values(retired=1))
        work.commit()


def test_pieces_are_listed_by_kind_and_then_by_tag(filled: str) -> None:
    fill(filled, [Record(piece=Shim(tag=tag)) for tag in ("S-10", "S-0", "a", "Z")])

    listed = list_pieces(filled)

    assert tags(listed) == ["B-250", "G-1000", "S-0", "S-1", "S-10", "Z", "a", "P-1", "N-1", "R-1"]
    assert (listed.total, listed.page, listed.pages, listed.units) == (10, 1, 1, Units.INCH)


def test_one_kind_alone_is_listed(filled: str) -> None:
    assert tags(list_pieces(filled, kind=Kind.PRESS)) == ["P-1"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("b-2", ["B-250"]),
        ("INCH SET", ["B-250"]),
        ("drawer", ["B-250"]),
        ("sharp", ["B-250"]),
        ("-1", ["G-1000", "S-1", "P-1", "N-1", "R-1"]),
        ("ÜBER", ["U-2"]),
        ("100%", ["U-2"]),
        ("%", ["U-2"]),
        ("_", []),
        ("nowhere", []),
    ],
)
def test_text_is_looked_for_in_tag_set_home_and_note_in_any_case(
    filled: str, text: str, found: list[str]
) -> None:
    fill(filled, [Record(piece=Pin(tag="U-2"), note="über 100%")])

    listed = list_pieces(filled, text=text)

    assert tags(listed) == found
    assert listed.total == len(found)


def test_pages_hold_the_list_once_and_in_order(filled: str) -> None:
    pages = [list_pieces(filled, limit=4, page=page) for page in (1, 2, 3)]

    assert [tags(page) for page in pages] == [["B-250", "G-1000", "S-1", "P-1"], ["N-1", "R-1"], []]
    assert {(page.total, page.pages) for page in pages} == {(6, 2)}


def test_an_empty_crib_is_an_empty_list(db: str) -> None:
    listed = list_pieces(db)

    assert (tags(listed), listed.total, listed.pages) == ([], 0, 1)


def test_each_piece_is_listed_with_its_state(filled: str) -> None:
    lend_and_hold(filled)

    states = {kept.record.piece.tag: kept.state for kept in list_pieces(filled, on=DAY)}

    assert states == {
        "B-250": "fit",
        "G-1000": "worn",
        "S-1": "lent to Kim since 2031-05-02",
        "P-1": "held on 2031-06-01 for job 12",
        "N-1": "fit",
        "R-1": "fit",
    }


def test_a_list_without_states_gives_the_records(filled: str) -> None:
    listed = list_pieces(filled)

    assert listed.records == tuple(kept.record for kept in listed.pieces)


def test_a_retired_piece_is_shown_and_not_listed(filled: str) -> None:
    retire(filled, "S-1")

    assert "S-1" not in tags(list_pieces(filled))
    assert "S-1" not in tags(list_pieces(filled, text="S-1"))
    assert show_piece(filled, "S-1").retired
    assert show_piece(filled, "S-1").state == "retired"


def test_a_piece_is_shown_with_what_keeps_it_off_the_shelf(filled: str) -> None:
    lend_and_hold(filled)

    assert show_piece(filled, "B-250").off == ""
    assert show_piece(filled, " S-1 ").off == "lent to Kim since 2031-05-02"
    assert show_piece(filled, "P-1").off == ""
    assert show_piece(filled, "P-1", DAY).off == "held on 2031-06-01 for job 12"


@pytest.mark.parametrize(
    ("tag", "message"),
    [
        ("g-1", r"tag: read “g-1”: no such tag; the nearest: G-1000$"),
        ("B-205", r"the nearest: B-250$"),
        ("zzzzzz", r"`broachplan crib list` shows those there are$"),
        ("", r"read “”: no such tag"),
    ],
)
def test_a_tag_that_no_piece_has_names_those_like_it(filled: str, tag: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        show_piece(filled, tag)


def test_settings_are_shown_and_changed(db: str) -> None:
    assert show_settings(db) == Settings()

    assert change_setting(db, "units", "mm").units is Units.MM

    assert show_settings(db).units is Units.MM
    assert list_pieces(db).units is Units.MM


def test_an_unknown_setting_is_refused(db: str) -> None:
    with pytest.raises(InputError, match=r"setting: read “colour”; there are: units, "):
        change_setting(db, "colour", "red")
