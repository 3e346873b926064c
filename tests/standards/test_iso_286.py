"""Width limits by fit against the package pressfit (ISO 286), an implementation that is not ours."""

from __future__ import annotations

import pytest
from pressfit import fit

from broachplan.errors import InputError
from broachplan.lengths import Length, System
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.standards.iso_286 import (
    bore_zones,
    key_limits,
    keyway_width,
    keyway_zones,
    read_sized,
    woodruff_height,
)
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.table import Zone

HUB = {"close": "P9", "normal": "JS9", "free": "D10"}
SHAFT = {"close": "P9", "normal": "N9", "free": "H9"}
OUTSIDE_PRESSFIT = "N9"  # over 3 mm a hole N is not the mirror of a shaft n: only its width can be checked


def deviations_in_um(zone: str, size_mm: float) -> tuple[float, float]:
    """Lower and upper deviation by pressfit: holes but H by mirroring the shaft of the same letter."""
    if zone[0] == "H":
        found = fit(f"{size_mm} {zone}/h9")
        return found.hole_ei_um, found.hole_es_um
    found = fit(f"{size_mm} H9/{zone.lower()}")
    if zone[0] == "h":
        return found.shaft_ei_um, found.shaft_es_um
    return -found.shaft_es_um, -found.shaft_ei_um


def sizes(zone: Zone) -> list[float]:
    return [zone.over.nm / 1e6 + 0.5, (zone.over.nm + zone.to.nm) / 2e6, zone.to.nm / 1e6]


# pressfit has no grade over 11.
GRADES_OF_PRESSFIT = [zone for zone in keyway_zones() if zone.labels[2] != "h12"]


@pytest.mark.parametrize(
    "zone", GRADES_OF_PRESSFIT, ids=lambda zone: f"{zone.labels[2]}-{zone.to.nm // 10**6}"
)
def test_every_zone_is_that_of_pressfit_where_it_can_speak(zone: Zone) -> None:
    for size in sizes(zone):
        lower, upper = deviations_in_um(zone.labels[2], size)

        assert (zone.upper - zone.lower).nm == round((upper - lower) * 1000)
        if zone.labels[2] != OUTSIDE_PRESSFIT or zone.to == Length.mm(3):
            assert (zone.lower.nm, zone.upper.nm) == (round(lower * 1000), round(upper * 1000))


def test_h12_is_ten_times_h7() -> None:
    """ISO 286-1: from grade 6 on, a tolerance is ten times that of five grades less."""
    twelve = [zone for zone in keyway_zones() if zone.labels[2] == "h12"]

    assert [zone.to for zone in twelve] == [Length.mm(size) for size in (3, 6, 10, 18)]
    for zone in twelve:
        for size in sizes(zone):
            assert zone.lower.nm == 10 * round(fit(f"{size} H7/h7").shaft_ei_um * 1000)
            assert zone.upper == Length(0)


def test_a_woodruff_key_is_h12_high() -> None:
    found = woodruff_height(Length.mm("7.5"))

    assert found is not None
    assert (found.labels[2], found.status) == ("h12", "memory")
    assert woodruff_height(Length.mm("18.001")) is None


def test_n9_over_3_mm_lies_from_zero_down() -> None:
    """ISO 286: the upper deviation of hole N from grade 9 on, over 3 mm, is zero."""
    found = [zone for zone in keyway_zones() if zone.labels[2] == "N9" and zone.to > Length.mm(3)]

    assert len(found) == 7
    assert all(zone.upper == Length(0) for zone in found)


@pytest.mark.parametrize(("part", "zones"), [("hub", HUB), ("shaft", SHAFT)])
def test_each_fit_names_its_zone_for_every_key_of_the_table(part: str, zones: dict[str, str]) -> None:
    for key in metric_keys():
        for name, wanted in zones.items():
            zone = keyway_width(name, part, key.width)
            assert zone is not None
            assert zone.labels == (name, part, wanted)


def test_a_square_key_is_as_loose_in_height_as_in_width_and_others_are_h11() -> None:
    for key in metric_keys():
        width, height = key_limits(key.width, key.height)
        assert width is not None
        assert height is not None
        assert height.labels[2] == ("h9" if key.width == key.height else "h11")


def test_outside_the_table_there_are_no_limits() -> None:
    assert keyway_width("normal", "hub", Length.mm("120.001")) is None
    assert keyway_width("loose", "hub", Length.mm(8)) is None


@pytest.mark.parametrize("name", ["H6", "H7", "H8", "H9"])
def test_every_bore_zone_is_that_of_pressfit_up_to_500_mm(name: str) -> None:
    rows = [zone for zone in bore_zones() if zone.labels == (name,)]

    assert [zone.over for zone in rows[1:]] == [zone.to for zone in rows[:-1]]
    assert (rows[0].over, rows[-1].to) == (Length(0), Length.mm(500))
    for zone in rows:
        assert zone.status == "read"
        for size in sizes(zone):
            lower, upper = deviations_in_um(name, size)
            assert (zone.lower.nm, zone.upper.nm) == (round(lower * 1000), round(upper * 1000))


def test_a_zone_behind_a_size_in_millimetres_is_its_limits() -> None:
    """ISO 286-2 as workshop tables print it: 25 H7 is +21 to 0 um, 8 P9 is -15 to -51, 8 JS9 +-18."""
    bore = read_sized(" 25  mm H7 ", "bore")
    assert (bore.limits.nominal.nm, bore.limits.lower.nm, bore.limits.upper.nm) == (
        25_000_000,
        25_000_000,
        25_021_000,
    )
    assert (bore.system, bore.toleranced) == (System.METRIC, True)
    assert read_sized("2.5 cm H7") == bore
    width = read_sized("8 mm P9").limits
    assert (width.lower.nm, width.upper.nm) == (7_949_000, 7_985_000)
    both_ways = read_sized("8 mm JS9").limits
    assert (both_ways.lower.nm, both_ways.upper.nm) == (7_982_000, 8_018_000)

    hub, _ = read_hub_question(HubQuestion(bore="25 mm H7", hub_length="40 mm"))
    assert (hub.bore, hub.bore_toleranced) == (bore.limits, True)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("25 mm h7", "bore: read “25 mm h7”, and h7 is not known; the zones known here are H6, H7, H8, H9, D10, JS9, N9, P9"),
        ("25 mm H11", "bore: read “25 mm H11”, and H11 is not known; the zones known here are H6, H7, H8, H9, D10, JS9, N9, P9"),
        ("1 in H7", "bore: read “1 in H7”; a zone follows a size in millimetres"),
        ("500.001 mm H7", "bore: read “500.001 mm H7”; H7 is known here to 500 mm"),
        ("25 mm +0.021 0 H7", "bore: read “25 mm +0.021 0 H7”; write deviations or a zone, not both"),
        ("25 H7", "bore: read “25 H7” without a unit; write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm"),
        ("25 mm\u00a0H7\u0661", "bore: read “25 mm\\u00a0H7\u0661”"),
    ],
)  # fmt: skip
def test_another_zone_or_size_is_refused_by_name(text: str, why: str) -> None:
    with pytest.raises(InputError) as refused:
        read_sized(text, "bore")

    assert str(refused.value).startswith(why)
