"""The shop's settings: their defaults, how they are typed, and that what is written reads back as the same."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import Length, Units
from broachplan.settings import ABOUT, NAMES, Settings, changed, written

THOU = 25_400
LENGTHS = (
    "bushing_clearance", "slot_clearance", "shim_clearance", "support_height", "loose_play", "rub_step",
    "joint_film", "wall_least", "inspect_length", "regrind_length", "error_micrometer", "error_height_gauge",
    "error_caliper", "error_nominal", "error_reading",
)  # fmt: skip
FACTORS = ("chip_factor_brittle", "chip_factor_ductile", "dull_edge", "column_safety", "slender_ratio")
# Least and most of the factors that go under 1 or not up to 20.
RANGES = {"column_ends": ("0.25", "4"), "column_safety": ("0.5", "20")}


def test_the_defaults_are_those_of_the_rules() -> None:
    # Common practice without a source, or memory; marked so.
    assert Settings() == Settings(
        units=None,
        bushing_clearance=Length(5 * THOU),
        slot_clearance=Length(4 * THOU),
        shim_clearance=Length(30 * THOU),
        stack_most=4,
        chip_factor_brittle=Fraction("1.5"),
        chip_factor_ductile=Fraction(2),
        press_share=Fraction("0.7"),
        dull_edge=Fraction("1.3"),
        column_ends=Fraction(1),
        column_safety=Fraction(1),
        slender_ratio=Fraction(3),
        support_height=Length(0),
        loose_play=Length(5 * THOU),
        rub_step=Length(THOU),
        joint_film=Length(5_000),
        error_micrometer=Length(5_000),
        error_height_gauge=Length(20_000),
        error_caliper=Length(30_000),
        error_nominal=Length(50_000),
        error_reading=Length(10_000),
        hardness_hrc=35,
        wall_least=None,
        inspect_cuts=None,
        inspect_length=None,
        regrind_cuts=None,
        regrind_length=None,
        inspect_days=None,
    )


def test_every_setting_says_what_it_is_about_and_where_it_comes_from() -> None:
    assert set(ABOUT) == set(NAMES) == {entry.name for entry in fields(Settings)}
    assert all(about["about"] and about["source"] for about in ABOUT.values())
    assert ABOUT["press_share"]["source"] == "from memory"


@pytest.mark.parametrize(("name", "ends"), RANGES.items())
def test_the_column_s_factors_have_ranges_of_their_own(name: str, ends: tuple[str, str]) -> None:
    low, high = ends
    for text in ends:
        assert getattr(changed(Settings(), name, text), name) == Fraction(text)
    for text in (f"{low[:-1]}{int(low[-1]) - 1}", f"{high}.01"):
        with pytest.raises(InputError, match=f"{name}: read “{text}”; write a number from {low} to {high}"):
            changed(Settings(), name, text)


def test_settings_cannot_be_changed_in_place() -> None:
    with pytest.raises(FrozenInstanceError, match="cannot assign to field"):
        Settings().stack_most = 5  # type: ignore[misc]


@st.composite
def any_settings(draw: st.DrawFn) -> Settings:
    lengths = {name: Length(draw(st.integers(1, 10**9))) for name in LENGTHS}
    factors = {name: 1 + Fraction(draw(st.integers(0, 1900)), 100) for name in FACTORS}
    return Settings(
        **lengths | factors | {
            "units": draw(st.none() | st.sampled_from(Units)),
            "press_share": Fraction(draw(st.integers(1, 1000)), 1000),
            "column_ends": Fraction(draw(st.integers(25, 400)), 100),
            "stack_most": draw(st.integers(1, 6)),
            "hardness_hrc": draw(st.integers(1, 70)),
            "support_height": Length(draw(st.integers(0, 10**9))),
            "currency": draw(st.none() | st.sampled_from(("USD", "SEK"))),
            "make_shim_cost": draw(st.none() | st.integers(0, 10**9)),
            "wall_least": draw(st.none() | st.integers(1, 10**9).map(Length)),
        }
    )  # fmt: skip


@given(any_settings())
def test_every_setting_written_and_typed_again_is_the_same(settings: Settings) -> None:
    again = Settings()
    for name in NAMES:
        again = changed(again, name, written(settings, name))

    assert again == settings


@given(any_settings(), st.sampled_from(NAMES))
def test_a_change_touches_no_other_setting(settings: Settings, name: str) -> None:
    after = changed(settings, name, written(Settings(), name))

    assert after == replace(settings, **{name: getattr(Settings(), name)})


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("make_shim_cost", "12.5", 1250),
        ("make_bushing_cost", "none", None),
        ("currency", "EUR", "EUR"),
        ("units", " MM ", Units.MM),
        ("units", "fraction", Units.FRACTION),
        ("units", " As typed", None),
        ("slot_clearance", "5 thou", Length(5 * THOU)),
        ("joint_film", "0,005 mm", Length(5_000)),
        ("press_share", "0.65", Fraction("0.65")),
        ("press_share", "2/3", Fraction(2, 3)),
        ("press_share", "1", Fraction(1)),
        ("dull_edge", "1", Fraction(1)),
        ("dull_edge", "20", Fraction(20)),
        ("stack_most", "1", 1),
        ("stack_most", "6", 6),
        ("hardness_hrc", "70", 70),
        ("wall_least", "None", None),
        ("wall_least", "3 mm", Length(3_000_000)),
        ("support_height", "none", Length(0)),
    ],
)
def test_a_setting_is_read_as_its_kind(name: str, text: str, value: object) -> None:
    assert getattr(changed(Settings(), name, text), name) == value


@pytest.mark.parametrize(
    ("name", "text", "right"),
    [
        ("units", "furlong", "units: read “furlong”; write as typed, inch, fraction or mm"),
        ("stack_most", "0", "stack_most: read “0”; write a whole number from 1 to 6"),
        ("stack_most", "7", "write a whole number from 1 to 6"),
        ("stack_most", "2.5", "write a whole number from 1 to 6"),
        ("stack_most", "-1", "write a whole number from 1 to 6"),
        ("stack_most", "٣", "write a whole number from 1 to 6"),
        ("hardness_hrc", "71", "write a whole number from 1 to 70"),
        ("hardness_hrc", "9" * 5000, "write a whole number from 1 to 70"),
        ("press_share", "0", "press_share: read “0”; write a number above 0, at most 1, for example 0.7"),
        ("press_share", "1.0001", "at most 1"),
        ("press_share", "-0.5", "at most 1"),
        ("press_share", "70 %", "at most 1"),
        ("dull_edge", "0.9999", "dull_edge: read “0.9999”; write a number from 1 to 20, for example 1.5"),
        ("dull_edge", "20.0001", "a number from 1 to 20"),
        ("dull_edge", "1e1", "a number from 1 to 20"),
        ("dull_edge", "1_0", "a number from 1 to 20"),
        ("dull_edge", "1/0", "a number from 1 to 20"),
        ("dull_edge", "nan", "a number from 1 to 20"),
        ("dull_edge", "inf", "a number from 1 to 20"),
        ("dull_edge", "9**9**9", "a number from 1 to 20"),
        ("dull_edge", "", "a number from 1 to 20"),
        ("slot_clearance", "0.004", "slot_clearance: read “0.004” without a unit"),
        ("slot_clearance", "none", "slot_clearance: read “none”; write a number and its unit"),
        ("slot_clearance", "0 mm", "must be above zero"),
        ("wall_least", "-1 mm", "must be above zero"),
        ("web", "1 mm", "setting: read “web”; there are: units, bushing_clearance, "),
        ("__class__", "1", "setting: read “__class__”; there are: units, "),
        ("", "1", "setting: read “”; there are: units, "),
    ],
)
def test_what_does_not_fit_a_setting_is_refused_with_what_would(name: str, text: str, right: str) -> None:
    with pytest.raises(InputError, match=right) as raised:
        changed(Settings(), name, text)

    assert str(raised.value).isprintable()
