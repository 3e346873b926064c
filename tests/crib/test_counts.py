"""What a blind count shows: how the drawer differs from the books, and what may be corrected by it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.counts import (
    Count,
    CountLine,
    Mismatch,
    checked_causes,
    checked_moves,
    compared,
    mismatch_of,
    tag_and_words,
    what_changed,
)
from broachplan.crib.homes import Home, Placed
from broachplan.crib.loans import Loan, PieceStatus
from broachplan.errors import InputError
from broachplan.tooling.figures import Kind

DAY = date(2031, 5, 2)
DRAWER = Home.read("A/1")
KIM = Loan("Kim", DAY)
SHIM = PieceStatus("S-1", Kind.SHIM)
HERE = Placed(SHIM, "A/1/01")
OUT = Placed(replace(SHIM, loan=KIM), "A/1/01")
MISSING = Placed(replace(SHIM, missing_since=DAY), "A/1/01")
RETIRED = Placed(replace(SHIM, retired=True, missing_since=DAY), "A/1/01")
ELSEWHERE = Placed(SHIM, "C/2/01")
BOOKS = (HERE, OUT, MISSING, RETIRED, ELSEWHERE, Placed(SHIM), None)

books = st.lists(
    st.builds(
        Placed,
        st.builds(
            PieceStatus,
            st.sampled_from(["S-1", "S-2", "S-3", "S-4", "S-5"]),
            st.just(Kind.SHIM),
            retired=st.booleans(),
            loan=st.sampled_from([None, KIM]),
            missing_since=st.sampled_from([None, DAY]),
        ),
        st.sampled_from(["A/1/01", "a/1", "A/10/1", "", "bench"]),
    ),
    unique_by=lambda piece: piece.tag,
)


@pytest.mark.parametrize(
    ("piece", "found", "not_found"),
    [
        (HERE, Mismatch.NONE, Mismatch.ABSENT),
        (OUT, Mismatch.BACK, Mismatch.NONE),
        (MISSING, Mismatch.FOUND, Mismatch.NONE),
        (RETIRED, Mismatch.RETIRED, Mismatch.NONE),
        (ELSEWHERE, Mismatch.STRAY, Mismatch.NONE),
        (Placed(SHIM), Mismatch.STRAY, Mismatch.NONE),
        (Placed(OUT.status, "C/2/01"), Mismatch.BACK, Mismatch.NONE),
        (None, Mismatch.UNKNOWN, Mismatch.NONE),
    ],
)
def test_what_is_found_and_what_is_not_differs_from_the_books_in_one_way(
    piece: Placed | None, found: Mismatch, not_found: Mismatch
) -> None:
    assert mismatch_of(piece, DRAWER, found=True) is found
    assert mismatch_of(piece, DRAWER, found=False) is not_found


@given(books, st.sets(st.sampled_from(["S-1", "S-2", "S-3", "X-9"])))
def test_a_count_has_a_line_for_all_that_is_expected_or_found_and_for_nothing_else(
    pieces: list[Placed], tags: set[str]
) -> None:
    lines = compared(DRAWER, pieces, tags)

    assert [line.tag for line in lines] == sorted({line.tag for line in lines})
    assert {line.tag for line in lines if line.found} == tags
    for line in lines:
        assert line.expected or line.found
        assert (line.mismatch is Mismatch.NONE) is (line.expected and line.found)
        assert (line.mismatch is Mismatch.ABSENT) is (line.expected and not line.found)
    # A count of just what the books expect agrees with them.
    expected = {line.tag for line in lines if line.expected}
    assert not any(line.mismatch for line in compared(DRAWER, pieces, expected))


@pytest.mark.parametrize("then", BOOKS)
@pytest.mark.parametrize("now", BOOKS)
def test_the_books_are_corrected_only_where_the_count_still_speaks_for_the_piece(
    then: Placed | None, now: Placed | None
) -> None:
    line = CountLine("S-1", then is HERE, True, mismatch_of(then, DRAWER, found=True))

    same = mismatch_of(now, DRAWER, found=True) is line.mismatch
    assert bool(what_changed(line, DRAWER, now, touched=False)) is (not same and now is not None)
    assert bool(what_changed(line, DRAWER, now, touched=True)) is (now is not None)


@pytest.mark.parametrize(
    ("now", "message"),
    [
        (OUT, "is lent to Kim since 2031-05-02"),
        (MISSING, "is missing since 2031-05-02"),
        (RETIRED, "is retired"),
        (ELSEWHERE, "lives in C/2/01"),
        (Placed(SHIM, " / "), "has no home"),
    ],
)
def test_a_piece_shows_what_became_of_it(now: Placed, message: str) -> None:
    line = CountLine("S-1", True, False, Mismatch.ABSENT)

    assert what_changed(line, DRAWER, now, touched=True) == f"S-1 was changed after the count and {message}"


LINES = (
    CountLine("S-1", True, False, Mismatch.ABSENT),
    CountLine("S-2", True, True, Mismatch.NONE),
    CountLine("S-3", False, True, Mismatch.STRAY),
)
COUNT = Count(7, DRAWER, datetime(2031, 5, 2, tzinfo=UTC), lines=LINES)


def test_every_difference_gets_the_cause_given_for_it_or_the_one_for_the_rest() -> None:
    assert checked_causes(LINES, {"S-1": " worn out ", "S-3": "put back wrong"}) == {
        "S-1": "worn out",
        "S-3": "put back wrong",
    }
    assert checked_causes(LINES, {"S-3": "mixed up"}, "not known") == {"S-1": "not known", "S-3": "mixed up"}
    assert checked_causes(LINES[1:2], {}) == {}
    assert len(checked_causes(LINES, {}, "a" * 100)["S-1"]) == 100


@pytest.mark.parametrize(
    ("message", "rest", "wrong"),
    [
        ({"S-1": "lost"}, "", r"^cause: no cause given for S-3; write --cause TAG=WORDS"),
        ({}, " ", r"^cause: no cause given for S-1, S-3;"),
        ({"S-1": "", "S-3": "x"}, "", r"^cause: no cause given for S-1;"),
        ({"S-2": "x"}, "y", r"^cause: read “S-2”, which does not differ; there are: S-1, S-3$"),
        ({"S-1": "a" * 101}, "y", r"^cause of S-1: read .* at most 100 characters"),
        ({}, "\u202e", r"^all: read .*U\+202E"),
        ({}, "a" * 101, r"^all: read .* at most 100 characters"),
    ],
)
def test_a_difference_without_a_cause_and_a_cause_that_cannot_be_are_refused(
    message: dict[str, str], rest: str, wrong: str
) -> None:
    with pytest.raises(InputError, match=wrong):
        checked_causes(LINES, message, rest)


def test_many_differences_without_a_cause_are_named_in_short() -> None:
    lines = [CountLine(f"S-{number}", True, False, Mismatch.ABSENT) for number in range(10, 30)]

    with pytest.raises(InputError, match=r"no cause given for S-10, S-11, S-12, S-13, S-14 and 15 more;"):
        checked_causes(lines, {})
    with pytest.raises(InputError, match=r"no cause given for S-10, S-11, S-12, S-13, S-14;"):
        checked_causes(lines[:5], {})


def test_only_what_was_found_against_the_books_moves_into_the_drawer() -> None:
    assert checked_moves(COUNT, {"S-3": "03"}) == {"S-3": "A/1/03"}
    assert checked_moves(COUNT, {"S-3": ""}) == {"S-3": "A/1"}
    for tag in ("S-1", "S-2", "X"):
        with pytest.raises(
            InputError, match=rf"^move: read “{tag}”: it cannot get a home here; there are: S-3$"
        ):
            checked_moves(COUNT, {tag: ""})
    with pytest.raises(InputError, match=r"^move: .*; there is none$"):
        checked_moves(replace(COUNT, lines=LINES[:2]), {"S-1": ""})
    with pytest.raises(InputError, match=r"^home of S-3: .*at most 200"):
        checked_moves(COUNT, {"S-3": "a" * 200})


def test_a_cause_follows_its_tag_even_where_the_tag_holds_the_same_sign() -> None:
    assert tag_and_words("S-1=lost = gone", ["S-1"], "cause") == ("S-1", "lost = gone")
    assert tag_and_words(" A=B = lost ", ["A", "A=B "], "cause") == ("A=B", "lost")
    assert tag_and_words("A=B=lost", ["A", "A=B"], "cause") == ("A=B", "lost")
    assert tag_and_words("X=y=z", ["S-1"], "cause") == ("X", "y=z")
    for text in ("S-1", "=lost", ""):
        with pytest.raises(InputError, match=r"^cause: read “.*”; write TAG=WORDS, for example"):
            tag_and_words(text, ["S-1"], "cause")


def test_a_count_says_what_agreed() -> None:
    assert (COUNT.agreed, [line.tag for line in COUNT.differences]) == (1, ["S-1", "S-3"])
