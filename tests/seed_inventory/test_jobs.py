"""Every coming hub of the demo toolroom, imported and planned: it comes out as its note says."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.planner.answer import Answer, Rule, Try, Warn
from broachplan.questions.hub import JOB_COLUMNS, PlanRequest
from broachplan.questions.line import asked
from broachplan.tooling.figures import Kind
from tests.desks.doing import change_setting, import_crib
from tests.seed_inventory.toolroom import FOLDER, sheet

PASSES = {
    "J-701": 3, "J-702": 3, "J-703": 3, "J-704": 3, "J-705": 4, "J-706": 5, "J-707": 5, "J-708": 4, "J-709": 3,
    "J-710": 3, "J-711": 2, "J-717": 3,
}  # fmt: skip
REFUSED = {
    "J-712": (Rule.BUSHING_FIT, Kind.BUSHING),
    "J-713": (Rule.READING, Kind.SHIM),
    "J-714": (Rule.PRESS_FORCE, None),
    "J-715": (Rule.ON_SHELF, None),
    "J-716": (Rule.ENGAGEMENT, None),
    "J-719": (Rule.BUSHING_FIT, Kind.BUSHING),
    "J-720": (Rule.SLOT_FIT, Kind.BUSHING),
    "J-721": (Rule.THROUGH, None),
    "J-722": (Rule.TAPER, None),
    "J-725": (Rule.COLUMN, None),
    "J-726": (Rule.CHIP_ROOM, None),
    "J-728": (Rule.WIDTH, Kind.BROACH),
    "J-729": (Rule.OPENING, None),
    "J-730": (Rule.THROAT, None),
}
CAUTIONED = {
    "J-718": Warn.LOOSE,
    "J-723": Warn.HARD,
    "J-724": Warn.WALL,
    "J-727": Warn.NOT_CHECKED,
}
# What any hub is refused by among pieces of other widths and bores, or by the bushing not measured yet.
ALWAYS = {Rule.WIDTH, Rule.BUSHING_FIT, Rule.NOT_MEASURED, Rule.SLOT_FIT, Rule.ON_SHELF}


@pytest.fixture(scope="module")
def crib(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The demo toolroom in a database of its own."""
    db = str(tmp_path_factory.mktemp("toolroom") / "toolroom.db")
    import_crib(db, [FOLDER])
    return db


def job(number: str) -> dict[str, str]:
    """One coming hub as its file describes it."""
    return next(row for row in sheet("jobs") if row["number"] == number)


def planned_now(db: str, number: str) -> Answer:
    """The plan of one coming hub from a crib as it is."""
    row = job(number)
    return plan_hub(db, asked(PlanRequest, {name: row[name] for name in (*JOB_COLUMNS, "press")}))


@cache
def planned(db: str, number: str) -> Answer:
    """The plan of one coming hub from a crib that no test changes."""
    return planned_now(db, number)


def test_the_folder_imports_whole_and_a_second_time_changes_nothing(tmp_path: Path) -> None:
    db = str(tmp_path / "toolroom.db")
    rows = sum(len(sheet(kind.plural)) for kind in Kind)

    first = import_crib(db, [FOLDER])
    again = import_crib(db, [FOLDER])

    assert (first.added, first.changed) == (rows, ())
    assert (again.added, again.changed, again.unchanged) == (0, (), rows)


def test_every_job_is_in_a_table_of_this_test() -> None:
    assert sorted([*PASSES, *REFUSED, *CAUTIONED]) == [row["number"] for row in sheet("jobs")]


@pytest.mark.parametrize(("number", "passes"), PASSES.items())
def test_an_everyday_hub_is_ready_in_the_passes_a_shop_expects(crib: str, number: str, passes: int) -> None:
    answer = planned(crib, number)

    assert answer.ready
    assert len(answer.plans[0].passes) == passes


@pytest.mark.parametrize(("number", "passes"), PASSES.items())
def test_the_note_of_an_everyday_hub_lists_its_passes(number: str, passes: int) -> None:
    note = job(number)["note"]

    assert re.findall(r"(\d) passes", note) == [str(passes)]


