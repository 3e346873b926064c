"""Whatever the books said: once every drawer is counted and settled, they say what lies in the drawers."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from broachplan.crib.records import Record
from broachplan.desks.attendant.list_counts import Mismatch
from broachplan.desks.attendant.settle_count import Settled
from broachplan.errors import CribStateError
from broachplan.store.check import check
from broachplan.tooling.pieces import Shim
from tests.databases import database, execute
from tests.desks.doing import count_drawer, settle_count
from tests.desks.looking import list_counts, list_missing, list_out, show_count, show_piece
from tests.ground import emptied
from tests.store.cribs import fill

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
DRAWERS = ("A/1", "A/2")
# What the books have of a piece, and where it lies in truth: in one of the drawers, or nowhere in them.
pieces = st.lists(
    st.tuples(
        st.sampled_from(["A/1/01", "a / 1", "A/2/01", "bench", ""]),
        st.sampled_from(["in", "out", "missing", "retired"]),
        st.sampled_from(["A/1", "A/2", None]),
    ),
    min_size=1,
    max_size=7,
)
SAID = {
    "in": "SELECT 1",
    "out": "INSERT INTO loan (piece_id, to_name, since) SELECT id, 'Kim', '2031-05-01' FROM piece WHERE tag = '{tag}'",
    "missing": "UPDATE piece SET missing_since = '2031-05-01' WHERE tag = '{tag}'",
    "retired": "UPDATE piece SET retired = 1 WHERE tag = '{tag}'",
}


def count_and_settle(db: str, drawer: str, tags: list[str]) -> set[Mismatch]:
    """Count a drawer and settle all, whatever lies in it against the books staying there; how it differed."""
    counted = count_drawer(db, drawer, tags, at=NOW)
    moves = {
        each.line.tag: ""
        for each in counted.differences
        if each.line.mismatch in (Mismatch.STRAY, Mismatch.BACK, Mismatch.FOUND)
    }
    if counted.differences:
        settle_count(db, counted.count.number, {}, rest="?", moves=moves, at=NOW, zone=UTC)
    return {each.line.mismatch for each in counted.differences}


@pytest.mark.usefixtures("either")
@settings(max_examples=4, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces)
def test_when_all_is_settled_a_second_count_finds_the_books_right(
    shown: list[tuple[str, str, str | None]],
) -> None:
    tags = [f"S-{number}" for number in range(10, 10 + len(shown))]
    lies = {drawer: [tag for tag, (_, _, where) in zip(tags, shown, strict=True) if where == drawer] for drawer in DRAWERS}  # fmt: skip
    with database("filled", emptied("counts") / "crib.db") as db:
        anchors = [Record(piece=Shim(tag=f"A{drawer[-1]}"), home=drawer) for drawer in DRAWERS]
        fill(db, [*anchors, *(Record(piece=Shim(tag=tag), home=home) for tag, (home, _, _) in zip(tags, shown, strict=True))])  # fmt: skip
        execute(db, *(SAID[state].format(tag=tag) for tag, (_, state, _) in zip(tags, shown, strict=True)))
        for drawer in DRAWERS:
            count_and_settle(db, drawer, [f"A{drawer[-1]}", *lies[drawer]])

        again = [count_and_settle(db, drawer, [f"A{drawer[-1]}", *lies[drawer]]) for drawer in DRAWERS]

        assert all(differed <= {Mismatch.RETIRED} for differed in again)
        gone = [
            (tag, home, state) for tag, (home, state, where) in zip(tags, shown, strict=True) if where is None
        ]
        assert {each.piece.tag for each in list_missing(db)} == {
            tag
            for tag, home, state in gone
            if state == "missing" or (state == "in" and home not in ("bench", ""))
        }
        assert {piece.tag for piece in list_out(db)} == {tag for tag, _, state in gone if state == "out"}
        assert check(db) == ()


def test_of_four_who_settle_two_counts_of_one_drawer_at_once_each_count_is_settled_once(filled: str) -> None:
    fill(filled, [Record(piece=Shim(tag=f"S-{number}"), home="A/1") for number in (10, 11)])
    for _ in range(2):
        count_drawer(filled, "A/1", ["S-10"], at=NOW)

    def settle(number: int) -> Settled | None:
        try:
            return settle_count(filled, number, {}, rest="?", at=NOW, zone=UTC)
        except CribStateError:
            return None

    with ThreadPoolExecutor(4) as pool:
        done = [settled for settled in pool.map(settle, (1, 2, 1, 2)) if settled]

    assert sorted(settled.count.number for settled in done) == [1, 2]
    assert sum(len(settled.corrected) for settled in done) == 1
    assert len(show_piece(filled, "S-11").history) == 1
    assert list_counts(filled).open == ()
    assert {show_count(filled, number).differences[0].line.cause for number in (1, 2)} == {"?"}
    assert check(filled) == ()
