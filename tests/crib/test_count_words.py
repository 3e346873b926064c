"""A count in words: what agrees, what differs and how, and where each piece belongs."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from broachplan.crib.count_words import MEANT, in_order, named, why_differs
from broachplan.crib.counts import ComparedLine, Count, CountLine, Mismatch
from broachplan.crib.homes import Home, Placed
from broachplan.crib.loans import Loan, PieceStatus
from broachplan.tooling.figures import Kind

DAY = date(2031, 5, 2)
SHIM = PieceStatus("S-1", Kind.SHIM)
HOME = Placed(SHIM, "C/2/01")


def line(mismatch: Mismatch, tag: str = "S-1") -> CountLine:
    return CountLine(tag, mismatch is Mismatch.ABSENT, mismatch is not Mismatch.ABSENT, mismatch)


def count(*mismatches: Mismatch) -> Count:
    return Count(
        7, Home.read("A/1"), datetime(2031, 5, 2, tzinfo=UTC), lines=tuple(line(each) for each in mismatches)
    )


@pytest.mark.parametrize(
    ("mismatches", "message"),
    [
        ((Mismatch.NONE,), "count 7, drawer A/1: it agrees with the books, 1 piece"),
        ((Mismatch.NONE, Mismatch.NONE), "count 7, drawer A/1: it agrees with the books, 2 pieces"),
        ((Mismatch.NONE, Mismatch.STRAY), "count 7, drawer A/1: 1 differs, 1 in order"),
        ((Mismatch.ABSENT, Mismatch.STRAY), "count 7, drawer A/1: 2 differ, 0 in order"),
    ],
)
def test_a_count_is_named_with_how_many_pieces_differ(mismatches: tuple[Mismatch, ...], message: str) -> None:
    assert named(count(*mismatches)) == message


def test_differences_that_are_alike_come_together_and_then_by_tag() -> None:
    message = [(Mismatch.STRAY, "B"), (Mismatch.ABSENT, "C"), (Mismatch.STRAY, "A")]

    ordered = in_order([ComparedLine(line(mismatch, tag)) for mismatch, tag in message])

    assert [each.line.tag for each in ordered] == ["C", "A", "B"]


@pytest.mark.parametrize(
    ("mismatch", "books", "message"),
    [
        (Mismatch.ABSENT, HOME, ("not found", "its home is C/2/01")),
        (Mismatch.STRAY, HOME, ("its home is C/2/01",)),
        (Mismatch.STRAY, Placed(SHIM), ("it has no home",)),
        (
            Mismatch.BACK,
            replace(HOME, status=replace(SHIM, loan=Loan("Kim", DAY))),
            ("lent to Kim since 2031-05-02", "its home is C/2/01"),
        ),
        (
            Mismatch.FOUND,
            replace(HOME, status=replace(SHIM, missing_since=DAY)),
            ("missing since 2031-05-02", "its home is C/2/01"),
        ),
        (Mismatch.RETIRED, replace(HOME, status=replace(SHIM, retired=True)), (MEANT[Mismatch.RETIRED],)),
        (Mismatch.UNKNOWN, None, ("no piece has this tag",)),
    ],
)
def test_a_difference_is_described_by_what_the_books_have_now(
    mismatch: Mismatch, books: Placed | None, message: tuple[str, ...]
) -> None:
    assert why_differs(ComparedLine(line(mismatch), books)) == "; ".join(message).replace(
        "05-02;", "05-02 in the books;"
    )


def test_a_change_after_the_count_is_shown_as_it_was_then_and_an_unknown_tag_with_the_nearest() -> None:
    assert (
        why_differs(ComparedLine(line(Mismatch.STRAY), HOME, changed="S-1 is lent")) == MEANT[Mismatch.STRAY]
    )
    assert why_differs(ComparedLine(line(Mismatch.UNKNOWN), None, ("S-2", "S-3"))).endswith(
        "; the nearest: S-2, S-3"
    )