@pytest.mark.parametrize(("number", "rule"), [(number, rule) for number, (rule, _) in REFUSED.items()])
def test_a_hub_in_trouble_is_refused_by_the_rule_its_note_names(crib: str, number: str, rule: Rule) -> None:
    answer = planned(crib, number)
    note = job(number)["note"]

    assert not answer.ready
    assert rule in [refusal.rule for refusal in answer.refusals]
    assert {refusal.rule for refusal in answer.refusals} <= {*ALWAYS, rule}
    assert f"({rule})" in note


@pytest.mark.parametrize(("number", "kind"), [(n, kind) for n, (_, kind) in REFUSED.items() if kind])
def test_a_hub_without_its_piece_gets_what_to_make(crib: str, number: str, kind: Kind) -> None:
    assert kind in [make.kind for make in planned(crib, number).make]


@pytest.mark.parametrize(
    ("number", "first", "tags"),
    [
        ("J-714", Try.PRESS, ("PR-HERON",)),
        ("J-715", Try.BACK, ("BR-0312-A",)),
        ("J-716", Try.STACK, ()),
        ("J-729", Try.PRESS, ("PR-ROOK",)),
        ("J-730", Try.PRESS, ("PR-BISON",)),
    ],
)
def test_a_hub_that_another_set_up_cuts_is_advised_of_it_and_nothing_is_to_be_made(
    crib: str, number: str, first: Try, tags: tuple[str, ...]
) -> None:
    answer = planned(crib, number)

    assert (answer.advice[0].what, answer.advice[0].tags, answer.make) == (first, tags, ())


def test_the_bore_without_a_bushing_has_a_broach_and_shims_waiting(crib: str) -> None:
    answer = planned(crib, "J-712")
    refused = {refusal.rule: refusal.count for refusal in answer.refusals}

    assert refused[Rule.BUSHING_FIT] == len(sheet("bushings"))
    assert refused[Rule.WIDTH] == len(sheet("broaches")) - 2


@pytest.mark.parametrize("number", ["J-718", "J-723", "J-727"])
def test_a_doubtful_hub_is_ready_with_the_caution_its_note_names(crib: str, number: str) -> None:
    answer = planned(crib, number)

    assert answer.ready
    assert CAUTIONED[number] in [caution.rule for caution in answer.plans[0].cautions]


def test_a_thin_wall_is_cautioned_about_once_the_shop_has_set_its_limit(tmp_path: Path) -> None:
    db = str(tmp_path / "toolroom.db")
    import_crib(db, [FOLDER])
    before = planned_now(db, "J-724")
    change_setting(db, "wall_least", "1/8 in")

    after = planned_now(db, "J-724")

    assert before.ready
    assert Warn.WALL not in [caution.rule for caution in before.plans[0].cautions]
    assert Warn.WALL in [caution.rule for caution in after.plans[0].cautions]


def test_the_first_hub_is_ready_on_a_small_press_with_a_slender_broach_that_may_lean_and_no_other_caution(
    crib: str,
) -> None:
    first = sheet("jobs")[0]
    answer = planned(crib, first["number"])
    best = answer.plans[0]

    assert first["key"] == "1/4 in"
    assert [len(one.stack) for one in best.passes] == [0, 1, 2]
    assert best.press is not None
    assert best.press.rated_force is not None
    assert best.press.rated_force.newtons < 15_000
    assert [caution.rule for caution in best.cautions] == [Warn.LEAD, Warn.SLENDER]


def test_two_jobs_want_one_broach_on_one_day(crib: str) -> None:
    wanted: dict[tuple[str, str], list[str]] = {}
    for number in PASSES:
        due = job(number)["due"]
        wanted.setdefault((due, planned(crib, number).plans[0].broach.tag), []).append(number)

    assert [numbers for numbers in wanted.values() if len(numbers) > 1] == [["J-706", "J-707"]]


def test_an_everyday_hub_needs_no_pieces_of_two_systems(crib: str) -> None:
    mixed = [
        number
        for number in PASSES
        if Warn.MIXED_UNITS in [caution.rule for caution in planned(crib, number).plans[0].cautions]
    ]

    assert mixed == []


def test_an_unfit_shim_is_in_the_drawer_and_in_no_plan(crib: str) -> None:
    unfit = {row["tag"] for row in sheet("shims") if row["condition"] != "fit"}
    used = {
        shim.tag for number in PASSES for one in planned(crib, number).plans[0].passes for shim in one.stack
    }

    assert unfit == {"SH-10M-02"}
    assert not unfit & used
