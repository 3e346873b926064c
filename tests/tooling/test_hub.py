"""The hub on the press: what it may be, and its hardness as people write it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.lengths import Length, Limits
from broachplan.tooling.hub import Hardness, Hub, Scale, parse_hardness

MM = Length.mm
HUB = Hub(bore=Limits(MM(25), MM(25), MM("25.021")), length=MM(17))


@given(st.integers(1, 10**9), st.integers(1, 100))
def test_the_cut_is_as_long_as_all_the_hubs_of_a_stack(nm: int, stack: int) -> None:
    assert replace(HUB, length=Length(nm), stack=stack).cut_length == Length(nm * stack)


@pytest.mark.parametrize("stack", [0, -1, 101])
def test_a_stack_is_one_to_a_hundred_hubs(stack: int) -> None:
    with pytest.raises(InputError, match=rf"stack: read {stack}; a stack is 1 to 100 hubs"):
        replace(HUB, stack=stack)


def test_length_and_bore_are_above_zero() -> None:
    with pytest.raises(InputError, match=r"a hub's length and bore must be above zero"):
        replace(HUB, length=Length(0))
    with pytest.raises(InputError, match=r"a hub's length and bore must be above zero"):
        replace(HUB, bore=Limits(MM(1), Length(0), MM(1)))
    assert replace(HUB, length=Length(1), bore=Limits.exactly(Length(1))).stack == 1


def test_the_outside_is_more_than_the_largest_bore() -> None:
    assert replace(HUB, outside_diameter=MM("25.021") + Length(1)).outside_diameter == Length(25_021_001)
    with pytest.raises(
        InputError, match=r"hub outside diameter 25.021 mm: it must be more than the bore, 25.021 mm"
    ):
        replace(HUB, outside_diameter=MM("25.021"))


@pytest.mark.parametrize(
    ("text", "value", "scale"),
    [("28 HRC", 28, Scale.HRC), ("28hrc", 28, Scale.HRC), (" 200 HB ", 200, Scale.HB), ("320 HBW", 320, Scale.HB), ("1 Hrc", 1, Scale.HRC)],
)  # fmt: skip
def test_a_hardness_is_a_number_and_its_scale(text: str, value: int, scale: Scale) -> None:
    assert parse_hardness(text) == Hardness(value, scale)


@pytest.mark.parametrize(
    "text", ["", "28", "HRC", "28 HV", "28.5 HRC", "-28 HRC", "0 HRC", "1000 HB", "28 HRC 30", "٢٨ HRC", "28\nHRC", "28 HRC\x1b", "9" * 5000]
)  # fmt: skip
def test_any_other_hardness_is_refused(text: str) -> None:
    with pytest.raises(
        InputError, match=r"hardness: read “.*; write a number and its scale, for example 28 HRC"
    ) as raised:
        parse_hardness(text)

    assert str(raised.value).isprintable()
