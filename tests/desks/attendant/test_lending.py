"""Lending and taking back: who has what is shown at once and kept in the history; a piece that is not fit is in no plan."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy import insert, select

from broachplan.crib.entries import Act, Stamp
from broachplan.crib.loans import Loan
from broachplan.crib.people import folded
from broachplan.crib.records import Condition
from broachplan.desks.attendant.lend_piece import Lent
from broachplan.errors import CribStateError, InputError
from broachplan.store.check import check
from broachplan.store.loans import hand_out, take_back
from broachplan.store.shelf_read import read_shelf
from broachplan.store.stored_pieces import stored_piece
from broachplan.store.tables import HOLD, LOAN, PIECE
from broachplan.store.work import reading, writing
from tests.desks.doing import lend_piece, lend_set, return_piece, return_set
from tests.desks.looking import list_out, list_sets, show_piece

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
DAY = NOW.date()
BOX = ("B-250", "S-1")


@pytest.fixture
def boxed(filled: str) -> str:
    """A crib whose broach and shim are one set."""
    with writing(filled) as work:
        work.connection.execute(PIECE.update().where(PIECE.c.tag.in_(BOX)).values(set_name="inch set"))
        work.commit()
    return filled


def test_a_piece_is_lent_and_comes_back_and_the_history_has_both(filled: str) -> None:
    lent = lend_piece(filled, " B-250 ", "Kim", job="7", due="2031-05-09", by="Ann", at=NOW)
    back = return_piece(filled, "B-250", "worn", note="third tooth", by="Joe", at=NOW + timedelta(days=1))

    assert lent == Lent(("B-250",), Loan("Kim", DAY, date(2031, 5, 9), "7"))
    assert (back.tag, back.loan, back.condition, back.home) == (
        "B-250",
        lent.loan,
        Condition.WORN,
        "drawer 4",
    )
    shown = show_piece(filled, "B-250")
    entries = [message.entry for message in shown.history]
    assert [(entry.act, entry.by, entry.at, entry.note) for entry in entries] == [
        (Act.RETURNED, "Joe", NOW + timedelta(days=1), "third tooth"),
        (Act.LENT, "Ann", NOW, ""),
    ]
    assert shown.state == "worn"
    assert shown.version == 2
    assert list_out(filled, DAY).pieces == ()
    assert check(filled) == ()


def test_a_piece_that_is_lent_is_not_lent_again_and_says_who_has_it(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", at=NOW)

    with pytest.raises(CribStateError, match=r"^B-250 is lent to Kim since 2031-05-02$"):
        lend_piece(filled, "B-250", "Ann", at=NOW + timedelta(days=3))

    assert len(show_piece(filled, "B-250").history) == 1


def test_the_database_itself_keeps_a_second_loan_out_and_says_who_was_first(filled: str) -> None:
    with writing(filled) as work:
        stored = stored_piece(work, "B-250")
        hand_out(work, stored, Loan("Kim", DAY), "")
        with pytest.raises(CribStateError, match=r"^B-250 is lent to Kim since 2031-05-02$"):
            hand_out(work, stored, Loan("Ann", DAY), "")


def test_a_piece_that_came_back_meanwhile_does_not_come_back_twice(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", at=NOW)
    with writing(filled) as work:
        stored = stored_piece(work, "B-250")
        take_back(work, stored, Condition.FIT, Stamp(NOW), "")
        with pytest.raises(CribStateError, match=r"^B-250 is not out$"):
            take_back(work, stored, Condition.FIT, Stamp(NOW), "")


@pytest.mark.parametrize("condition", ["worn", " UNFIT "])
def test_a_piece_found_not_fit_leaves_every_plan_at_once(filled: str, condition: str) -> None:
    said = {"unfit": "out of service"}.get(condition.strip().lower(), condition.strip().lower())
    lend_piece(filled, "S-1", "Kim", at=NOW)
    return_piece(filled, "S-1", condition, at=NOW)

    with reading(filled) as work:
        assert read_shelf(work).off["S-1"] == said
    with pytest.raises(CribStateError, match=rf"^S-1 is {said}; only a fit piece is lent$"):
        lend_piece(filled, "S-1", "Kim", at=NOW)


def test_a_piece_held_for_other_work_is_lent_for_that_work_alone(filled: str) -> None:
    with writing(filled) as work:
        id = work.connection.scalar(select(PIECE.c.id).where(PIECE.c.tag == "S-1"))
        work.connection.execute(insert(HOLD).values(piece_id=id, day="2031-05-02", for_what="job 12"))
        work.commit()

    with pytest.raises(CribStateError, match=r"^S-1 is held on 2031-05-02 for job 12$"):
        lend_piece(filled, "S-1", "Kim", job="13", at=NOW)
    assert lend_piece(filled, "S-1", "Kim", job="12", at=NOW).tags == ("S-1",)


def test_a_piece_that_is_not_out_does_not_come_back(filled: str) -> None:
    with pytest.raises(CribStateError, match=r"^S-1 is not out$"):
        return_piece(filled, "S-1", "fit", at=NOW)


def test_a_clock_that_was_set_back_keeps_no_piece_out(filled: str) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)

    return_piece(filled, "S-1", "fit", at=NOW - timedelta(days=9))

    assert list_out(filled, DAY).pieces == ()
    with reading(filled) as work:
        assert work.connection.scalar(select(LOAN.c.returned)) == "2031-05-02"


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"tag": "S-9"}, "tag: read “S-9”: no such tag"),
        ({"to": ""}, "to: read “”; write a name"),
        ({"to": "a\nb"}, r"to: read .*U\+000A"),
        ({"by": "\u202e"}, r"by: read .*U\+202E"),
        ({"by": "a" * 101}, "by: read .*at most 100"),
        ({"job": "j" * 101}, "job: read .*at most 100"),
        ({"due": "soon"}, "due: read “soon”; write a day"),
        ({"due": "2031-05-01"}, "due: read 2031-05-01, which is before"),
        ({"note": "n" * 201}, "note: read .*at most 200"),
    ],
)
def test_a_loan_that_cannot_be_is_refused_and_nothing_is_lent(
    filled: str, wrong: dict[str, str], message: str
) -> None:
    with pytest.raises(InputError, match=f"^{message}"):
        lend_piece(filled, **{"tag": "S-1", "to": "Kim", "at": NOW, **wrong})  # type: ignore[arg-type]

    assert list_out(filled, DAY).pieces == ()


def test_a_condition_that_is_none_is_refused(filled: str) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)

    with pytest.raises(
        InputError, match=r"^condition: read “good”; write fit, worn or unfit, or uninspected$"
    ):
        return_piece(filled, "S-1", "good", at=NOW)


def test_the_list_of_what_is_out_begins_with_the_overdue(filled: str) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)
    lend_piece(filled, "P-1", "Ann", due="2031-05-03", at=NOW)
    lend_piece(filled, "B-250", "Joe", due="2031-05-04", at=NOW - timedelta(days=1))

    message = [(out.tag, out.loan.to, out.overdue) for out in list_out(filled, date(2031, 5, 4))]

    assert message == [("P-1", "Ann", True), ("B-250", "Joe", False), ("S-1", "Kim", False)]


def test_a_set_is_lent_whole_and_comes_back_whole(boxed: str) -> None:
    assert lend_set(boxed, "inch set", "Kim", at=NOW).tags == BOX
    (box,) = list_sets(boxed)
    assert [piece.tag for piece in box.out] == list(BOX)

    assert [back.tag for back in return_set(boxed, "inch set", "fit", at=NOW)] == list(BOX)
    assert list_sets(boxed)[0].complete
    assert check(boxed) == ()


def test_of_a_set_that_lacks_a_piece_nothing_is_lent_and_the_missing_piece_is_named(boxed: str) -> None:
    lend_piece(boxed, "S-1", "Ann", at=NOW)

    with pytest.raises(
        CribStateError, match=r"^S-1 is lent to Ann since 2031-05-02; the rest can be lent without S-1$"
    ):
        lend_set(boxed, "inch set", "Kim", at=NOW)

    assert [out.tag for out in list_out(boxed, DAY)] == ["S-1"]
    return_set(boxed, "inch set", "fit", at=NOW)
    with pytest.raises(CribStateError, match=r"^nothing of the set “inch set” is out$"):
        return_set(boxed, "inch set", "fit", at=NOW)


def test_a_set_that_is_none_is_refused(boxed: str) -> None:
    with pytest.raises(InputError, match="set: read “no such set”: no such set"):
        lend_set(boxed, "no such set", "Kim", at=NOW)
    with pytest.raises(InputError, match="tag: name one piece by its tag, or a set with --set NAME"):
        lend_set(boxed, " ", "Kim", at=NOW)


def test_what_is_out_is_read_by_person_however_the_name_was_typed_and_by_set(boxed: str) -> None:
    for tag, to in (("R-1", "Kim B."), ("S-1", "Ann"), ("B-250", "kim b.")):
        lend_piece(boxed, tag, to, at=NOW)

    assert [line.tag for line in list_out(boxed, DAY).lines] == ["B-250", "R-1", "S-1"]
    assert folded(" KIM  b.") == folded("Kim B.") != folded("Kim")
