"""A set comes back by its list: only what one person has of it, and what it lacks is shown from the loan to the return."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from broachplan.desks.attendant.lend_piece import lend
from broachplan.desks.attendant.return_piece import take_back
from broachplan.errors import CribStateError, InputError
from broachplan.questions.acts import LendRequest, ReturnRequest
from broachplan.store.check import check
from broachplan.store.tables import PIECE
from broachplan.store.work import writing
from tests.databases import contents
from tests.desks.doing import inspect_piece, lend_piece, return_set, send_piece, undo_act
from tests.desks.looking import list_missing, list_out, show_piece

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
DAY, LATER = NOW.date(), NOW + timedelta(days=1)
BOX = ("B-250", "G-1000", "N-1", "R-1", "S-1")


@pytest.fixture
def boxed(filled: str) -> str:
    """A crib with five fit pieces in one set."""
    inspect_piece(filled, "G-1000", "fit", at=NOW)
    with writing(filled) as work:
        work.connection.execute(PIECE.update().where(PIECE.c.tag.in_(BOX)).values(set_name="inch set"))
        work.commit()
    return filled


def out_of(db: str) -> dict[str, str]:
    return {each.tag: each.loan.to for each in list_out(db, DAY)}


def lent(db: str, **typed: str) -> tuple[str, ...]:
    return lend(db, LendRequest(set_name="inch set", to="Kim", **typed), at=NOW).lines


def back(db: str, condition: str = "fit", **typed: str) -> tuple[str, ...]:
    return take_back(db, ReturnRequest(set_name="inch set", condition=condition, **typed), at=LATER).lines


def test_a_set_that_three_people_have_pieces_of_comes_back_from_the_one_who_brings_it(boxed: str) -> None:
    for tag, name in (("B-250", "Kim"), ("S-1", "Kim"), ("G-1000", "Jo"), ("R-1", "Ann")):
        lend_piece(boxed, tag, name, at=NOW)
    before = contents(boxed)

    with pytest.raises(
        InputError,
        match=r"from: the set “inch set” is out to several; .*: Ann \(1 piece\), Jo \(1 piece\), Kim \(2 pieces\)",
    ):
        back(boxed)
    with pytest.raises(CribStateError, match="nothing of the set “inch set” is out to “Lee”; Ann"):
        back(boxed, borrower="Lee")
    with pytest.raises(InputError, match="found: read “G-1000”; Kim has B-250, S-1 of the set"):
        back(boxed, borrower="Kim", found="B-250,G-1000")
    assert contents(boxed) == before

    back(boxed, borrower="kim")
    assert out_of(boxed) == {"G-1000": "Jo", "R-1": "Ann"}
    assert check(boxed) == ()


def test_what_is_not_there_stays_out_with_its_borrower_and_what_is_worn_or_lost_is_booked_so(
    boxed: str,
) -> None:
    lent(boxed, job="J-701")

    lines = back(boxed, found="b-250, S-1", worn="S-1", lost="R-1")

    assert out_of(boxed) == {"G-1000": "Kim", "N-1": "Kim"}
    assert lines[0].startswith("B-250 is back from Kim, fit; its home is drawer 4")
    assert lines[1].startswith("S-1 is back from Kim, worn")
    assert lines[2].startswith("R-1 is lost, lent to Kim since 2031-05-02, job J-701, until now")
    assert lines[3] == "still out to Kim: G-1000, N-1"
    assert [(each.piece.tag, each.last_with) for each in list_missing(boxed)] == [("R-1", "Kim")]
    undo_act(boxed, at=LATER)
    assert (sorted(out_of(boxed)), list_missing(boxed), check(boxed)) == (list(BOX), (), ())


def test_all_that_the_borrower_has_is_there_unless_the_list_says_otherwise(boxed: str) -> None:
    lent(boxed)

    back(boxed, lost="N-1")

    assert (out_of(boxed), [each.piece.tag for each in list_missing(boxed)]) == ({}, ["N-1"])


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"found": "B-250", "worn": "S-1"}, "worn: read S-1; it is either there"),
        ({"found": "B-250", "lost": "B-250"}, "lost: read B-250; it is either there"),
        ({"found": ","}, "found: read “,”; write tags with commas"),
        ({"lost": "B-999"}, "lost: read “B-999”; Kim has B-250"),
    ],
)
def test_a_list_that_contradicts_itself_books_nothing(
    boxed: str, typed: dict[str, str], message: str
) -> None:
    lent(boxed)
    before = contents(boxed)

    with pytest.raises(InputError, match=message):
        back(boxed, **typed)

    assert contents(boxed) == before


def test_a_short_set_is_lent_without_a_piece_and_the_shortage_is_shown_when_it_comes_back(boxed: str) -> None:
    inspect_piece(boxed, "R-1", "worn", at=NOW)
    with pytest.raises(
        CribStateError, match="R-1 is worn; only a fit piece is lent; the rest can be lent without R-1"
    ):
        lent(boxed)

    lines = lent(boxed, lacking="r-1")

    assert lines == ("set inch set (B-250, G-1000, N-1, S-1) lent to Kim, without R-1",)
    assert {each.loan.lacked for each in list_out(boxed, DAY)} == {"R-1"}
    lines = back(boxed, found="B-250,G-1000,N-1")
    assert lines[-2:] == ("still out to Kim: S-1", "it was lent without R-1")
    undo_act(boxed, at=LATER)
    assert {each.loan.lacked for each in list_out(boxed, DAY)} == {"R-1"}
    assert back(boxed)[-1] == "it was lent without R-1"
    assert check(boxed) == ()


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ({"lacking": "P-1"}, "without: read “P-1”; the set has B-250"),
        ({"lacking": ",".join(BOX)}, "nothing of the set is left to lend"),
    ],
)
def test_a_set_is_lent_without_its_own_pieces_and_with_one_at_least(
    boxed: str, typed: dict[str, str], message: str
) -> None:
    with pytest.raises(InputError, match=message):
        lent(boxed, **typed)
    assert out_of(boxed) == {}


def test_a_piece_by_itself_has_no_list_and_comes_back_from_the_one_who_has_it(boxed: str) -> None:
    lend_piece(boxed, "S-1", "Kim", at=NOW)

    with pytest.raises(InputError, match="found: only a set"):
        take_back(boxed, ReturnRequest(tag="S-1", condition="fit", found="S-1"), at=LATER)
    with pytest.raises(CribStateError, match="S-1 is lent to Kim since 2031-05-02, and not with “Jo”"):
        take_back(boxed, ReturnRequest(tag="S-1", condition="fit", borrower="Jo"), at=LATER)
    with pytest.raises(InputError, match="without: only a set"):
        lend(boxed, LendRequest(tag="B-250", to="Kim", lacking="S-1"), at=NOW)


def test_what_is_sent_out_is_no_part_of_a_set_that_comes_back(boxed: str) -> None:
    send_piece(boxed, "B-250", "Northside", at=NOW)
    with pytest.raises(CribStateError, match="nothing of the set “inch set” is out"):
        back(boxed)
    lend_piece(boxed, "S-1", "Kim", at=NOW)

    return_set(boxed, "inch set", "fit", at=LATER)

    assert out_of(boxed) == {"B-250": "Northside"}
    assert show_piece(boxed, "S-1").state == "fit"
