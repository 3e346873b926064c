"""The fewest shims that the rest of a sequence handles, against every continuation."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from broachplan.planner import bits
from broachplan.planner.tails import tails_of

TOTALS = range(16)


@given(
    st.lists(st.integers(0, 4), min_size=len(TOTALS), max_size=len(TOTALS)),
    st.lists(st.sets(st.sampled_from(TOTALS), min_size=1), min_size=1, max_size=4),
    st.integers(1, 15),
)
def test_each_total_is_kept_under_the_fewest_shims_of_all_the_ways_on(
    made_of: list[int], passes: list[set[int]], step: int
) -> None:
    by_count = [sum(1 << total for total in TOTALS if made_of[total] == count) for count in range(5)]
    fewest = [{total: made_of[total] for total in passes[-1]}]
    for totals in reversed(passes[:-1]):
        ways = {total: [n for after, n in fewest[0].items() if 0 < after - total <= step] for total in totals}
        fewest.insert(0, {total: made_of[total] + min(on) for total, on in ways.items() if on})
    places = [sum(1 << total for total in totals) for totals in passes]

    tails = tails_of(by_count, places, lambda after: bits.below(after, step))

    assert [
        {total: handled for handled, places in tail.items() for total in bits.members(places)}
        for tail in tails
    ] == fewest
    assert all(places for tail in tails for places in tail.values())
