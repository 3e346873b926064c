"""What is asked about while a piece can still be measured again."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, box

from broachplan.crib.doubts import Beside, doubts, webs_by_slot_depth
from broachplan.lengths import Length
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import Value


def inches(text: str) -> Length:
    return Length.inches(text)


def bushing(web: str) -> dict[str, Value | None]:
    return {"outside_diameter": inches("1"), "slot_width": inches("0.25"), "web": inches(web)}


@given(
    outside=st.integers(500, 3000),
    slot=st.integers(10, 70),
    web=st.integers(15, 45),
    slip=st.sampled_from((-50, 50)),
)
def test_a_web_off_by_fifty_thousandths_is_asked_about_whichever_way_the_slot_depth_was_taken(
    outside: int, slot: int, web: int, slip: int
) -> None:
    """The depth as a gauge across the slot's mouth reads it, by the outline of the slotted bushing."""
    radius, half, floor = outside / 2, outside * slot / 200, outside * web // 100
    walls = Point(0, 0).buffer(radius, quad_segs=2000).intersection(box(half, -radius, radius, radius))
    mouth = max(y for x, y in walls.exterior.coords if abs(x - half) < 1e-6)
    figures: dict[str, Value | None] = {
        "outside_diameter": inches(f"{outside}/1000"),
        "slot_width": inches(str(2 * half / 1000)),
    }
    from_round, from_mouth = outside - floor, mouth + radius - floor
    for depth in (from_round, from_mouth):
        measured = inches(str(round(depth, 3) / 1000))
        right = doubts(Kind.BUSHING, {**figures, "web": inches(f"{floor}/1000")}, None, measured)
        assert right == ()
        others = [
            abs(floor + slip - each.nm / 25_400) for each in webs_by_slot_depth(*_sizes(figures, measured))
        ]
        asked = doubts(Kind.BUSHING, {**figures, "web": inches(f"{floor + slip}/1000")}, None, measured)
        # Only where the arc is as high as the slip can the one pass for the other.
        assert bool(asked) == (min(others) > 10)


def _sizes(figures: dict[str, Value | None], depth: Length) -> tuple[Length, Length, Length]:
    outside, slot = figures["outside_diameter"], figures["slot_width"]
    assert isinstance(outside, Length)
    assert isinstance(slot, Length)
    return outside, depth, slot


def test_a_slip_against_the_slot_depth_names_all_three_figures() -> None:
    (asked,) = doubts(Kind.BUSHING, bushing("0.45"), None, inches("0.6"))
    assert asked.figure == "web"
    assert asked.words.startswith(
        "web 0.45 in, but outside diameter less slot depth is 0.4 in: 0.05 in apart"
    )
    assert doubts(Kind.BUSHING, bushing("0.405"), None, inches("0.6")) == ()
    assert doubts(Kind.BUSHING, bushing("0.384"), None, inches("0.6")) == ()


def test_a_figure_far_from_the_rest_of_the_box_is_asked_about_and_a_near_one_is_not() -> None:
    box_of_shims = Beside(ranges={"thickness": (inches("0.031"), inches("0.0625"))})
    near = {"thickness": inches("0.125"), "width": inches("0.25")}
    assert doubts(Kind.SHIM, near, box_of_shims) == ()
    for slipped in (inches("0.31"), inches("0.0062"), Length.inches("0.0312") * 25):
        (asked,) = doubts(Kind.SHIM, {**near, "thickness": slipped, "width": inches("2")}, box_of_shims)
        assert "far from the others in the box, 0.031 in to 0.0625 in" in asked.words


def test_a_bushing_of_the_same_size_whose_web_differs_by_more_than_ten_thousandths_is_asked_about() -> None:
    # The two of one size that a shop measured: 0.110 and 0.1026 in (a forum's account).
    beside = Beside(webs={"GU-1": inches("0.110")})
    assert doubts(Kind.BUSHING, bushing("0.1026"), beside) == ()
    (asked,) = doubts(Kind.BUSHING, bushing("0.160"), beside)
    assert "but GU-1, of the same diameter and slot, has 0.11 in" in asked.words


def test_a_reading_over_a_broach_that_the_bushing_itself_gives_is_asked_about() -> None:
    # A tooth below the round: flat anvils rest on the bushing's own round, 1 in apart.
    (asked,) = doubts(Kind.BUSHING, bushing("0.35"), over=inches("1"))
    assert asked.words.startswith("1 in over the broach is not more than the outside diameter, 1 in")
    assert doubts(Kind.BUSHING, bushing("0.35"), over=inches("1.001")) == ()


def test_figures_of_one_piece_that_contradict_each_other_are_asked_about() -> None:
    broach = {
        "keyway_width": inches("0.25"),
        "first_tooth_height": inches("0.5"),
        "last_tooth_height": inches("0.9"),
        "body_width": inches("0.4"),
    }
    assert [each.figure for each in doubts(Kind.BROACH, broach)] == ["body_width", "last_tooth_height"]
    shim = {"thickness": inches("0.25"), "width": inches("0.0312")}
    assert [each.figure for each in doubts(Kind.SHIM, shim)] == ["thickness"]
