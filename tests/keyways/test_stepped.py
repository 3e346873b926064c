"""Stepped keys: drawn as polygons with their shaft and bore, they touch neither where they should be clear."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon, box
from shapely.ops import unary_union

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint, Stepped
from broachplan.keyways.key import read_key
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length, parse_length
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.named import Fit, Shape, Standard

QUAD_SEGS = 4096


def mixed(
    diameter: str, key: str, hub_key: str, standard: Standard = Standard.INCH, shape: Shape | None = None
) -> Joint:
    return joint(
        parse_length(diameter),
        standard=standard,
        key=read_key(key, standard) if key else None,
        shape=shape,
        hub_key=read_key(hub_key, standard),
    )


def stepped(answer: Joint) -> Stepped:
    assert answer.stepped is not None
    return answer.stepped


def test_a_wider_key_in_the_hub() -> None:
    """ASME B17.1: H/2 and 5/32 in over and under the edges, whose arcs differ; depths +0.015 in the shaft."""
    answer = mixed("1 in", "1/4 in", "5/16 in")
    own, hub = mixed("1 in", "1/4 in", "1/4 in"), mixed("1 in", "5/16 in", "5/16 in")
    key = stepped(answer)

    assert (answer.shaft, answer.hub) == (own.shaft, hub.hub)
    assert key.step == Length.inches("1/32")
    assert key.height.nominal == hub.over_key - own.shaft.reading.nominal
    assert key.in_shaft.nominal == key.in_shaft.lower
    assert key.in_shaft.lower == Length.inches("1/8") + Length.inches("0.015")
    assert answer.clearances[0].top.lower == own.clearances[0].top.lower
    assert "key 5/16 x 5/16 in is not the table's for 1 in" in answer.remarks[0]
    assert answer.remarks[-1].endswith("(common practice, no source)")


def test_a_wider_key_in_the_shaft() -> None:
    key = stepped(mixed("25 mm", "8 mm", "6 mm", Standard.METRIC))

    assert key.step == Length.mm(1)
    assert key.height.nominal == Length.mm("6.5")
    assert key.in_shaft.upper == mixed("25 mm", "8 mm", "8 mm", Standard.METRIC).shaft.at_edge


def test_one_width_and_two_heights_need_no_step() -> None:
    key = stepped(mixed("1 in", "1/4 x 1/4 in", "1/4 x 3/16 in"))

    assert key.step == Length(0)
    assert not any("step" in remark for remark in mixed("1 in", "1/4 x 1/4 in", "1/4 x 3/16 in").remarks)
    assert key.height.nominal == Length.inches("7/32")


def test_like_keys_need_no_stepped_key() -> None:
    assert mixed("1 in", "1/4 in", "1/4 in").stepped is None


def shaft_and_hub(answer: Joint, seat: Length) -> tuple[Polygon, Polygon]:
    """Shaft and hub in mm with their keyways, their axis at 0; the shaft's floor at ``seat`` over its far side."""
    rho = answer.diameter.in_mm / 2
    disc = Point(0.0, 0.0).buffer(rho, quad_segs=QUAD_SEGS)
    half, half_hub = answer.shaft.width.upper.in_mm / 2, answer.hub.width.upper.in_mm / 2
    shaft = disc.difference(box(-half, seat.in_mm - rho, half, 2 * rho))
    roof = answer.hub.reading.lower.in_mm - rho
    hub = disc.buffer(2 * rho).difference(disc).difference(box(-half_hub, 0.0, half_hub, roof))
    return shaft, hub


def drawn(answer: Joint, seat: Length) -> Polygon:
    """The largest key lying on the shaft's floor; its step where it is to be kept clear of the wider part."""
    key = stepped(answer)
    floor = seat.in_mm - answer.diameter.in_mm / 2
    wide_hub = key.hub_width.nominal > key.shaft_width.nominal
    step = floor + (key.in_shaft.lower if wide_hub else key.in_shaft.upper).in_mm
    low, high = key.shaft_width.nominal.in_mm / 2, key.hub_width.nominal.in_mm / 2
    return unary_union([box(-low, floor, low, step), box(-high, step, high, floor + key.height.upper.in_mm)])


@settings(max_examples=20)
@given(st.data())
def test_the_step_clears_shaft_and_bore_at_the_ends_of_the_seat(data: st.DataObject) -> None:
    rows = [row for row in metric_keys() if row.width <= Length.mm(32)]
    own, hub_s = (data.draw(st.sampled_from(rows)) for _ in range(2))
    assume(own is not hub_s)
    least = max(own.width.nm, hub_s.width.nm)
    diameter = f"{data.draw(st.integers(2 * least, 6 * least)) / 1e6:.6f} mm"
    key, hub_key = (f"{row.width.in_mm:g} mm" for row in (own, hub_s))
    try:
        answer = joint(
            parse_length(diameter),
            standard=Standard.METRIC,
            key=read_key(key),
            hub_key=read_key(hub_key),
            fit=Fit.FREE,
        )
    except InputError:
        assume(False)
        raise
    off = answer.diameter.in_mm * 1e-4

    for seat in (answer.shaft.reading.lower, answer.shaft.reading.upper):
        shaft, hub = shaft_and_hub(answer, seat)
        shape = drawn(answer, seat)
        assert shape.intersection(shaft).area <= off * off
        assert shape.intersection(hub).area <= off * off


@pytest.mark.parametrize(
    ("diameter", "key", "hub_key", "standard", "shape", "message"),
    [
        ("1 in", "", "5/16 in", Standard.INCH, Shape.TAPER, "hub key: a stepped key is made of two parallel keys, and 1/4 x 1/4 in is taper"),
        ("1 in", "808", "809", Standard.WOODRUFF, None, r"hub key: .* and 808 \(1/4 x 1 in\) is woodruff"),
        ("1 in", "1/4 x 1/4 in", "5/16 x 1/64 in", Standard.INCH, None, "hub key: 1/4 x 1/4 in in the shaft and 5/16 x 1/64 in in the hub leave no height"),
        ("1 in", "1/4 in", "1-1/4 in", Standard.INCH, None, "it must be less than the bore or shaft, 1 in"),
        ("25 mm", "8 mm", "7 mm", Standard.METRIC, None, "the metric table has no key 7 mm wide"),
    ],
)  # fmt: skip
def test_keys_that_make_no_step_are_refused(
    diameter: str, key: str, hub_key: str, standard: Standard, shape: Shape | None, message: str
) -> None:
    with pytest.raises(InputError, match=message):
        mixed(diameter, key, hub_key, standard, shape)
