"""A drawer counted blind, its differences settled by entries, undone, and settled once only."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from broachplan.crib.entries import Act
from broachplan.crib.records import Record
from broachplan.desks.attendant.count_drawer import Counted, tags_in, tags_in_file
from broachplan.desks.attendant.list_counts import Mismatch
from broachplan.errors import CribStateError, InputError
from broachplan.store.check import check
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Shim
from tests.desks.doing import (
    add_piece,
    count_drawer,
    edit_piece,
    found_piece,
    lend_piece,
    retire_piece,
    return_piece,
    settle_count,
    undo_act,
)
from tests.desks.looking import drawer_to_count, list_counts, list_missing, list_out, show_count, show_piece
from tests.store.cribs import fill

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
LATER = NOW + timedelta(days=3)
HOMES = {
    "S-10": "A/1/01",
    "S-11": "a / 1 / 02",
    "S-12": "A/1/03",
    "S-13": "A/1/04",
    "S-20": "A/10/01",
    "S-21": "A/10/02",
    "S-22": "A/1/05",
}


@pytest.fixture
def crib(filled: str) -> str:
    """S-10 and S-11 lie in A/1; S-12 of it is out, S-13 missing, S-22 retired; S-20 and S-21 live in A/10."""
    fill(filled, [Record(piece=Shim(tag=tag), home=home) for tag, home in HOMES.items()])
    first = count_drawer(filled, "A/1", ["S-10", "S-11", "S-12", "S-22"], at=NOW - timedelta(days=8))
    settle_count(filled, first.count.number, {"S-13": "lost"}, at=NOW - timedelta(days=8), zone=UTC)
    lend_piece(filled, "S-12", "Kim", at=NOW - timedelta(days=7))
    retire_piece(filled, "S-22", at=NOW - timedelta(days=7))
    return filled


def differences(counted: Counted) -> dict[str, Mismatch]:
    return {each.line.tag: each.line.mismatch for each in counted.differences}


def test_a_count_shows_every_kind_of_difference_and_changes_nothing(crib: str) -> None:
    before = {tag: show_piece(crib, tag) for tag in HOMES}
    tags = ["S-11", "S-20", "S-12", " S-13 ", "S-22", "S-2", "S-11", ""]

    counted = count_drawer(crib, " a/1/09 ", tags, by="Ann", at=NOW)

    assert differences(counted) == {
        "S-10": Mismatch.ABSENT,
        "S-12": Mismatch.BACK,
        "S-13": Mismatch.FOUND,
        "S-2": Mismatch.UNKNOWN,
        "S-20": Mismatch.STRAY,
        "S-22": Mismatch.RETIRED,
    }
    assert (counted.count.number, str(counted.count.drawer), counted.count.agreed) == (2, "A/1", 1)
    assert counted.twice == ("S-11",)
    assert {each.line.tag: each.nearest for each in counted.seen if each.nearest} == {"S-2": ("S-20", "S-21")}
    assert not any(each.changed for each in counted.seen)
    assert {tag: show_piece(crib, tag) for tag in HOMES} == before
    shown = show_count(crib, 2)
    assert (shown.count, shown.seen) == (counted.count, counted.seen)
    assert (shown.count.at, shown.count.by, shown.count.settled) == (NOW, "Ann", None)
    assert check(crib) == ()


def test_settling_corrects_the_books_by_entries_of_one_act_and_undoing_opens_the_count_again(
    crib: str,
) -> None:
    before = {tag: show_piece(crib, tag).record for tag in HOMES}
    out = list_out(crib, NOW.date())
    # Midnight has passed where it was counted, not yet in universal time.
    night, place = datetime(2031, 5, 2, 23, 30, tzinfo=UTC), timezone(timedelta(hours=2))
    count = count_drawer(crib, "A/1", ["S-11", "S-20", "S-21", "S-12", "S-13", "S-22", "S-2"], at=night).count

    settled = settle_count(
        crib,
        count.number,
        {"S-10": "thrown away"},
        rest="not known",
        moves={"S-20": "07", "S-13": "", "S-12": "03"},
        by="Ann",
        at=LATER,
        zone=place,
    )

    reported = {each.tag: (each.mismatch, each.home, each.moved) for each in settled.corrected}
    assert reported == {
        "S-10": (Mismatch.ABSENT, "A/1/01", False),
        "S-12": (Mismatch.BACK, "A/1/03", False),
        "S-13": (Mismatch.FOUND, "A/1", True),
        "S-20": (Mismatch.STRAY, "A/1/07", True),
    }
    assert ([piece.tag for piece in settled.put_back], settled.left) == (["S-21"], ())
    assert [(each.piece.tag, each.piece.status.missing_since) for each in list_missing(crib)] == [
        ("S-10", date(2031, 5, 3))
    ]
    assert show_piece(crib, "S-10").state == "missing since 2031-05-03"
    assert list_out(crib, NOW.date()).pieces == ()
    assert show_piece(crib, "S-12").state == "back, not yet inspected"
    history = {tag: show_piece(crib, tag).history[0].entry for tag in reported}
    assert {entry.act for entry in history.values()} == {Act.COUNTED, Act.RETURNED}
    # Nobody inspected it.
    assert history["S-12"].act is Act.RETURNED
    assert {change.name for change in history["S-12"].changes} == {"lent_to", "since", "condition"}
    assert history["S-10"].note == f"count {count.number}: thrown away"
    assert {(entry.at, entry.by) for entry in history.values()} == {(LATER, "Ann")}
    shown = show_count(crib, count.number).count
    assert shown.settled == LATER
    assert {line.tag: line.cause for line in shown.differences}["S-2"] == "not known"
    assert check(crib) == ()
    with pytest.raises(CribStateError, match=rf"^count {count.number} of A/1 is settled already"):
        settle_count(crib, count.number, {}, rest="again", at=LATER)

    undone = undo_act(crib, at=LATER)

    assert {each.tag for each in undone} == set(reported)
    assert {tag: show_piece(crib, tag).record for tag in HOMES} == before
    assert list_out(crib, NOW.date()) == out
    assert show_count(crib, count.number).count == count
    assert not any(each.changed for each in show_count(crib, count.number).seen)
    assert check(crib) == ()
    assert settle_count(crib, count.number, {}, rest="at last", at=LATER, zone=UTC).corrected != ()
    assert check(crib) == ()


def test_a_change_after_the_count_is_shown_and_not_corrected(crib: str) -> None:
    count = count_drawer(crib, "A/1", ["S-12", "S-13", "S-20", "S-21"], at=NOW).count
    # As quickly as can be: moments are kept to the second, and the order of acts counts.
    lend_piece(crib, "S-10", "Ann", at=NOW)
    return_piece(crib, "S-10", "fit", at=NOW)
    return_piece(crib, "S-12", "worn", at=NOW)
    found_piece(crib, "S-13", at=NOW)
    edit_piece(crib, "S-11", {"home": "B/1"}, at=NOW)
    retire_piece(crib, "S-20", at=NOW)
    # What is undone was not done.
    edit_piece(crib, "S-21", {"home": "B/1"}, at=NOW)
    undo_act(crib, at=NOW)
    reported = {each.line.tag: each.changed for each in show_count(crib, count.number).seen}

    settled = settle_count(crib, count.number, {}, rest="?", moves={"S-20": "", "S-21": ""}, at=LATER)

    assert [each.tag for each in settled.corrected] == ["S-21"]
    assert settled.left == (
        "S-10 was changed after the count and lives in A/1/01",
        "S-11 was changed after the count and lives in B/1",
        "S-12 was changed after the count and lives in A/1/03",
        "S-13 was changed after the count and lives in A/1/04",
        "S-20 was changed after the count and is retired",
    )
    assert [reported[tag] for tag in ("S-10", "S-11", "S-12", "S-13", "S-20", "S-21")] == [*settled.left, ""]
    assert show_piece(crib, "S-12").state == "worn"
    assert list_missing(crib) == ()
    assert check(crib) == ()


def test_two_who_count_one_drawer_correct_it_once(crib: str) -> None:
    found = ["S-11", "S-12", "S-13"]
    counts = [count_drawer(crib, "A/1", found, by=by, at=NOW).count for by in ("Ann", "Joe")]

    first, second = (settle_count(crib, count.number, {}, rest="?", at=LATER, zone=UTC) for count in counts)

    assert {each.tag for each in first.corrected} == {"S-10", "S-12", "S-13"}
    assert second.corrected == ()
    assert second.left[0] == "S-10 was changed after the count and is missing since 2031-05-02"
    assert sum(reported.entry.act is Act.RETURNED for reported in show_piece(crib, "S-12").history) == 1
    assert check(crib) == ()
    undo_act(crib, at=LATER)
    assert [head.number for head in list_counts(crib).open] == [counts[0].number]


def test_a_count_that_agrees_is_settled_by_that(crib: str) -> None:
    counted = count_drawer(crib, "A/1", ["S-10", "S-11"], at=NOW)

    assert (counted.differences, counted.count.settled) == ((), NOW)
    with pytest.raises(
        CribStateError, match=r"^count 2 of A/1 agrees with the books; there is nothing to settle$"
    ):
        settle_count(crib, 2, {}, at=NOW)
    assert check(crib) == ()


def test_an_empty_drawer_and_one_with_strays_alone_are_settled_without_an_act(crib: str) -> None:
    empty = count_drawer(crib, "A/10", [], at=NOW).count
    assert [line.mismatch for line in empty.lines] == [Mismatch.ABSENT] * 2
    strays = count_drawer(crib, "A/10", ["S-20", "S-21", "S-10", "X-1", "S-22"], at=NOW).count

    settled = settle_count(crib, strays.number, {}, rest="mixed up", at=NOW)

    assert (settled.corrected, [piece.home for piece in settled.put_back]) == ((), ["A/1/01"])
    assert check(crib) == ()
    # The last act is still the one before.
    assert undo_act(crib, at=NOW)[0].tag == "S-22"


def test_the_counts_are_listed_with_the_drawers_that_wait_longest(crib: str) -> None:
    add_piece(crib, Kind.SHIM, "S-30", {"home": "A/2/01"}, at=NOW)
    count_drawer(crib, "A/10", [], by="Ann", at=NOW)

    listed = list_counts(crib)

    assert [
        (str(each.drawer), each.drawer.pieces, each.last and each.last.number) for each in listed.drawers
    ] == [
        ("A/2", 1, None),
        ("bench", 1, None),
        ("drawer 4", 1, None),
        ("A/1", 4, 1),
        ("A/10", 2, 2),
    ]
    assert [(head.number, head.by, head.tags, head.differences) for head in listed.open] == [(2, "Ann", 2, 2)]
    assert [(head.number, head.tags, head.differences) for head in listed.settled] == [(1, 5, 1)]
    assert listed.homeless == 4


def test_what_cannot_be_counted_is_refused(crib: str, tmp_path: Path) -> None:
    assert drawer_to_count(crib, "a/1/7") == "A/1"
    with pytest.raises(InputError, match=r"^drawer: read “A/11”: no piece lives there; the nearest: A/1"):
        drawer_to_count(crib, "A/11")
    with pytest.raises(InputError, match=r"^drawer: read “”: no piece lives there; write one such as A/1"):
        count_drawer(crib, " ", [], at=NOW)
    with pytest.raises(InputError, match=r"^tag: read “a,b”; use at most 40 plain characters"):
        count_drawer(crib, "A/1", ["a,b"], at=NOW)
    with pytest.raises(InputError, match=r"^count: read 9, which there is not; the last is 1$"):
        settle_count(crib, 9, {}, at=NOW)
    file = tmp_path / "tags.txt"
    file.write_text("\ufeffS-10\r\n\r\n S-11 \n")
    assert tags_in_file(file) == ("S-10", "S-11")
    with pytest.raises(InputError, match=r"^standard input, line 2: tag: read “\\u001b”"):
        tags_in("standard input", b"S-1\n\x1b\n")
    with pytest.raises(InputError, match=r"^in: it has more than 20,000,000 bytes, the limit"):
        tags_in("in", b"\n" * 20_000_001)


def test_a_missing_piece_is_found_in_one_step_and_only_once(crib: str) -> None:
    with pytest.raises(CribStateError, match=r"^S-13 is missing since 2031-04-24; count it in before"):
        lend_piece(crib, "S-13", "Kim", at=NOW)

    found = found_piece(crib, "S-13", note="behind the press", by="Ann", at=NOW)

    assert (found.missing_since, found.home) == (date(2031, 4, 24), "A/1/04")
    assert show_piece(crib, "S-13").state == "fit"
    with pytest.raises(CribStateError, match=r"^S-13 is not missing$"):
        found_piece(crib, "S-13", at=NOW)
    with pytest.raises(CribStateError, match=r"^S-22 is retired and is not changed any more$"):
        found_piece(crib, "S-22", at=NOW)
    assert check(crib) == ()
    undo_act(crib, at=NOW)
    assert [each.piece.tag for each in list_missing(crib)] == ["S-13"]
