"""The shelf of a plan: within bounds the same as filtering the whole, and what is off it says why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TypeVar

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import event, insert, select, update

from broachplan.crib.loans import Asker
from broachplan.crib.records import Condition, Record
from broachplan.crib.shelf import Shelf
from broachplan.lengths import Length
from broachplan.planner.bounds import Bounds
from broachplan.store import shelf_read
from broachplan.store.shelf_read import merged, read_shelf
from broachplan.store.tables import HOLD, LOAN, PIECE
from broachplan.store.transaction import Work
from broachplan.store.work import reading, writing
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim
from tests.databases import database
from tests.ground import emptied
from tests.store.cribs import fill

DAY = date(2031, 6, 1)
P = TypeVar("P", bound=Piece)
# Few sizes, so that bounds are met, touched and missed by one.
sizes = st.none() | st.integers(1, 30).map(Length)


@st.composite
def shelf_records(draw: st.DrawFn) -> list[Record]:
    pieces: list[Piece] = []
    for number in range(draw(st.integers(0, 25))):
        kind = draw(st.sampled_from(["broach", "bushing", "shim", "press"]))
        tag = f"{draw(st.sampled_from('ABC'))}-{number}"
        if kind == "broach":
            pieces.append(Broach(tag=tag, keyway_width=draw(sizes), body_width=draw(sizes)))
        elif kind == "bushing":
            outside, slot = draw(sizes), draw(sizes)
            if outside is not None and slot is not None and slot >= outside:
                outside = slot + Length(1)
            pieces.append(Bushing(tag=tag, outside_diameter=outside, slot_width=slot))
        elif kind == "shim":
            pieces.append(Shim(tag=tag, thickness=Length(1), width=draw(sizes)))
        else:
            pieces.append(Press(tag=tag))
    return [Record(piece=piece, condition=draw(st.sampled_from(Condition))) for piece in pieces]


@st.composite
def bounds(draw: st.DrawFn) -> Bounds:
    low, high = sorted((draw(st.integers(0, 31)), draw(st.integers(0, 31))))
    bore = draw(st.integers(1, 31))
    return Bounds(
        width=(Length(low), Length(high)),
        bushing_od=(Length(bore - draw(st.integers(0, 5))), Length(bore)),
        slot_clearance=Length(draw(st.integers(0, 2))),
        shim_clearance=Length(draw(st.integers(0, 4))),
    )


def inside(size: Length | None, limits: tuple[Length, Length]) -> bool:
    return size is None or limits[0] <= size <= limits[1]


def beyond(pieces: Sequence[P], size: Callable[[P], Length | None], limits: tuple[Length, Length]) -> list[P]:
    """The three outside, nearest first, found the slow way."""

    def far(piece: P) -> tuple[int, str]:
        own = size(piece)
        assert own is not None
        return max(limits[0].nm - own.nm, own.nm - limits[1].nm), piece.tag

    return sorted((piece for piece in pieces if not inside(size(piece), limits)), key=far)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(shelf_records(), bounds())
def test_a_bounded_reading_is_the_whole_shelf_filtered(crib: list[Record], within: Bounds) -> None:
    with database("filled", emptied("shelf") / "crib.db") as db:
        fill(db, crib)
        with reading(db) as work:
            whole, shelf = read_shelf(work), read_shelf(work, within)

    assert shelf.broaches == tuple(b for b in whole.broaches if inside(b.keyway_width, within.width))
    assert shelf.bushings == tuple(b for b in whole.bushings if inside(b.outside_diameter, within.bushing_od))
    assert shelf.presses == whole.presses
    assert set(shelf.shims) == {
        shim
        for shim in whole.shims
        if shim.width is None
        or inside(shim.width, within.shim_width_for_keyway)
        or any(inside(shim.width, within.shim_width(b.slot_width)) for b in shelf.bushings if b.slot_width)
        or any(
            inside(shim.width, within.shim_width_beside(max(w for w in (b.keyway_width, b.body_width) if w)))
            for b in shelf.broaches
            if b.keyway_width or b.body_width
        )
    }
    far = beyond(whole.broaches, lambda b: b.keyway_width, within.width)
    assert shelf.broaches_beyond.count == len(far)
    assert shelf.broaches_beyond.nearest_broaches == tuple(far[:3])
    wide = beyond(whole.bushings, lambda b: b.outside_diameter, within.bushing_od)
    assert shelf.bushings_beyond.count == len(wide)
    assert shelf.bushings_beyond.nearest_bushings == tuple(wide[:3])
    read = {p.tag for p in (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)}
    assert shelf.off == {tag: why for tag, why in whole.off.items() if tag in read}
    assert tags_in_order(shelf)


def tags_in_order(shelf: Shelf) -> bool:
    lists = (shelf.broaches, shelf.bushings, shelf.shims, shelf.presses)
    return all([p.tag for p in pieces] == sorted(p.tag for p in pieces) for pieces in lists)


def piece_id(work: Work, tag: str) -> int:
    return work.connection.execute(select(PIECE.c.id).where(PIECE.c.tag == tag)).scalar_one()


def lend(work: Work, tag: str, returned: str | None = None) -> None:
    work.connection.execute(
        insert(LOAN).values(
            piece_id=piece_id(work, tag), to_name="Kim", since="2031-05-02", returned=returned
        )
    )


def hold(work: Work, tag: str, day: date = DAY) -> None:
    work.connection.execute(
        insert(HOLD).values(piece_id=piece_id(work, tag), day=day.isoformat(), for_what="job 12")
    )


def test_what_is_off_the_shelf_says_why(filled: str) -> None:
    with writing(filled) as work:
        lend(work, "B-250", returned="2031-05-03")
        lend(work, "S-1", returned="2031-05-03")
        lend(work, "S-1")
        lend(work, "G-1000")
        hold(work, "P-1")
        hold(work, "B-250", date(2031, 6, 2))
        work.commit()

    with reading(filled) as work:
        off = read_shelf(work, on=DAY).off

    assert off == {
        "G-1000": "lent to Kim since 2031-05-02; worn",
        "S-1": "lent to Kim since 2031-05-02",
        "P-1": "held on 2031-06-01 for job 12",
    }


def test_without_a_day_no_hold_counts(filled: str) -> None:
    with writing(filled) as work:
        hold(work, "P-1")
        work.commit()

    with reading(filled) as work:
        assert read_shelf(work).off == {"G-1000": "worn"}


def test_a_retired_piece_is_not_there_at_all(filled: str) -> None:
    with writing(filled) as work:
        work.connection.execute(
            update(PIECE).where(PIECE.c.tag.in_(["B-250", "G-1000", "S-1"])).values(retired=1)
        )
        work.commit()

    narrow = Bounds((Length(1), Length(2)), (Length(1), Length(2)), Length(1), Length(1))
    with reading(filled) as work:
        whole, within = read_shelf(work), read_shelf(work, narrow)

    assert (whole.broaches, whole.bushings, whole.shims, whole.off) == ((), (), (), {})
    assert (within.broaches_beyond.count, within.broaches_beyond.nearest_broaches) == (0, ())


def plan_of(work: Work, query: object) -> str:
    compiled = query.compile(work.connection.engine, compile_kwargs={"literal_binds": True})  # type: ignore[attr-defined]
    return "\n".join(str(row) for row in work.connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {compiled}"))


@pytest.mark.parametrize(
    ("kind", "name", "index"),
    [
        (Kind.BROACH, "keyway_width", "ix_broach_keyway_width"),
        (Kind.BUSHING, "outside_diameter", "ix_bushing_outside_diameter"),
        (Kind.SHIM, "width", "ix_shim_width"),
    ],
)
def test_a_bounded_reading_goes_by_indexes_alone(filled_file: str, kind: Kind, name: str, index: str) -> None:
    conditions = shelf_read._within(kind, name, (Length(1), Length(2)))

    with reading(filled_file) as work:
        for condition in conditions:
            assert condition is not None
            plan = plan_of(work, shelf_read._query(kind).where(condition))
            assert f"USING INDEX {index}" in plan
            assert "SCAN" not in plan


@given(st.lists(st.tuples(st.integers(0, 20), st.integers(0, 5)), max_size=12))
def test_merged_ranges_cover_the_same_and_do_not_touch(ranges: list[tuple[int, int]]) -> None:
    given_ranges = [(Length(low), Length(low + span)) for low, span in ranges]

    joined = merged(given_ranges)

    for nm in range(30):
        covered = [low <= Length(nm) <= high for low, high in joined]
        assert any(covered) == any(low <= Length(nm) <= high for low, high in given_ranges)
        assert sum(covered) <= 1


def test_the_nearest_beyond_are_chosen_from_many_by_distance_and_then_tag(db: str) -> None:
    widths = {"W": 9, "X": 9, "Y": 9, "Z": 9, "far": 2, "above": 22, "higher": 29, "lower": 1, "near": 8}
    fill(db, [Record(piece=Broach(tag=tag, keyway_width=Length(nm))) for tag, nm in widths.items()])
    within = Bounds((Length(10), Length(20)), (Length(1), Length(2)), Length(0), Length(0))

    with reading(db) as work:
        beyond_width = read_shelf(work, within).broaches_beyond
        higher = read_shelf(work, Bounds((Length(30), Length(31)), within.bushing_od, Length(0), Length(0)))

    assert beyond_width.count == 9
    assert [broach.tag for broach in beyond_width.nearest_broaches] == ["W", "X", "Y"]
    assert [broach.tag for broach in higher.broaches_beyond.nearest_broaches] == ["higher", "above", "W"]


@pytest.mark.usefixtures("server")
def test_on_a_server_the_nearest_are_ordered_by_code_points_whatever_its_language(filled: str) -> None:
    with reading(filled) as work:
        reader = shelf_read._Reader(work)
        asked: list[str] = []
        event.listen(work.connection, "before_cursor_execute", lambda *about: asked.append(about[2]))
        reader.nearest(Shim, "width", (Length(1), Length(2)))

    assert len(asked) == 2
    assert all('piece.tag COLLATE "C"' in sql for sql in asked)


def test_what_the_asker_has_already_and_what_is_held_for_their_work_is_on_the_shelf(filled: str) -> None:
    with writing(filled) as work:
        ids = dict(work.connection.execute(select(PIECE.c.tag, PIECE.c.id)).all())
        since = DAY.isoformat()
        loans = [("B-250", "Kim", ""), ("S-1", "Jo", "J-701")]
        work.connection.execute(
            insert(LOAN),
            [{"piece_id": ids[tag], "to_name": to, "since": since, "job": job} for tag, to, job in loans],
        )
        held = {"piece_id": ids["P-1"], "day": since, "for_what": "job J-701"}
        work.connection.execute(insert(HOLD).values(held))
        work.commit()

    def off(asker: Asker) -> set[str]:
        with reading(filled) as work:
            return set(read_shelf(work, on=DAY, asker=asker).off)

    assert off(Asker()) == {"B-250", "S-1", "P-1", "G-1000"}
    assert off(Asker("kim ")) == {"S-1", "P-1", "G-1000"}
    assert off(Asker("Kim", "J-701")) == {"G-1000"}
    assert off(Asker(work="job j-701")) == {"B-250", "G-1000"}
