"""A joint as people write it: the same answers as by values, and one sentence for what cannot be."""

from __future__ import annotations

import pytest

from broachplan.errors import InputError
from broachplan.keyways.key import KeySize, read_named_key, read_number
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length
from broachplan.questions.read_joint import read_joint
from broachplan.questions.shaft import JointQuestion
from broachplan.standards.named import Fit, Shape, Standard
from broachplan.standards.woodruff import inch_woodruffs

INCH, MM = Length.inches, Length.mm


def test_every_line_enters_the_joint() -> None:
    written = JointQuestion(
        shaft="1 in +0.000 -0.001",
        standard="inch",
        key="1/4 in",
        shape="square",
        fit="2",
        hub_key="5/16 in",
        length="3 in",
    )

    assert read_joint(written) == joint(
        INCH(1),
        standard=Standard.INCH,
        key=KeySize(INCH("1/4"), None),
        shape=Shape.SQUARE,
        fit=Fit.CLASS_2,
        hub_key=KeySize(INCH("5/16"), None),
        length=INCH(3),
    )


def test_the_standard_follows_the_shaft_s_unit_and_top_clearance_can_be_left_out() -> None:
    assert read_joint(JointQuestion(shaft="30 mm", no_top_clearance=True)) == joint(
        MM(30), standard=Standard.METRIC, top_clearance=False
    )


@pytest.mark.parametrize("number", [row.number for row in inch_woodruffs()])
def test_a_number_alone_is_a_woodruff_key(number: str) -> None:
    assert read_named_key(number) == (Standard.WOODRUFF, read_number(number))
    assert read_named_key(f"No. {number}", "woodruff").size == read_number(number)
    assert read_named_key("", number=number) == read_named_key(number)


@pytest.mark.parametrize("size", ["1/4 in", "250 thou", "6 mm", "14 x 9 mm", "0.250 in", "", "8086 mm"])
def test_a_size_is_no_number(size: str) -> None:
    assert read_named_key(size).standard is Standard.INCH


@pytest.mark.parametrize(
    ("written", "message"),
    [
        (JointQuestion(shaft="1"), "without a unit"),
        (JointQuestion(shaft="1 in", key="808", standard="metric"), "only inch Woodruff keys have numbers"),
        (JointQuestion(shaft="1 in", key="999"), "the table here leaves that number out"),
        (JointQuestion(shaft="1 in", key="8" * 5000), "at most|write a width"),
        (JointQuestion(shaft="1 in", standard="whitworth"), "inch, metric, woodruff or woodruff-metric"),
        (JointQuestion(shaft="1 in", fit="snug"), "write 1, 2"),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(written: JointQuestion, message: str) -> None:
    with pytest.raises(InputError, match=message) as refused:
        read_joint(written)
    assert "\n" not in str(refused.value)
