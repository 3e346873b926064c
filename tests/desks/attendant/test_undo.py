"""An act is taken back by an entry of its own: one's own last, or any whose pieces were not changed since."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from broachplan.crib.entries import Act
from broachplan.errors import BroachplanError, CribStateError, InputError
from broachplan.store.backup import back_up
from broachplan.store.check import check
from broachplan.tooling.figures import Kind
from broachplan.tooling.tags import LONGEST_TAG
from tests.databases import execute
from tests.desks.doing import (
    add_piece,
    count_drawer,
    edit_piece,
    import_crib,
    lend_piece,
    lend_set,
    restore_data,
    retire_piece,
    return_piece,
    settle_count,
    undo_act,
)
from tests.desks.looking import list_out, list_pieces, show_piece, stock_on

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
        undo_act(filled, by="Joe", at=NOW + timedelta(days=1))
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
        undo_act(filled, at=NOW)


def test_an_act_on_many_pieces_is_undone_as_one_and_what_was_received_gives_its_tag_back(
    filled: str, tmp_path: Path
) -> None:
    file = tmp_path / "shims.csv"
    header = "tag,thickness,width,length,set,home,condition,note\n"
    file.write_text(f"{header}S-1,1 mm,2 mm,,inch set,,,\nS-2,1 mm,,,,,,\n")
    before = show_piece(filled, "S-1").record
    import_crib(filled, [file], by="Ann", at=NOW, sure=True)
    lend_set(filled, "inch set", "Kim", at=NOW)

    assert [undone.tag for undone in undo_act(filled, at=NOW)] == ["B-250", "S-1"]
    assert list_out(filled, NOW.date()).pieces == ()
    undone = undo_act(filled, by="Ann", at=NOW)

    assert [(each.tag, each.entry.act, each.entry.by) for each in undone] == [
        ("S-1", Act.CHANGED, "Ann"),
        ("S-2", Act.RECEIVED, "Ann"),
    ]
    assert show_piece(filled, "S-1").record == before
    gone = show_piece(filled, "S-2")
    assert (gone.retired, gone.record.piece.tag) == (True, "S-2 (undone 1)")
    assert [line.entry.act for line in gone.history] == [Act.UNDONE, Act.RECEIVED]
    assert import_crib(filled, [file], by="Ann", at=NOW, sure=True).added == 1
    assert check(filled) == ()


def test_what_was_changed_behind_the_history_is_not_overwritten(filled: str) -> None:
    edit_piece(filled, "S-1", {"home": "drawer 5"}, at=NOW)
    execute(filled, "UPDATE piece SET home = 'elsewhere' WHERE tag = 'S-1'")

    with pytest.raises(CribStateError, match=r"^S-1 was changed since: its home is not what it was then$"):
        undo_act(filled, at=NOW)

    assert show_piece(filled, "S-1").record.home == "elsewhere"


def test_a_new_act_after_an_undoing_is_the_next_to_be_undone(filled: str) -> None:
    add_piece(filled, Kind.SHIM, "S-8", {}, at=NOW)
    lend_piece(filled, "S-1", "Kim", at=NOW)
    undo_act(filled, at=NOW)
    lend_piece(filled, "S-1", "Ann", at=NOW)

    assert [undone.entry.act for _ in range(2) for undone in undo_act(filled, at=NOW)] == [
        Act.LENT,
        Act.RECEIVED,
    ]


def test_a_slip_does_not_burn_the_tag_that_is_etched_on_the_steel(filled: str, tmp_path: Path) -> None:
    day = NOW.date()
    add_piece(filled, Kind.SHIM, "S-8", {"thickness": "1 mm", "home": "A/1"}, by="Kim", at=NOW)
    undo_act(filled, by="Kim", at=NOW)
    with pytest.raises(InputError, match=r"no such tag; its addition was undone, so the tag is free"):
        lend_piece(filled, "S-8", "Kim", at=NOW)
    assert "S-8" not in {each.record.piece.tag for each in list_pieces(filled).pieces}

    later = NOW + timedelta(days=1)
    add_piece(filled, Kind.BROACH, "S-8", {"home": "B/2"}, by="Kim", at=later)
    undo_act(filled, 3, at=later)
    add_piece(filled, Kind.PIN, "S-8", {"home": "C/3"}, by="Kim", at=later)

    now = show_piece(filled, "S-8")
    assert (now.record.home, now.undone) == ("C/3", ("S-8 (undone 3)", "S-8 (undone 1)"))
    first = show_piece(filled, "S-8 (undone 1)")
    assert [(line.entry.act, line.entry.number) for line in first.history] == [
        (Act.UNDONE, 2),
        (Act.RECEIVED, 1),
    ]
    placed = {
        (piece.tag, piece.home): piece.status.retired
        for piece in stock_on(filled, day, at=later, zone=UTC).pieces
    }
    assert placed["S-8 (undone 1)", "A/1"]
    assert ("S-8", "C/3") not in placed
    assert check(filled) == ()
    back_up(filled, tmp_path / "crib.backup", day)
    restore_data(filled, tmp_path / "crib.backup", day)
    assert show_piece(filled, "S-8") == now


def test_a_day_before_the_slip_was_noticed_shows_the_piece_under_its_tag(filled: str) -> None:
    add_piece(filled, Kind.SHIM, "S-8", {"home": "A/1"}, at=NOW)
    undo_act(filled, at=NOW + timedelta(days=2))

    def tags(days: int) -> set[str]:
        stock = stock_on(filled, NOW.date() + timedelta(days), at=NOW + timedelta(days=3), zone=UTC)
        return {piece.tag for piece in stock.pieces if piece.home == "A/1"}

    assert (tags(-1), tags(1), tags(2)) == (set(), {"S-8"}, {"S-8 (undone 1)"})


def test_a_tag_as_long_as_may_be_gives_way_too_and_two_that_begin_alike_are_kept_apart(
    filled: str, tmp_path: Path
) -> None:
    tags = [f"{'S' * (LONGEST_TAG - 1)}{end}" for end in "123"]
    (tmp_path / "shims.csv").write_text("tag,thickness,width\n" + "".join(f"{tag},,\n" for tag in tags))
    import_crib(filled, [tmp_path / "shims.csv"], at=NOW)

    undo_act(filled, at=NOW)

    names = {show_piece(filled, tag).record.piece.tag for tag in tags}
    assert (len(names), max(map(len, names))) == (3, LONGEST_TAG)
    assert import_crib(filled, [tmp_path / "shims.csv"], at=NOW).added == 3
    assert check(filled) == ()


def test_any_act_is_undone_while_nothing_was_done_to_its_pieces_since(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", by="Kim", at=NOW)
    edit_piece(filled, "S-1", {"home": "drawer 5"}, by="Jo", at=NOW)
    edit_piece(filled, "B-250", {"note": "oiled"}, by="Jo", at=NOW)

    with pytest.raises(
        CribStateError,
        match=r"^B-250 was changed since, in act 3 by Jo: changed; note “good, sharp” -> “oiled”; undo act 3 first$",
    ):
        undo_act(filled, 1, at=NOW)
    assert [each.tag for each in undo_act(filled, 2, at=NOW)] == ["S-1"]
    undo_act(filled, 3, at=NOW)
    assert [each.tag for each in undo_act(filled, 1, at=NOW)] == ["B-250"]

    assert list_out(filled, NOW.date()).pieces == ()
    assert check(filled) == ()


def test_of_those_who_undo_an_addition_and_add_the_tag_again_at_once_one_does_each(filled: str) -> None:
    add_piece(filled, Kind.SHIM, "S-8", {}, by="Kim", at=NOW)

    def tried(act: Callable[[], object]) -> bool:
        try:
            act()
        except BroachplanError:
            return False
        return True

    with ThreadPoolExecutor(3) as pool:
        undone = list(pool.map(tried, [lambda: undo_act(filled, 1, at=NOW)] * 3))
        added = list(pool.map(tried, [lambda: add_piece(filled, Kind.PIN, "S-8", {}, at=NOW)] * 3))

    assert (sum(undone), sum(added)) == (1, 1)
    assert show_piece(filled, "S-8").record.piece.kind is Kind.PIN
    assert check(filled) == ()


def test_a_count_of_a_tag_whose_addition_was_undone_is_settled_and_says_so(filled: str) -> None:
    add_piece(filled, Kind.SHIM, "S-8", {"home": "A/1"}, at=NOW)
    add_piece(filled, Kind.SHIM, "S-9", {"home": "A/1"}, at=NOW)
    count_drawer(filled, "A/1", ["S-9"], at=NOW)
    undo_act(filled, 1, at=NOW)

    settled = settle_count(filled, 1, {}, rest="a slip", at=NOW, zone=UTC)

    assert settled.left == ("S-8 is in the crib no more: its addition was undone",)
    assert check(filled) == ()


def test_what_cannot_be_undone_says_why(filled: str) -> None:
    with pytest.raises(InputError, match=r"^act: read 1, which there is not; nothing was done yet$"):
        undo_act(filled, 1, at=NOW)
    lend_piece(filled, "B-250", "Kim", by="Kim", at=NOW)
    undo_act(filled, by="Jo", action=1, at=NOW)

    for number, error, why in (
        (1, CribStateError, r"^act 1 is undone already, in act 2 by Jo$"),
        (2, CribStateError, r"^act 2 undid act 1, and an undoing is not undone; do it anew$"),
        (10**30, InputError, r"which there is not; the last is 2$"),
    ):
        with pytest.raises(error, match=why):
            undo_act(filled, number, at=NOW)


def test_without_a_number_ones_own_last_act_is_undone_and_never_that_of_the_other_window(
    filled: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    lend_piece(filled, "B-250", "Ann", by="Kim", at=NOW)
    monkeypatch.setattr("platform.node", lambda: "window 2")
    edit_piece(filled, "S-1", {"home": "drawer 5"}, by="Jo", at=NOW)
    edit_piece(filled, "N-1", {"home": "drawer 5"}, at=NOW)
    monkeypatch.undo()

    with pytest.raises(CribStateError, match=r"^nothing of Lee is left to undo; the last act is 3, by somebody at window 2: `broachplan crib undo 3` undoes it$"):  # fmt: skip
        undo_act(filled, by="Lee", at=NOW)
    assert [each.tag for each in undo_act(filled, by="kim", at=NOW)] == ["B-250"]
    with pytest.raises(CribStateError, match=r"^nothing of this station is left to undo"):
        undo_act(filled, at=NOW)
    assert [each.tag for each in undo_act(filled, by="Jo", at=NOW)] == ["S-1"]
    assert show_piece(filled, "N-1").record.home == "drawer 5"
