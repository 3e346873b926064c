"""One file's rows as records, or as problems that say where and what would be right."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broachplan.crib.records import Condition, Measurement
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.quantities import Area, Force
from broachplan.store.csv_columns import (
    FILE_NAMES,
    all_columns,
    further_columns,
    needed_columns,
    usual_columns,
)
from broachplan.store.csv_file import CsvText
from broachplan.store.csv_form import Filled, read_form
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES, Broach, Press, Shim
from tests.store.cribs import inch

# As the form is agreed with other programs.
AGREED = {
    "broaches.csv": "tag,keyway_width,body_width,first_tooth_height,last_tooth_height,tooth_pitch,rising_teeth,finishing_teeth,root_height,front_length,overall_length,gullet_area,set,home,condition,note",
    "bushings.csv": "tag,outside_diameter,slot_width,web,length,collar_height,set,home,condition,note",
    "shims.csv": "tag,thickness,width,length,set,home,condition,note",
    "presses.csv": "tag,rated_force,opening,throat,stroke,home,note",
    "pins.csv": "tag,diameter,length,home,note",
    "rings.csv": "tag,wall,length,home,note",
}  # fmt: skip
SHIMS = AGREED["shims.csv"]


def form(content: str, name: str = "shims.csv") -> Filled:
    return read_form(CsvText(name, content))


def problems(*lines: str, header: str = SHIMS, name: str = "shims.csv") -> list[str]:
    return form("\n".join((header, *lines)), name).problems


def test_the_columns_are_those_agreed() -> None:
    measured = ("measured_with", "measured_on", "measured_by")

    assert {FILE_NAMES[kind]: ",".join(usual_columns(kind)) for kind in Kind} == AGREED
    for kind in Kind:
        inspected = kind in (Kind.BROACH, Kind.BUSHING, Kind.SHIM)
        assert further_columns(kind) == (
            *(() if inspected else ("set", "condition")),
            *measured,
            "made_here",
            "measured_to",
            *(figure.name for figure in FIGURES[kind] if figure.added_later),
        )


@pytest.mark.parametrize("kind", Kind)
def test_the_readme_names_what_a_file_of_a_kind_must_have_and_every_other_figure(kind: Kind) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (row,) = (line for line in readme.splitlines() if line.startswith(f"| `{FILE_NAMES[kind]}` |"))
    _, _, needed, other, _ = row.split("|")

    assert tuple(re.findall(r"`(\w+)`", needed)) == needed_columns(kind)
    figures = {figure.name for figure in FIGURES[kind]} - set(needed_columns(kind))
    assert figures <= set(re.findall(r"`(\w+)`", other))


def test_no_file_must_have_more_columns_than_the_first_files_had() -> None:
    assert {kind.plural: needed_columns(kind) for kind in Kind if len(needed_columns(kind)) > 1} == {
        "broaches": ("tag", "keyway_width", "first_tooth_height", "last_tooth_height"),
        "bushings": ("tag", "outside_diameter", "slot_width", "web"),
        "shims": ("tag", "thickness", "width"),
    }


def test_a_row_becomes_a_record() -> None:
    columns = AGREED["broaches.csv"] + ",measured_with,measured_on,measured_by"
    cells = 'B-1,0.2505 in,249 thou,0.4 in,0.45 in,3/8 in,20,2,7.5 mm,1 in,10 in,9 mm^2,box 2,"drawer 4, left",Worn,\'=ok,micrometer,2031-05-02,Kim'

    filled = form(f"{columns}\n{cells}\n", "broaches.csv")

    assert filled.problems == []
    record = filled.entries[0].record
    assert isinstance(record.piece, Broach)
    assert record.piece.keyway_width == inch("0.2505")
    assert record.piece.root_height == Length.mm("7.5")
    assert (record.piece.rising_teeth, record.piece.gullet_area) == (20, Area(9 * 10**12))
    assert (record.set_name, record.home, record.note) == ("box 2", "drawer 4, left", "=ok")
    assert record.condition is Condition.WORN
    assert record.measured == Measurement("micrometer", date(2031, 5, 2), "Kim")


def test_a_press_may_have_set_condition_measurement_and_made_here() -> None:
    columns = AGREED["presses.csv"] + ",set,condition,measured_by,made_here"

    record = form(f"{columns}\nP-1,,,,,,,box 2,unfit,Kim,Yes\n", "presses.csv").entries[0].record

    assert (record.set_name, record.condition, record.measured.by) == ("box 2", Condition.UNFIT, "Kim")
    assert record.made_here


def test_tag_day_and_words_are_read_without_the_apostrophe_that_guards_them() -> None:
    columns = SHIMS + ",measured_on"

    record = form(f"{columns}\n'1/16,,,,,'4-2,,'=1,'2031-05-02\n").entries[0].record

    assert (record.piece.tag, record.home, record.note) == ("1/16", "4-2", "=1")
    assert record.measured.on == date(2031, 5, 2)


def test_an_empty_cell_is_not_known_and_an_empty_condition_is_fit() -> None:
    record = form(f"{SHIMS}\nS-1,,,,,,,\n").entries[0].record

    assert record.piece == Shim(tag="S-1")
    assert record.condition is Condition.FIT


def test_columns_may_stand_in_any_order_and_case() -> None:
    reversed_header = ",".join(reversed(SHIMS.split(","))).upper()

    assert form(f"{reversed_header}\n,,,,,,1 mm,S-1").entries[0].record.piece == Shim(
        tag="S-1", thickness=Length.mm(1)
    )


@pytest.mark.parametrize(("file_name", "header"), AGREED.items())
def test_a_file_of_another_name_is_known_by_its_header(file_name: str, header: str) -> None:
    assert FILE_NAMES[form(f"{header}\n", "from the shop.csv").kind] == file_name


def test_tag_and_the_figures_that_no_plan_can_do_without_are_all_that_a_file_must_have() -> None:
    assert {kind.value: needed_columns(kind) for kind in Kind} == {
        "broach": ("tag", "keyway_width", "first_tooth_height", "last_tooth_height"),
        "bushing": ("tag", "outside_diameter", "slot_width", "web"),
        "shim": ("tag", "thickness", "width"),
        "press": ("tag",),
        "pin": ("tag",),
        "ring": ("tag",),
    }
    filled = form(
        "tag,keyway_width,first_tooth_height,last_tooth_height\nB-1,0.2505 in,0.4 in,0.45 in\n",
        "broaches.csv",
    )

    assert filled.problems == []
    assert filled.entries[0].record.piece == Broach(
        tag="B-1", keyway_width=inch("0.2505"), first_tooth_height=inch("0.4"), last_tooth_height=inch("0.45")
    )
    assert filled.figures == ("keyway_width", "first_tooth_height", "last_tooth_height")
    assert filled.given == ()


def test_a_short_header_that_could_be_several_kinds_is_not_guessed() -> None:
    assert form("tag,web,slot_width,outside_diameter\n", "x.csv").kind is Kind.BUSHING
    assert form("tag,thickness,width\n", "x.csv").kind is Kind.SHIM
    with pytest.raises(InputError, match=r"says what pieces it holds; name it pins\.csv, rings\.csv$"):
        form("tag,length\n", "x.csv")


def test_a_file_of_unknown_kind_is_refused() -> None:
    with pytest.raises(InputError, match=r"^x\.csv: neither its name nor its header \(read “a,b”\) says"):
        form("a,b\n", "x.csv")


@pytest.mark.parametrize("content", ["", "\n\n", ",,,\n"])
def test_an_empty_file_is_refused(content: str) -> None:
    with pytest.raises(InputError, match=r"it is empty; the first row must name the columns"):
        form(content)


@pytest.mark.parametrize(
    ("header", "message"),
    [
        (SHIMS.replace("width,", ""), ["column width is missing"]),
        (SHIMS.replace("thickness,width,length,", ""), ["column thickness is missing", "column width is missing"]),
        (SHIMS + ",colour", ["read “colour”, which is no column of shims; there are: " + ", ".join(all_columns(Kind.SHIM))]),
        (SHIMS + ",tag", ["column tag is there twice"]),
        (SHIMS + ",x" * 1_000_000, [f"it has 1,000,008 cells; shims have {len(all_columns(Kind.SHIM))}"]),
        (SHIMS.replace(",", ";"), ["the columns must be separated by commas"]),
        ('"tag"x', ["a quoted cell continues after its closing quote; double every quote inside a quoted cell"]),
    ],
)  # fmt: skip
def test_a_wrong_header_is_reported_by_name_and_gives_no_records(header: str, message: list[str]) -> None:
    filled = form(f"{header}\nS-1,1,,,,,,,\n")

    assert filled.problems == [f"shims.csv, row 1: {line}" for line in message]
    assert filled.entries == []


@pytest.mark.parametrize(
    ("row", "column", "message"),
    [
        ("S-1,0.5,,,,,,", "thickness", "read “0.5” without a unit; write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm"),
        ("S-1,0 mm,,,,,,", "thickness", "read “0 mm”; it must be above zero"),
        ('S-1,,"1,500 mm",,,,,', "width", "read “1,500 mm”, which could be 1.500 or 1500: write it with a point or without the comma"),
        ("S-1,,,,,,bent,", "condition", "read “bent”; write fit, worn or unfit (empty is fit)"),
        (",,1 mm,,,,,", "tag", "read “”; use at most 40 plain characters without commas, beginning with a letter or digit"),
        ("'S,,,,,,,", "tag", "read “'S”; use at most 40 plain characters without commas, beginning with a letter or digit"),
        ("-S,,,,,,,", "tag", "read “-S”; use at most 40 plain characters without commas, beginning with a letter or digit"),
        (f"S-1,,,,,,,{'n' * 201}", "note", f"read “{'n' * 39}…” (201 characters); at most 200 characters"),
        ("S-1,,,,a\u202eb,,,", "set", "read “a\\u202eb”; the character U+202E must not be in it"),
        ("S-1,1\x1b mm,,,,,,", "thickness", "read “1\\u001b mm”; the character U+001B must not be in it"),
        ('S-1,,,,,,,"two\nlines"', "note", "read “two\\u000alines”; the character U+000A must not be in it"),
        ("S-1,9**9**9,,,,,,", "thickness", "read “9**9**9”; write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_reported_with_row_and_column(row: str, column: str, message: str) -> None:
    assert problems("S-0,,,,,,,", row) == [f"shims.csv, row 3, column {column}: {message}"]


@pytest.mark.parametrize("digits", [5_000, 100_000])
def test_a_cell_of_endless_digits_is_reported_at_once(digits: int) -> None:
    (line,) = problems(f"S-1,{'9' * digits} mm,,,,,,")

    assert line.startswith("shims.csv, row 2, column thickness: read “999")
    assert len(line) < 250


@pytest.mark.parametrize(("row", "cells"), [("S-1,,", 3), ("S-1,,,,,,,,", 9)])
def test_a_ragged_row_is_reported(row: str, cells: int) -> None:
    assert problems(row) == [f"shims.csv, row 2: it has {cells} cells; the header has 8"]


def test_every_bad_cell_of_a_row_is_reported() -> None:
    message = problems("-,1,x,,,,bent,", "S-2,,,,,,,", "S-3,1,,,,,,")

    assert [line.split(":")[0] for line in message] == [
        "shims.csv, row 2, column tag",
        "shims.csv, row 2, column thickness",
        "shims.csv, row 2, column width",
        "shims.csv, row 2, column condition",
        "shims.csv, row 4, column thickness",
    ]


BROACH = {
    "tag": "B-1", "first_tooth_height": "10 mm", "last_tooth_height": "12 mm", "root_height": "8 mm", "tooth_pitch": "5 mm",
    "rising_teeth": "10", "finishing_teeth": "1", "front_length": "20 mm", "overall_length": "70 mm",
}  # fmt: skip


def broach(**changed: str) -> list[str]:
    cells = BROACH | changed
    header = AGREED["broaches.csv"]
    return problems(
        ",".join(cells.get(column, "") for column in header.split(",")), header=header, name="broaches.csv"
    )


@pytest.mark.parametrize(
    ("changed", "column", "message"),
    [
        ({"last_tooth_height": "10 mm"}, "first_tooth_height", "first tooth height 10 mm: it must be less than the last tooth height, 10 mm"),
        ({"root_height": "10 mm"}, "root_height", "root height 10 mm: it must be less than the first tooth height, 10 mm"),
        ({"overall_length": "69.999 mm"}, "overall_length", "overall length 69.999 mm: front and teeth together take 70 mm; it must not be less"),
        ({"rising_teeth": "1"}, "rising_teeth", "read 1; it must be at least 2"),
        ({"rising_teeth": "2.5"}, "rising_teeth", "read “2.5”; write a whole number, for example 12"),
        ({"rising_teeth": "-3"}, "rising_teeth", "read “-3”; write a whole number, for example 12"),
        ({"rising_teeth": "\u0663"}, "rising_teeth", "read “\u0663”; write a whole number, for example 12"),
        ({"finishing_teeth": "1001"}, "finishing_teeth", "read 1001; no broach has more than 1000"),
        ({"gullet_area": "9 mm"}, "gullet_area", "read “9 mm”; write a number and its unit, for example 0.012 in^2 or 7.5 mm^2"),
        ({"gullet_area": "1000001 mm^2"}, "gullet_area", "read “1000001 mm^2”; it must not be over 1 m^2"),
    ],
)  # fmt: skip
def test_an_impossible_broach_is_reported_by_the_wrong_column(
    changed: dict[str, str], column: str, message: str
) -> None:
    assert broach(**changed) == [f"broaches.csv, row 2, column {column}: {message}"]


def test_a_broach_just_long_enough_for_its_teeth_is_let_through() -> None:
    assert broach() == []


@pytest.mark.parametrize(
    ("row", "column"), [("G-1,10 mm,10 mm,,,,,,,", "slot_width"), ("G-1,10 mm,5 mm,10 mm,,,,,,", "web")]
)
def test_an_impossible_bushing_is_reported_by_the_wrong_column(row: str, column: str) -> None:
    (line,) = problems(row, header=AGREED["bushings.csv"], name="bushings.csv")

    assert line.startswith(f"bushings.csv, row 2, column {column}: ")
    assert line.endswith("it must be less than the outside diameter, 10 mm")


@pytest.mark.parametrize(
    ("cell", "force"),
    [("30 kN", 30_000_000), ("500 N", 500_000), ("6000 lbf", 26_689_330), ("10 ton", None), ("5", None)],
)
def test_a_press_has_its_force_in_a_unit_that_is_one(cell: str, force: int | None) -> None:
    filled = form(f"{AGREED['presses.csv']}\nP-1,{cell},,,,,\n", "presses.csv")

    if force is None:
        assert filled.problems[0].startswith(f"presses.csv, row 2, column rated_force: read “{cell}”; ")
    else:
        assert filled.entries[0].record.piece == Press(tag="P-1", rated_force=Force(force))


@pytest.mark.parametrize("day", ["2031-02-30", "20310502", "2031-W18-5", "May 2", "2031-5-2", "０"])
def test_an_impossible_day_is_reported(day: str) -> None:
    (line,) = problems(f"S-1,,,,,,,,,{day},", header=SHIMS + ",measured_with,measured_on,measured_by")

    assert line.startswith("shims.csv, row 2, column measured_on: read “")
    assert line.endswith("”; write a day such as 2031-05-28")


@pytest.mark.parametrize("cell", ["0.0002 in", "±0.0002 in", "+/- 0.0002 in", "'+-0.0002 in", " 0.0002 in "])
def test_how_well_a_piece_was_measured_is_a_length_to_either_side(cell: str) -> None:
    filled = form(f"{SHIMS},measured_to\nS-1,,,,,,,,{cell}\n")

    assert filled.problems == []
    assert filled.entries[0].record.measured == Measurement(to=Length.inches("0.0002"))
    assert "measured_to" in filled.given


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("0 mm", "read “0 mm”; it must be above zero"),
        ("±0.0002", "read “0.0002” without a unit; write a number and its unit, for example 1-1/4 in, 0.625 in, 625 thou or 30 mm"),
    ],
)  # fmt: skip
def test_a_piece_measured_to_nothing_or_without_a_unit_is_refused(cell: str, message: str) -> None:
    assert problems(f"S-1,,,,,,,,{cell}", header=SHIMS + ",measured_to") == [
        f"shims.csv, row 2, column measured_to: {message}"
    ]


def test_a_piece_is_made_here_or_not() -> None:
    (line,) = problems("S-1,,,,,,,,perhaps", header=SHIMS + ",made_here")

    assert line == "shims.csv, row 2, column made_here: read “perhaps”; write yes or no (empty is no)"


def test_a_file_says_which_columns_it_gave() -> None:
    assert form(f"{SHIMS},made_here\n").given == ("set_name", "home", "condition", "note", "made_here")
    assert form(f"{SHIMS}\n").given == ("set_name", "home", "condition", "note")
    assert form(f"{AGREED['pins.csv']}\n", "pins.csv").given == ("home", "note")


@settings(max_examples=200)
@given(st.text(max_size=120), st.sampled_from(list(AGREED)))
def test_whatever_a_file_holds_is_a_record_or_a_problem_of_one_printable_line(
    content: str, name: str
) -> None:
    filled = form(f"{AGREED[name]}\n{content}", name)

    for line in filled.problems:
        assert line.isprintable()
        assert line.startswith(f"{name}, row ")
