"""A piece's size in words: nominal where the measured figure settles it, else as measured."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import NM_PER_INCH, Length, Units, parse_length
from broachplan.paper.size_words import size_in_words
from broachplan.quantities import parse_force
from broachplan.tooling.pieces import Broach, Bushing, Pin, Press, Ring, Shim


@pytest.mark.parametrize(
    ("width", "words"),
    [
        ("0.2508 in", "broach 1/4 in"),
        ("0.2500 in", "broach 1/4 in"),
        ("0.0944 in", "broach 3/32 in"),
        ("0.3134 in", "broach 5/16 in"),
        ("8.004 mm", "broach 8 mm"),
        ("4.003 mm", "broach 4 mm"),
        ("0.2364 in", "broach 6 mm"),
        ("0.2490 in", "broach 0.2490 in"),
        ("0.2531 in", "broach 0.2531 in"),
    ],
)
def test_a_broach_is_called_by_the_width_it_cuts(width: str, words: str) -> None:
    assert size_in_words(Broach(tag="B-1", keyway_width=parse_length(width)), Units.INCH) == words


@pytest.mark.parametrize(
    ("outside", "slot", "words"),
    [
        ("1.4988 in", "0.3774 in", "bushing 1-1/2 in, slot 3/8 in"),
        ("1.3116 in", "0.3150 in", "bushing 1-5/16 in, slot 5/16 in"),
        ("27.976 mm", "8.039 mm", "bushing 28 mm, slot 8 mm"),
        ("24.975 mm", "0.2524 in", "bushing 25 mm, slot 1/4 in"),
        ("0.7490 in", "0.1898 in", "bushing 3/4 in, slot 3/16 in"),
        ("0.9500 in", "0.1950 in", "bushing 0.9500 in, slot 0.1950 in"),
    ],
)
def test_a_bushing_is_called_by_its_bore_and_its_slot(outside: str, slot: str, words: str) -> None:
    bushing = Bushing(tag="G-1", outside_diameter=parse_length(outside), slot_width=parse_length(slot))

    assert size_in_words(bushing, Units.INCH) == words


def test_a_figure_near_both_an_inch_and_a_metric_size_is_shown_as_measured() -> None:
    bushing = Bushing(tag="G-1", outside_diameter=Length.inches("0.7474"), slot_width=Length.inches("0.316"))

    assert size_in_words(bushing, Units.INCH) == "bushing 0.7474 in, slot 0.3160 in"
    assert size_in_words(bushing, Units.MM) == "bushing 18.984 mm, slot 8.026 mm"


def test_one_chooses_shims_and_rings_by_their_measured_figure() -> None:
    shim = Shim(tag="S-1", thickness=Length.inches("0.0312"), width=Length.inches("0.248"))

    assert size_in_words(shim, Units.INCH) == "shim 0.0312 in"
    assert size_in_words(shim, Units.MM) == "shim 0.792 mm"
    assert size_in_words(Ring(tag="R-1", wall=Length.inches("0.1248")), Units.INCH) == "ring, wall 0.1248 in"
    assert size_in_words(Pin(tag="N-1", diameter=Length.inches("0.498")), Units.INCH) == "pin 1/2 in"


@pytest.mark.parametrize(
    ("force", "words"),
    [("2000 lbf", "press 2,000 lbf"), ("200 kN", "press 200 kN"), ("8123 N", "press 8.12 kN")],
)
def test_a_press_is_called_by_the_round_force_marked_on_it(force: str, words: str) -> None:
    assert size_in_words(Press(tag="P-1", rated_force=parse_force(force)), Units.MM) == words


def test_what_nobody_measured_is_left_out() -> None:
    assert (
        size_in_words(Bushing(tag="G-1", slot_width=Length.inches("0.2524")), Units.INCH)
        == "bushing, slot 1/4 in"
    )
    assert [size_in_words(kind(tag="X-1"), Units.INCH) for kind in (Broach, Bushing, Shim, Press, Pin, Ring)] == [
        "broach", "bushing", "shim", "press", "pin", "ring",
    ]  # fmt: skip


@given(st.integers(NM_PER_INCH // 50, NM_PER_INCH * 4))
def test_a_nominal_size_is_within_three_thou_of_the_figure_and_never_guessed_between_two_systems(
    nm: int,
) -> None:
    figure = Length(nm)
    words = size_in_words(Pin(tag="N-1", diameter=figure), Units.INCH).removeprefix("pin ")

    assert abs(parse_length(words) - figure) <= Length.inches("0.003")
    if abs(parse_length(words) - figure) > Length.inches("0.00005"):
        assert parse_length(words) > figure
