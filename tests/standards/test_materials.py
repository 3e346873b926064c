"""The table of cutting forces against what its sources print, and the rank of the steels."""

from __future__ import annotations

from itertools import pairwise
from math import exp, log

import pytest

from broachplan.standards.materials import ForceFigures, MaterialRow, material_rows, name_rows

TABLE = {row.name: row for row in material_rows()}
every_row = pytest.mark.parametrize("row", TABLE.values(), ids=TABLE)
THINNEST_MM = 0.02
DULLED = 1.3
CHIPS_MM = [chip / 1000 for chip in range(10, 201)]
SHORT_TON_PER_IN2 = 2000 * 4.4482216152605 / 645.16

# Handbook broaching section, table of pressures in short tons per square inch at rises in inches: from memory.
PRESSURES = {
    "steel of high tensile strength": {0.001: 312, 0.002: 250, 0.004: 200},
    "steel of medium tensile strength": {0.001: 243, 0.002: 185, 0.004: 158, 0.006: 143},
    "cast steel": {0.002: 158, 0.004: 128},
    "cast iron": {0.002: 143, 0.004: 115, 0.010: 115},
    "malleable iron": {0.002: 128, 0.004: 108},
    "wrought aluminium": {0.004: 70},
    "cast aluminium": {0.004: 85},
    "cast brass": {0.004: 50},
    "cast bronze": {0.010: 35},
}
# Softest first; materials of one place in the rank need not rank among themselves.
RANK = (
    ("free-machining steel",),
    ("mild steel",),
    ("medium-carbon steel",),
    ("high-carbon steel", "case-hardening steel annealed", "nickel-chrome steel"),
    ("alloy steel quenched and tempered",),
)


def kc(figures: ForceFigures, chip_mm: float) -> float:
    return float(figures.kc11 * max(chip_mm, THINNEST_MM) ** -figures.mc)


def power_law(pressures: dict[float, int]) -> tuple[float, float]:
    """Least squares through the logarithms of chip (mm) and pressure (N/mm2): kc1.1 and mc."""
    points = [(log(rise * 25.4), log(tons * SHORT_TON_PER_IN2)) for rise, tons in pressures.items()]
    x0 = sum(x for x, _ in points) / len(points)
    y0 = sum(y for _, y in points) / len(points)
    slope = sum((x - x0) * (y - y0) for x, y in points) / sum((x - x0) ** 2 for x, _ in points)
    return exp(y0 - slope * x0), -slope


@every_row
def test_every_figure_names_its_source_and_how_it_is_known(row: MaterialRow) -> None:
    for figures in (row.low, row.high):
        assert figures.source
        assert figures.status in ("read", "memory")
        assert figures.kc11 > 0
        assert 0 <= figures.mc < 0.5


@pytest.mark.parametrize("side", ["low", "high"])
@pytest.mark.parametrize(("softer", "harder"), list(pairwise(RANK)))
def test_steels_rank_from_free_machining_to_quenched_and_tempered_at_every_chip(
    softer: tuple[str, ...], harder: tuple[str, ...], side: str
) -> None:
    """Common practice, no source: a harder steel takes no less force than a softer one."""
    for one in softer:
        for other in harder:
            below, above = getattr(TABLE[one], side), getattr(TABLE[other], side)
            assert all(kc(below, chip) <= kc(above, chip) for chip in CHIPS_MM), (one, other)


@pytest.mark.parametrize("side", ["low", "high"])
@pytest.mark.parametrize("iron", ["grey cast iron", "grey cast iron 200 HB"])
def test_grey_iron_takes_less_force_than_mild_steel_at_every_chip(iron: str, side: str) -> None:
    below, above = getattr(TABLE[iron], side), getattr(TABLE["mild steel"], side)

    assert all(kc(below, chip) < kc(above, chip) for chip in CHIPS_MM)


@every_row
def test_the_low_law_is_never_above_the_high_one_of_a_dulled_edge(row: MaterialRow) -> None:
    assert all(kc(row.low, chip) <= DULLED * kc(row.high, chip) for chip in CHIPS_MM)


@every_row
def test_a_material_with_one_family_of_sources_says_so(row: MaterialRow) -> None:
    alone = (row.low.kc11, row.low.mc) == (row.high.kc11, row.high.mc)

    assert row.high.source.startswith("one family of sources alone") is alone


