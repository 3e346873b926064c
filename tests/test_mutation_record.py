"""What a run of mutation testing leaves: figures and survivors of its room, with the reasons written beside them before."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tests.mutation.record import FIGURES, SURVIVORS, plain_name, record
from tests.mutation.results import ENDLESS, KILLED, SURVIVED, Results


@pytest.mark.parametrize(
    ("mutant", "plain"),
    [
        ("broachplan.cut.load.xǁLoadModelǁof_pass__mutmut_3", "load.LoadModel.of_pass 3"),
        ("broachplan.cut.section.x_area_mm2__mutmut_11", "section.area_mm2 11"),
        ("broachplan.cut.load.x__chip__mutmut_2", "load._chip 2"),
        ("something else", "something else"),
    ],
)
def test_a_mutant_is_named_by_module_class_function_and_number(mutant: str, plain: str) -> None:
    assert plain_name(mutant) == plain


def test_a_run_replaces_its_own_room_and_keeps_the_reasons_of_those_that_survive_again(
    tmp_path: Path,
) -> None:
    (tmp_path / SURVIVORS.name).write_text(
        "room,mutant,reason\ncut,load.old 1,gone since\ncut,of_pass 3,slower only\nplanner,pairs.begin 1,a guard\n"
    )
    found = {
        "broachplan.cut.load.x_of_pass__mutmut_3": SURVIVED,
        "broachplan.cut.load.x_of_pass__mutmut_10": SURVIVED,
        "broachplan.cut.load.x_other__mutmut_1": KILLED,
        "broachplan.cut.load.x_other__mutmut_2": ENDLESS,
    }

    record("cut", Results(tmp_path, found), date(2031, 5, 2), folder=tmp_path)

    assert (tmp_path / SURVIVORS.name).read_text().splitlines() == [
        "room,mutant,reason",
        "cut,load.of_pass 3,slower only",
        "cut,load.of_pass 10,",
        "planner,pairs.begin 1,a guard",
    ]
    assert (tmp_path / FIGURES.name).read_text().splitlines()[1] == "cut,2031-05-02,4,1,1,2,0"
