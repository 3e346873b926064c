"""Keys, shapes, standards and fits as people write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.keyways.key import (
    Key,
    KeySize,
    read_fit,
    read_key,
    read_shape,
    read_standard,
    size_name,
    standard_of,
)
from broachplan.lengths import Length, System, write_exact
from broachplan.standards.named import Fit, Shape, Standard

QUARTER, THREE_16 = Length.inches("0.25"), Length.inches("0.1875")
sizes = st.integers(1, 2_000_000_000).map(Length)


@pytest.mark.parametrize(
    ("text", "width", "height"),
    [
        ("1/4 in", QUARTER, None),
        ('1/4"', QUARTER, None),
        ("1/4 in x 3/16 in", QUARTER, THREE_16),
        ("1/4 x 3/16 in", QUARTER, THREE_16),
        ('1/4"x3/16"', QUARTER, THREE_16),
        ("¼ × 3/16 in", QUARTER, THREE_16),
        ("1-1/4 in X 7/8 in", Length.inches("1.25"), Length.inches("0.875")),
        ("14 mm x 9 mm", Length.mm(14), Length.mm(9)),
        ("14 x 9 mm", Length.mm(14), Length.mm(9)),
        ("14×9mm", Length.mm(14), Length.mm(9)),
        ("1/4 in x 7 mm", QUARTER, Length.mm(7)),
    ],
)
def test_a_key_is_read_as_it_is_written(text: str, width: Length, height: Length | None) -> None:
    assert read_key(text) == KeySize(width, height)


@given(sizes, sizes)
def test_a_key_written_exactly_reads_back(width: Length, height: Length) -> None:
    assert read_key(f"{write_exact(width)} x {write_exact(height)}") == KeySize(width, height)


@given(sizes, sizes)
def test_the_name_of_a_key_reads_back(width: Length, height: Length) -> None:
    assert read_key(Key(width, height, Shape.RECTANGULAR).name) == KeySize(width, height)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1/4", "key width: read “1/4” without a unit"),
        ("14 x 9", "key width: read “14” without a unit"),
        ("14 mm x 9", "key height: read “9” without a unit"),
        ("x", "key width: nothing was given"),
        ("1/4 in x", "key height: nothing was given"),
        ("1 x 2 x 3 mm", "key: read “1 x 2 x 3 mm”; write a width, or width x height"),
        ("9" * 81, r"key: read “9+…” \(81 characters\); write a width"),
        ("-1/4 in", "key width: read “-1/4 in”; it must be above zero"),
        ("0 in x 1 in", "key width: read “0 in”; it must be above zero"),
        ("number 808", "key width: read “number 808”"),
    ],
)
def test_what_is_no_key_is_refused_with_what_was_read(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        read_key(text)


def test_sizes_are_named_as_they_are_spoken() -> None:
    assert size_name(Length.inches("1.25")) == "1-1/4 in"
    assert size_name(Length.inches("0.251")) == "0.251 in"
    assert size_name(Length.mm(25)) == "25 mm"
    assert Key(QUARTER, THREE_16, Shape.RECTANGULAR).name == "1/4 x 3/16 in"
    assert Key(QUARTER, Length.mm(7), Shape.RECTANGULAR).name == "1/4 in x 7 mm"


def test_words_are_read_whatever_their_case() -> None:
    assert read_standard(" Metric") is Standard.METRIC
    assert read_shape("TAPER") is Shape.TAPER
    assert read_fit("1") is Fit.CLASS_1


def test_the_standard_follows_the_unit() -> None:
    assert [standard_of(system) for system in (System.INCH, System.METRIC)] == [
        Standard.INCH,
        Standard.METRIC,
    ]


def test_a_word_that_is_not_offered_is_refused_with_those_that_are() -> None:
    with pytest.raises(
        InputError, match=r"standard: read “own”; write inch, metric, woodruff or woodruff-metric$"
    ):
        read_standard("own")
    with pytest.raises(InputError, match=r"shape: read “round”; write square, rectangular or taper$"):
        read_shape("round")
    with pytest.raises(InputError, match=r"fit: read “H7”; write 1, 2, close, normal or free$"):
        read_fit("H7")
