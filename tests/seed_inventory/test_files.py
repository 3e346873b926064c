"""What the demo toolroom's files hold, seen without the program that imports them."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

import pytest

from broachplan.lengths import Length, parse_length, read_limits
from broachplan.quantities import parse_area, parse_force
from broachplan.tooling.figures import Kind, Quantity
from broachplan.tooling.materials import material_names
from broachplan.tooling.pieces import FIGURES, PIECES, Piece
from broachplan.tooling.tags import checked_tag
from tests.seed_inventory.toolroom import FOLDER, header, sheet

PARSE = {
    Quantity.LENGTH: parse_length,
    Quantity.AREA: parse_area,
    Quantity.FORCE: parse_force,
    Quantity.COUNT: int,
}
MEASURED = ("measured_with", "measured_on", "measured_by")
KEPT = ("set", "home", "condition", "note")
# Every name in the toolroom is invented here; a name that is not among them may be somebody's.
INVENTED = {
    *("Withy", "Lock", "Alder", "Birch", "Cedar", "Damson"),
    *("Ines", "Okafor", "Tom", "Brandreth"),
    *("June", "May", "A"),
}


def agreed(kind: Kind) -> list[str]:
    """The figures that every file of a kind has a column for."""
    return [figure.name for figure in FIGURES[kind] if not figure.added_later]


def pieces(kind: Kind) -> list[Piece]:
    """The pieces of one kind, as the pure types take them."""
    return [
        PIECES[kind](
            tag=row["tag"],
            **{f.name: PARSE[f.quantity](row[f.name]) for f in FIGURES[kind] if row.get(f.name)},
        )
        for row in sheet(kind.plural)
    ]


@pytest.mark.parametrize(
    ("name", "least"), [("broaches", 12), ("bushings", 45), ("shims", 30), ("presses", 4), ("jobs", 20)]
)
def test_there_is_enough_of_each_kind(name: str, least: int) -> None:
    assert len(sheet(name)) >= least


def test_there_are_pins_and_rings() -> None:
    assert sheet("pins")
    assert sheet("rings")


def test_the_folder_holds_nothing_but_the_eight_files() -> None:
    assert sorted(path.name for path in FOLDER.iterdir()) == sorted(
        [*(f"{kind.plural}.csv" for kind in Kind), "jobs.csv", "offers.csv"]
    )


@pytest.mark.parametrize("kind", [Kind.BROACH, Kind.BUSHING, Kind.SHIM])
def test_measured_pieces_have_the_columns_of_the_import_form(kind: Kind) -> None:
    assert header(kind.plural) == ("tag", *agreed(kind), *KEPT, *MEASURED)


@pytest.mark.parametrize("kind", [Kind.PRESS, Kind.PIN, Kind.RING])
def test_other_pieces_have_the_columns_of_the_import_form(kind: Kind) -> None:
    assert header(kind.plural) == ("tag", *agreed(kind), "home", "note")


@pytest.mark.parametrize("kind", list(Kind))
def test_every_piece_may_exist(kind: Kind) -> None:
    assert len(pieces(kind)) == len(sheet(kind.plural))


def test_tags_are_unique_over_all_kinds_and_read_by_a_scanner() -> None:
    tags = [row["tag"] for kind in Kind for row in sheet(kind.plural)]

    assert len(set(tags)) == len(tags)
    assert all(checked_tag(tag) == tag and re.fullmatch(r"[A-Z0-9-]+", tag) for tag in tags)


def test_every_piece_has_a_home_of_its_own() -> None:
    homes = [row["home"] for kind in Kind for row in sheet(kind.plural)]

    assert all(homes)
    assert len(set(homes)) == len(homes)


def test_broaches_run_from_the_smallest_to_the_largest_asked_in_both_systems() -> None:
    widths = sorted(round(parse_length(row["keyway_width"]).in_mm, 1) for row in sheet("broaches"))
    inch = [
        Fraction(parse_length(row["keyway_width"]).nm, 25_400_000)
        for row in sheet("broaches")
        if row["keyway_width"].endswith("in")
    ]

    assert (widths[0], widths[-1]) == (1.6, 20.0)
    assert 2.0 in widths
    assert Fraction(1, 16) <= min(inch) < Fraction(1, 15)
    assert Fraction(3, 4) <= max(inch) < Fraction(4, 5)


def test_bushings_run_from_a_quarter_inch_to_sixty_millimetres_and_more() -> None:
    diameters = [parse_length(row["outside_diameter"]) for row in sheet("bushings")]
    metric = [
        parse_length(row["outside_diameter"])
        for row in sheet("bushings")
        if row["outside_diameter"].endswith("mm")
    ]

    assert Length.inches("0.247") < min(diameters) < Length.inches("1/4")
    assert Length.inches("2.497") < max(diameters) < Length.inches("5/2")
    assert Length.mm("7.9") < min(metric) < Length.mm(8)
    assert Length.mm("59.9") < max(metric) < Length.mm(60)


def test_bushings_of_one_size_have_webs_that_differ() -> None:
    webs: dict[str, list[str]] = {}
    for row in sheet("bushings"):
        webs.setdefault(row["tag"].rsplit("-", 1)[0], []).append(row["web"])
    twins = [found for found in webs.values() if len(found) > 1]

    assert len(twins) >= 8
    assert all(len(set(found)) == len(found) for found in twins)


def test_a_tooth_rises_as_a_small_keyway_broach_does() -> None:
    rises = [
        Fraction(
            parse_length(row["last_tooth_height"]).nm - parse_length(row["first_tooth_height"]).nm,
            int(row["rising_teeth"]) - 1,
        )
        for row in sheet("broaches")
    ]

    # 0.0015 to 0.004 in a tooth: common practice, no source.
    assert all(Length.inches("0.0014").nm <= rise <= Length.inches("0.0041").nm for rise in rises)


def test_measured_pieces_say_with_what_when_and_by_whom() -> None:
    for row in [row for name in ("broaches", "bushings", "shims") for row in sheet(name)]:
        shown = [row[column] for column in MEASURED]
        if any(shown):
            assert row["measured_with"] in ("micrometer", "caliper")
            assert date.fromisoformat(row["measured_on"]).year == 2026
            assert row["measured_by"]
        else:
            assert "" in [row[f.name] for f in FIGURES[Kind.BUSHING]]


def test_jobs_are_due_on_weekdays_of_one_winter_in_order() -> None:
    days = [date.fromisoformat(row["due"]) for row in sheet("jobs")]

    assert days == sorted(days)
    assert date(2026, 12, 1) <= days[0]
    assert days[-1] <= date(2027, 2, 28)
    assert all(day.weekday() < 5 for day in days)


def test_jobs_have_numbers_of_their_own_known_materials_and_bores_with_limits() -> None:
    assert len({row["number"] for row in sheet("jobs")}) == len(sheet("jobs"))
    assert {row["material"] for row in sheet("jobs")} <= set(material_names())
    assert all(read_limits(row["bore"]).toleranced for row in sheet("jobs"))


def test_every_name_in_the_toolroom_is_invented_here() -> None:
    cells = [
        row[column]
        for name in (*(kind.plural for kind in Kind), "jobs")
        for row in sheet(name)
        for column in ("note", "set", "measured_by")
        if column in row
    ]
    words = {word for cell in cells for word in re.findall(r"\b[A-Z][A-Za-z]*", cell)}

    assert words <= INVENTED
