"""When a piece may be lent, taken back, retired; who has it; what a set lacks; what words may be typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from broachplan.crib.loans import (
    Loan,
    PieceStatus,
    checked_loan,
    why_not_inspect,
    why_not_lend,
    why_not_retire,
    why_not_return,
)
from broachplan.crib.records import Condition
from broachplan.crib.sets import sets_of
from broachplan.crib.words import checked_name, checked_words, read_day
from broachplan.errors import InputError
from broachplan.tooling.figures import Kind

DAY = date(2031, 5, 2)
SHIM = PieceStatus("S-1", Kind.SHIM)
BROACH = PieceStatus("B-1", Kind.BROACH)
KIM = Loan("Kim", DAY)


@pytest.mark.parametrize(
    ("status", "job", "why"),
    [
        (SHIM, "", ""),
        (replace(SHIM, retired=True, loan=KIM), "", "S-1 is retired"),
        (replace(SHIM, loan=KIM), "", "S-1 is lent to Kim since 2031-05-02"),
        (
            replace(SHIM, loan=Loan("Kim", DAY, DAY)),
            "",
            "S-1 is lent to Kim since 2031-05-02, due 2031-05-02",
        ),
        (
            replace(SHIM, missing_since=DAY),
            "",
            "S-1 is missing since 2031-05-02; count it in before it is lent",
        ),
        (replace(SHIM, condition=Condition.WORN), "", "S-1 is worn; only a fit piece is lent"),
        (replace(SHIM, condition=Condition.UNFIT), "", "S-1 is out of service; only a fit piece is lent"),
        (replace(SHIM, held_for="job 12"), "", "S-1 is held on 2031-05-02 for job 12"),
        (replace(SHIM, held_for="job 12"), "13", "S-1 is held on 2031-05-02 for job 12"),
        (replace(SHIM, held_for="job 12"), "12", ""),
        (replace(SHIM, held_for="Job 12"), " job 12 ", ""),
    ],
)
def test_only_what_is_fit_in_its_place_and_free_that_day_is_lent(
    status: PieceStatus, job: str, why: str
) -> None:
    assert why_not_lend(status, job, DAY) == why


def test_only_what_is_out_comes_back() -> None:
    assert why_not_return(SHIM) == "S-1 is not out"
    assert why_not_return(replace(SHIM, loan=KIM)) == ""


def test_what_is_out_or_retired_is_not_retired() -> None:
    assert why_not_retire(SHIM) == ""
    assert why_not_retire(replace(SHIM, retired=True)) == "S-1 is retired already"
    assert why_not_retire(replace(SHIM, loan=KIM)).startswith(
        "S-1 is lent to Kim since 2031-05-02; it must be back"
    )


def test_only_what_is_in_the_crib_is_inspected() -> None:
    assert why_not_inspect(SHIM) == ""
    assert why_not_inspect(replace(SHIM, condition=Condition.WORN)) == ""
    assert why_not_inspect(replace(SHIM, retired=True, loan=KIM)).startswith("S-1 is retired")
    assert why_not_inspect(replace(SHIM, loan=KIM)).startswith("S-1 is lent to Kim since 2031-05-02; ")
    assert why_not_inspect(replace(SHIM, missing_since=DAY)).startswith("S-1 is missing since 2031-05-02; ")


def test_an_entry_says_who_has_a_piece_since_when_until_when_and_for_what() -> None:
    whole = checked_loan("Kim", DAY, date(2031, 5, 9), "J-1")

    assert whole.values == {"lent_to": "Kim", "since": "2031-05-02", "due": "2031-05-09", "job": "J-1"}
    assert KIM.values == {"lent_to": "Kim", "since": "2031-05-02", "due": None, "job": None}


def test_a_loan_is_overdue_from_the_day_after_it_was_due() -> None:
    loan = Loan("Kim", DAY, date(2031, 5, 3))

    assert [loan.overdue(date(2031, 5, day)) for day in (2, 3, 4)] == [False, False, True]
    assert not KIM.overdue(date(2041, 1, 1))


def test_a_loan_that_would_be_due_before_it_begins_is_refused() -> None:
    assert checked_loan("Kim", DAY, DAY, "").due == DAY
    with pytest.raises(InputError, match=r"^due: read 2031-05-01, which is before 2031-05-02"):
        checked_loan("Kim", DAY, date(2031, 5, 1), "")


def test_sets_list_what_they_lack() -> None:
    worn, out = replace(SHIM, tag="S-2", condition=Condition.WORN), replace(SHIM, tag="S-3", loan=KIM)
    retired = replace(SHIM, tag="S-4", retired=True, condition=Condition.WORN)
    whole, lacking, bare = sets_of(
        [
            ("a", SHIM),
            ("a", BROACH),
            ("a", retired),
            ("b", BROACH),
            ("b", out),
            ("b", worn),
            ("c", SHIM),
            ("", worn),
        ]
    )

    assert [piece.tag for piece in whole.pieces] == ["B-1", "S-1"]
    assert [each.name for each in (whole, lacking, bare)] == ["a", "b", "c"]
    assert whole.complete
    assert not lacking.complete
    assert (lacking.out, lacking.not_fit, lacking.without_broach) == ((out,), (worn,), False)
    lost = replace(SHIM, missing_since=DAY)
    (holed,) = sets_of([("a", BROACH), ("a", lost)])
    assert (holed.lost, holed.complete) == ((lost,), False)
    assert not bare.complete
    assert bare.without_broach


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("", "write a name"),
        ("  ", "write a name"),
        ("a" * 101, "at most 100"),
        ("a\x1b[31m", r"U\+001B"),
        ("\u202ea", r"U\+202E"),
    ],
)
def test_a_name_that_cannot_be_is_refused(name: str, message: str) -> None:
    with pytest.raises(InputError, match=rf"^to: read .*{message}"):
        checked_name(name, "to")


@pytest.mark.parametrize("name", ["Kim", "李小龍", "O'Brien [night]", "=1+1", "a" * 100])
def test_any_other_name_is_kept_as_it_is_typed(name: str) -> None:
    assert checked_name(f" {name} ", "to") == name


def test_words_may_be_empty_and_have_200_characters() -> None:
    assert checked_words(" ", "note") == ""
    assert len(checked_words("a" * 200, "note")) == 200
    with pytest.raises(InputError, match=r"^note: read .*at most 200 characters"):
        checked_words("a" * 201, "note")


@pytest.mark.parametrize("text", ["2031-5-2", "2031-02-30", "tomorrow", "20310502", "2031-05-02x"])
def test_a_day_that_cannot_be_is_refused(text: str) -> None:
    assert read_day("", "due") is None
    with pytest.raises(InputError, match=r"^due: read .*; write a day such as 2031-05-28$"):
        read_day(text, "due")
