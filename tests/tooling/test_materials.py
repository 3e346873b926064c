"""Materials by the names that a shop uses."""

from __future__ import annotations

import pytest

from broachplan.errors import InputError
from broachplan.tooling.materials import CuttingForce, Group, find_material, material_names


@pytest.mark.parametrize("name", material_names())
def test_every_name_finds_its_material_whatever_its_case(name: str) -> None:
    assert find_material(name).name == name
    assert find_material(f"  {name.upper()} ") is find_material(name)


@pytest.mark.parametrize(
    ("typed", "name"),
    [("gray cast iron", "grey cast iron"), ("grey iron 200 hb", "grey cast iron 200 HB"),
     ("wrought aluminum", "wrought aluminium"), ("mild  steel", "mild steel")],
)  # fmt: skip
def test_other_spellings_are_understood(typed: str, name: str) -> None:
    assert find_material(typed).name == name


def test_an_unknown_name_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(InputError, match="material: read “unobtainium”; there are: mild steel, ") as refused:
        find_material("unobtainium")

    assert all(name in str(refused.value) for name in material_names())


def test_a_material_carries_its_group_and_both_estimates() -> None:
    iron = find_material("grey cast iron 200 HB")

    assert iron.group is Group.BRITTLE
    assert iron.low.at(0.127) == 1500
    assert iron.high.at(0.127) > 1500


def test_chips_thinner_than_the_figures_reach_are_taken_as_thick_as_these() -> None:
    law = CuttingForce(2000, 0.25, "", "read")

    assert law.at(0.001) == law.at(0.02)
    assert law.at(0.02) > law.at(0.03)
