"""By which day the shop begins what it makes, and which piece a job that clashes lacks."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from broachplan.buying.in_use import pieces_in_use
from broachplan.buying.start_by import start_by
from broachplan.crib.ahead import Snapshot
from broachplan.planner.answer import Make
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from tests.buying.shop import MONDAY, assigned, job, judge, stock

BUSHING, SHIM, BROACH = (Make(kind, {}, {}, "") for kind in (Kind.BUSHING, Kind.SHIM, Kind.BROACH))
# A Wednesday.
WANTED = date(2026, 12, 16)


def test_what_takes_three_days_for_a_wednesday_is_begun_on_the_friday_before() -> None:
    """Begun on the Friday it is there on Monday, and used from Tuesday; from Saturday on it would be too late, or the shop is shut."""
    found = start_by("J-1", [BUSHING], WANTED, WANTED - timedelta(days=20), Settings(make_bushing_days=3))

    assert found is not None
    assert (found.day, found.late) == (date(2026, 12, 11), False)


def test_the_longest_of_several_pieces_decides_and_a_day_that_is_past_is_late() -> None:
    shop = Settings(make_bushing_days=1, make_shim_days=9)

    found = start_by("J-1", [BUSHING, SHIM, SHIM], WANTED, date(2026, 12, 7), shop)

    assert found is not None
    assert (found.kinds, found.days) == ((Kind.BUSHING, Kind.SHIM), 9)
    assert (found.day, found.late) == (date(2026, 12, 4), True)


def test_no_day_is_known_while_the_shop_has_not_said_how_long_one_of_the_pieces_takes() -> None:
    found = start_by("J-1", [BUSHING, SHIM], WANTED, WANTED, Settings(make_bushing_days=1))

    assert found is not None
    assert (found.day, found.days) == (None, None)


@pytest.mark.parametrize("make", [[], [BROACH], [BUSHING, BROACH]])
def test_what_a_shop_does_not_make_is_not_begun(make: list[Make]) -> None:
    assert start_by("J-1", make, WANTED, WANTED, Settings(make_bushing_days=1)) is None


@pytest.mark.parametrize(
    ("crib", "lacks"),
    [
        (stock(broaches=1, bushings=2, sets=2), {"K"}),
        (stock(broaches=2, bushings=1, sets=2), {"G"}),
    ],
)
def test_of_the_pieces_that_the_other_job_has_only_those_that_bar_this_one_are_said(
    crib: Snapshot, lacks: set[str]
) -> None:
    found = assigned(crib, job("W-1"), job("W-2"))

    in_use = pieces_in_use(found.of("W-2"), found, judge(crib))

    assert {each.tag for each in in_use} == lacks
    assert {each.number for each in in_use} == {"W-1"}


def test_where_only_the_shims_are_short_it_is_the_shims_that_are_said() -> None:
    crib = stock(broaches=2, bushings=2, sets=1)
    found = assigned(crib, job("W-1"), job("W-2"))

    tags = {each.tag for each in pieces_in_use(found.of("W-2"), found, judge(crib))}

    assert tags
    assert tags <= {shim.tag for shim in crib.shelf.shims}
    assert found.of("W-1").job.days == (MONDAY,)
