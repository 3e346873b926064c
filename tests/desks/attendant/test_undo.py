"""The last action is taken back by an entry of its own, one after the other, to where the crib began."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from broachplan.crib.entries import Act
from broachplan.errors import CribStateError
from broachplan.store.check import check
from broachplan.tooling.figures import Kind
from tests.databases import execute
from tests.desks.doing import (
    add_piece,
    edit_piece,
    import_crib,
    lend_piece,
    lend_set,
    retire_piece,
    return_piece,
    undo_last,
)
from tests.desks.looking import list_out, list_pieces, show_piece

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)


def test_acts_are_undone_one_by_one_and_the_history_keeps_them_all(filled: str) -> None:
    steps = [
        lambda: edit_piece(filled, "B-250", {"home": "drawer 5", "gullet_area": ""}, at=NOW),
        lambda: lend_piece(filled, "B-250", "Kim", job="7", due="2031-05-09", at=NOW),
        lambda: return_piece(filled, "B-250", "worn", at=NOW),
        lambda: edit_piece(filled, "B-250", {"condition": "fit"}, at=NOW),
        lambda: lend_piece(filled, "B-250", "Kim", at=NOW),
        lambda: return_piece(filled, "B-250", "fit", at=NOW),
        lambda: retire_piece(filled, "B-250", at=NOW),
    ]
    states = [(list_pieces(filled).pieces, list_out(filled, NOW.date()))]
    for step in steps:
        step()
        states.append((list_pieces(filled).pieces, list_out(filled, NOW.date())))

    for before in reversed(states[:-1]):
        undo_last(filled, by="Joe", at=NOW + timedelta(days=1))
        assert (list_pieces(filled).pieces, list_out(filled, NOW.date())) == before
        assert check(filled) == ()

    acts = [shown.entry.act for shown in show_piece(filled, "B-250").history]
    assert acts == [Act.UNDONE] * len(steps) + [
        Act.RETIRED,
        Act.RETURNED,
        Act.LENT,
        Act.INSPECTED,
        Act.RETURNED,
        Act.LENT,
        Act.CHANGED,
    ]
    with pytest.raises(CribStateError, match=r"^there is nothing to undo$"):
        undo_last(filled, at=NOW)


def test_an_act_on_many_pieces_is_undone_as_one_and_what_was_received_is_retired(
    filled: str, tmp_path: Path
) -> None:
    file = tmp_path / "shims.csv"
    header = "tag,thickness,width,length,set,home,condition,note\n"
    file.write_text(f"{header}S-1,1 mm,2 mm,,inch set,,,\nS-2,1 mm,,,,,,\n")
    before = show_piece(filled, "S-1").record
    import_crib(filled, [file], by="Ann", at=NOW)
    lend_set(filled, "inch set", "Kim", at=NOW)

    assert [undone.tag for undone in undo_last(filled, at=NOW)] == ["B-250", "S-1"]
    assert list_out(filled, NOW.date()).pieces == ()
    undone = undo_last(filled, at=NOW)

    assert [(each.tag, each.entry.act, each.entry.by) for each in undone] == [
        ("S-1", Act.CHANGED, "Ann"),
        ("S-2", Act.RECEIVED, "Ann"),
    ]
    assert show_piece(filled, "S-1").record == before
    assert show_piece(filled, "S-2").retired
    assert check(filled) == ()


def test_what_was_changed_behind_the_history_is_not_overwritten(filled: str) -> None:
    edit_piece(filled, "S-1", {"home": "drawer 5"}, at=NOW)
    execute(filled, "UPDATE piece SET home = 'elsewhere' WHERE tag = 'S-1'")

    with pytest.raises(CribStateError, match=r"^S-1 was changed since: its home is not what it was then$"):
        undo_last(filled, at=NOW)

    assert show_piece(filled, "S-1").record.home == "elsewhere"


def test_a_new_act_after_an_undoing_is_the_next_to_be_undone(filled: str) -> None:
    add_piece(filled, Kind.SHIM, "S-8", {}, at=NOW)
    lend_piece(filled, "S-1", "Kim", at=NOW)
    undo_last(filled, at=NOW)
    lend_piece(filled, "S-1", "Ann", at=NOW)

    assert [undone.entry.act for _ in range(2) for undone in undo_last(filled, at=NOW)] == [
        Act.LENT,
        Act.RECEIVED,
    ]
