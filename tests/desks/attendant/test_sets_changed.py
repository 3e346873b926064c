"""Pieces put into marked boxes and taken out of them."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from broachplan.desks.attendant.change_set import Moved
from broachplan.errors import CribStateError, InputError
from broachplan.store.check import check
from tests.desks.doing import join_set, split_set, undo_act
from tests.desks.looking import list_sets

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)


def boxes(db: str) -> dict[str, set[str]]:
    return {box.name: {piece.tag for piece in box.pieces} for box in list_sets(db)}


def test_pieces_join_a_set_and_leave_it_and_undoing_brings_them_back(filled: str) -> None:
    before = boxes(filled)

    joined = join_set(filled, "box Elm", ["B-250", "G-1000"], at=NOW)
    assert joined == Moved(("B-250", "G-1000"), "", "box Elm")
    assert boxes(filled)["box Elm"] == {"B-250", "G-1000"}
    assert split_set(filled, "box Elm", ["G-1000"], at=NOW).tags == ("G-1000",)
    assert boxes(filled)["box Elm"] == {"B-250"}

    undo_act(filled, at=NOW)
    undo_act(filled, at=NOW)
    assert boxes(filled) == before
    assert check(filled) == ()


def test_two_sets_become_one_and_a_set_split_whole_is_no_more(filled: str) -> None:
    inside = boxes(filled)["inch set"]

    join_set(filled, "box Elm", of_set="inch set", at=NOW)
    assert boxes(filled) == {"box Elm": inside}
    split_set(filled, "box Elm", at=NOW)
    assert boxes(filled) == {}


def test_joining_what_is_inside_changes_nothing(filled: str) -> None:
    assert join_set(filled, "inch set", ["B-250"], at=NOW).tags == ()


def test_what_is_not_in_a_set_cannot_be_taken_out_of_it(filled: str) -> None:
    join_set(filled, "box Elm", ["G-1000"], at=NOW)

    with pytest.raises(CribStateError, match="G-1000 is not in “inch set”; it is in “box Elm”"):
        split_set(filled, "inch set", ["G-1000"], at=NOW)
    with pytest.raises(InputError, match="read “box Oak”: no such set"):
        split_set(filled, "box Oak", at=NOW)
    with pytest.raises(InputError, match="read “Z-1”: no such tag"):
        join_set(filled, "box Elm", ["B-250", "Z-1"], at=NOW)
    with pytest.raises(InputError, match="nothing was named to put into the set"):
        join_set(filled, "box Elm", at=NOW)
    assert boxes(filled)["box Elm"] == {"G-1000"}