@every_row
def test_a_low_law_by_broaching_pressures_goes_through_the_handbooks_points(row: MaterialRow) -> None:
    what = next((name for name in PRESSURES if row.low.source.startswith((name + ":", name + " ("))), None)
    assert (what is not None) is ("broaching pressures" in row.low.source)
    if what is None:
        return
    pressures = PRESSURES[what]
    kc11, mc = power_law(pressures) if len(pressures) > 1 else (0.0, 0.0)
    if not mc:
        ((_, tons),) = pressures.items()
        assert row.low.mc == 0
        assert row.low.kc11 == pytest.approx(tons * SHORT_TON_PER_IN2, rel=0.001)
        return
    for chip in (0.02, *(rise * 25.4 for rise in pressures), 0.2):
        assert kc(row.low, chip) == pytest.approx(kc11 * chip**-mc, rel=0.003)


@pytest.mark.parametrize(
    ("name", "worst"),
    [("mild steel", 0.05), ("alloy steel quenched and tempered", 0.01), ("grey cast iron", 0.09)],
)
def test_the_power_law_misses_no_handbook_pressure_by_more_than_its_source_says(
    name: str, worst: float
) -> None:
    low = TABLE[name].low
    pressures = next(PRESSURES[what] for what in PRESSURES if low.source.startswith(what))

    for rise, tons in pressures.items():
        assert kc(low, rise * 25.4) == pytest.approx(tons * SHORT_TON_PER_IN2, rel=worst)
    assert f"within {worst * 100:.0f} %" in low.source


@pytest.mark.parametrize(
    ("name", "kc11", "mc"),
    [
        ("mild steel", 1811, 0.162),
        ("nickel-chrome steel", 2394, 0.201),
        ("cast steel", 1817, 0.152),
        ("case-hardening steel annealed", 2100, 0.26),
        ("alloy steel quenched and tempered", 2500, 0.26),
        ("grey cast iron", 1160, 0.26),
    ],
)
def test_high_figures_that_were_read_are_those_of_the_printed_table(
    name: str, kc11: float, mc: float
) -> None:
    """Lathe chuck manual RN-1391, p. 43, table 2: St 42, Mn and CrNi steel, GS-52, 16MnCr5, 42CrMo4, EN-GJL-250."""
    high = TABLE[name].high

    assert (high.kc11, high.mc, high.status) == (kc11, mc, "read")
    assert "RN-1391" in high.source


@pytest.mark.parametrize(
    ("name", "kc11", "mc"),
    [("medium-carbon steel", 2220, 0.14), ("high-carbon steel", 2130, 0.18), ("austenitic stainless steel", 2350, 0.21)],
)  # fmt: skip
def test_high_figures_from_memory_are_marked_so(name: str, kc11: float, mc: float) -> None:
    """C45, C60 and austenitic stainless steel, kc1.1 and mc from memory: no truth, only that they are marked."""
    high = TABLE[name].high

    assert (high.kc11, high.mc, high.status) == (kc11, mc, "memory")


def test_no_material_replaces_manganese_steel_and_it_replaces_none() -> None:
    assert not [row.name for row in material_rows() if "manganese" in row.low.source + row.high.source]
    assert [row.name for row in material_rows() if "stand-in" in row.high.source] == ["tool steel annealed"]


def test_names_are_distinct_and_plain() -> None:
    names = [row.name for row in material_rows()]

    assert len({name.lower() for name in names}) == len(names)
    assert all("," not in name and name == " ".join(name.split()) for name in names)


def test_every_other_name_has_its_material_and_its_source() -> None:
    others = [row.name.lower() for row in name_rows()]

    assert len(set(others)) == len(others)
    assert not {name.lower() for name in TABLE} & set(others)
    for row in name_rows():
        assert row.material in TABLE
        assert (
            "memory" in row.source
            or "no source" in row.source
            or "table" in row.source
            or row.source == "spelling"
        )


def test_only_grey_iron_is_called_brittle() -> None:
    assert {row.name for row in material_rows() if row.group == "brittle"} == {
        "grey cast iron",
        "grey cast iron 200 HB",
    }
    assert {row.group for row in material_rows()} == {"brittle", "ductile"}


def test_grey_iron_of_200_hb_has_the_constant_of_keyway_push_broaching() -> None:
    """Published course problem with solution, keyway push broaching, 2011: 1500 N/mm2."""
    assert (TABLE["grey cast iron 200 HB"].low.kc11, TABLE["grey cast iron 200 HB"].low.mc) == (1500, 0)
