"""Sheets: the same words on both faces, and nothing lost where there is little room."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from broachplan.cli.layout import WIDTH, sheet_lines
from broachplan.keyways.strength import ADVICE
from broachplan.lengths import Units
from broachplan.questions.read_joint import read_joint
from broachplan.questions.read_keyseat import read_card
from broachplan.questions.read_strength import read_strength
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion, StrengthQuestion
from broachplan.sheets.joint import joint_sheet
from broachplan.sheets.layout import ROOMY, Tone, lay_out
from broachplan.sheets.milling import milling_sheet
from broachplan.sheets.result import MEMORY, NamedValue, ResultSheet, SheetGrid
from broachplan.sheets.strength import strength_sheet
from tui.sheet import sheet_text

JOINTS = {
    "parallel": JointQuestion(shaft="1-3/8 in", key="3/8 in"),
    "metric": JointQuestion(shaft="143 mm", fit="close"),
    "stepped": JointQuestion(shaft="1 in", key="1/4 in", hub_key="5/16 in"),
    "woodruff": JointQuestion(shaft="13/16 in", number="607"),
}
CARDS = {
    "milled": KeyseatQuestion(
        shaft="1-3/8 in", key="3/8 in", finder="0.5 in", cutter="5/16 in", length="2 in", step="0.060 in",
        depth_limits="+0.000 -0.012 in", measured="1.6 in", measured_over="key", speed="80 ft/min",
    ),
    "large": KeyseatQuestion(shaft="480 mm", cutter="95 mm", length="1.2 m", from_end="1 m", step="3 mm"),
    "half-moon": KeyseatQuestion(shaft="13/16 in", number="607", from_end="1-1/2 in", finder="0.5 in", step="0.08 in"),
}  # fmt: skip
LOADS = {
    "short": StrengthQuestion(
        shaft="45 mm",
        torque="600 N m",
        safety_factor="2",
        straight="30 mm",
        key_yield="340 MPa",
        hub_yield="250 MPa",
    ),
    "carries": StrengthQuestion(
        shaft="50 mm", shear_strength="200 N/mm2", straight="37.5 mm", safety_factor="1"
    ),
}
NAMES = (*JOINTS, *CARDS, *LOADS)
NARROW = 41  # what a screen of 80 columns has for figures


@cache
def sheet_of(name: str) -> ResultSheet:
    if name in JOINTS:
        return joint_sheet(read_joint(JOINTS[name]))
    if name in CARDS:
        return milling_sheet(read_card(CARDS[name]))
    return strength_sheet(read_strength(LOADS[name]), Units.MM)


def flat(sheet: ResultSheet, width: int) -> str:
    return " ".join(" ".join(line.text for line in lay_out(sheet, width)).split())


@pytest.mark.parametrize("name", NAMES)
def test_both_faces_say_the_same_where_they_have_the_same_room(name: str) -> None:
    sheet = sheet_of(name)
    printed = sheet_lines(sheet)
    drawn = sheet_text(sheet, WIDTH).plain.split("\n")

    assert printed[-len(drawn) :] == drawn
    assert " ".join(" ".join(printed[: -len(drawn)]).split()) == sheet.title


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [30, NARROW, ROOMY - 1, ROOMY, WIDTH, 120])
def test_every_line_fits_and_no_figure_is_lost_whatever_the_room(name: str, width: int) -> None:
    sheet = sheet_of(name)
    laid_out = flat(sheet, width)
    values = [line for block in sheet.blocks for line in block.lines if isinstance(line, NamedValue)]

    assert max(len(line.text) for line in lay_out(sheet, width)) <= width
    assert values
    for value in values:
        assert value.limits in laid_out
        assert value.value.split(" ")[0] in laid_out
        assert (value.label if width >= ROOMY else value.short or value.label) in laid_out
    for remark in sheet.remarks:
        assert f"Note: {remark}" in laid_out


@pytest.mark.parametrize("width", [30, NARROW, WIDTH])
@pytest.mark.parametrize("name", NAMES)
def test_what_rests_on_memory_says_so_at_the_top_with_the_source_and_where_it_is_shown(
    name: str, width: int
) -> None:
    sheet = sheet_of(name)
    laid_out = flat(sheet, width)
    marked = [block for block in sheet.blocks if block.status == MEMORY]

    assert laid_out.count("(from memory)") >= len(marked)
    if sheet.from_memory:
        assert f"{sheet.from_memory.upper()} FROM MEMORY: see below" in laid_out
        assert f"{sheet.source}; {sheet.from_memory} from memory" in laid_out


def test_the_kinds_that_rest_on_memory_are_among_those_tried() -> None:
    assert sheet_of("woodruff").from_memory == sheet_of("half-moon").from_memory == "some figures"
    assert sheet_of("short").from_memory == "formulas"
    assert sheet_of("metric").from_memory == ""


@pytest.mark.parametrize("name", LOADS)
def test_an_advisory_says_that_it_is_no_release_before_every_figure(name: str) -> None:
    first = lay_out(sheet_of(name), WIDTH)[0]

    assert first.tone is Tone.WARNING
    assert flat(sheet_of(name), WIDTH).startswith(ADVICE)


def test_a_table_keeps_its_units_where_there_is_room_and_shows_each_row_by_itself_where_there_is_none() -> (
    None
):
    """By geometry: an end mill of 5/16 in for a seat 2 in over all starts and stops 5/32 in from its ends."""
    sheet = sheet_of("milled")
    (runs,) = (
        line
        for block in sheet.blocks
        for line in block.lines
        if isinstance(line, SheetGrid) and line.columns[0].title == "key with"
    )

    assert runs.rows[0][-1] == "1.8438"
    assert "round ends -0.1562 in 1.8438 in 2.0000 in 1.8438 in" in flat(sheet, WIDTH)
    assert "ends start end over all (in) round ends -0.1562 1.8438 2.0000" in flat(sheet, NARROW)
    assert "round ends start -0.1562 in end 1.8438 in over all 2.0000 in full width 1.8438 in" in flat(
        sheet, 30
    )


def test_a_short_key_is_said_to_be_too_short_in_the_title_long_or_short() -> None:
    """600 N m on a 45 mm shaft, factor 2, the hub's 250 MPa on half a 14 x 9 key's height: 47.4074 mm, shown rounded up."""
    sheet = sheet_of("short")

    assert sheet.title.startswith("LENGTH NEEDED: 47.408 mm (1.8665 in); 30.000 mm is TOO SHORT; weakest: ")
    assert sheet.short == "TOO SHORT: 47.408 mm is needed"


@pytest.mark.parametrize("units", [Units.INCH, Units.MM])
@pytest.mark.parametrize("torque", [f"{newton_metres} N m" for newton_metres in range(100, 700, 37)])
def test_a_key_made_to_the_length_needed_as_it_is_shown_is_long_enough(torque: str, units: Units) -> None:
    asked = replace(LOADS["short"], torque=torque, straight="")
    shown = strength_sheet(read_strength(asked), units).short.removeprefix("LENGTH NEEDED: ")

    assert read_strength(replace(asked, straight=shown)).enough
