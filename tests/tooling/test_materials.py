"""Materials by the names that a shop uses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import InputError
from broachplan.tooling.materials import (
    CuttingForce,
    Group,
    find_material,
    material_names,
    materials,
    why_taken_for,
)

CHIP = CuttingForce(2000, 0.25, "", "read")


@pytest.mark.parametrize("name", material_names())
def test_every_name_finds_its_material_whatever_its_case(name: str) -> None:
    assert find_material(name).name == name
    assert find_material(f"  {name.upper()} ") is find_material(name)
    assert why_taken_for(name) is None


def test_every_other_name_finds_its_material_and_says_why() -> None:
    for material in materials():
        for other in material.others:
            assert find_material(other.name) is material
            shown = why_taken_for(other.name)
            assert shown is None if other.source == "spelling" else f"is taken as {material.name} (" in shown


@pytest.mark.parametrize(
    ("typed", "name"),
    [("gray cast iron", "grey cast iron"), ("grey iron 200 hb", "grey cast iron 200 HB"),
     ("wrought aluminum", "wrought aluminium"), ("mild  steel", "mild steel")],
)  # fmt: skip
def test_other_spellings_are_understood(typed: str, name: str) -> None:
    assert find_material(typed).name == name
    assert why_taken_for(typed) is None


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("cast iron", "grey cast iron"),
        ("aluminum", "wrought aluminium"),
        ("aluminium", "wrought aluminium"),
        ("1018", "mild steel"),
        ("AISI 1045", "medium-carbon steel"),
        ("C45", "medium-carbon steel"),
        ("c 45", "medium-carbon steel"),
        ("4140", "alloy steel quenched and tempered"),
        ("16MnCr5", "case-hardening steel annealed"),
        ("304", "austenitic stainless steel"),
        ("12L14", "free-machining steel"),
        ("SAE 660", "bronze"),
        ("bronze", "bronze"),
    ],
)
def test_what_a_shop_says_is_understood(typed: str, name: str) -> None:
    """EN 10020 and SAE J403 group steels so; from memory."""
    assert find_material(typed).name == name


def test_steel_alone_is_taken_as_medium_carbon_and_says_so() -> None:
    assert why_taken_for(" Steel ") == (
        "material “Steel” is taken as medium-carbon steel "
        "(steel of no further name is taken as medium-carbon: common practice, no source)"
    )


def test_an_unknown_name_is_refused_with_the_nearest() -> None:
    with pytest.raises(InputError, match="material: read “milde steel”; the nearest names are: mild steel, "):
        find_material("milde steel")
    with pytest.raises(
        InputError, match=r"read “1046”; the nearest names are: .*1045 \(medium-carbon steel\)"
    ):
        find_material("1046")


def test_a_name_like_no_other_is_refused_with_the_names_there_are() -> None:
    with pytest.raises(InputError, match="material: read “wz”; there are: free-machining steel, ") as refused:
        find_material("wz")

    assert all(name in str(refused.value) for name in material_names())


def test_a_list_to_pick_from_gives_name_other_names_and_group() -> None:
    listed = {material.name: material for material in materials()}

    assert tuple(listed) == material_names()
    assert listed["grey cast iron"].group is Group.BRITTLE
    assert "cast iron" in listed["grey cast iron"].other_names


def test_a_material_carries_its_group_and_both_estimates() -> None:
    iron = find_material("grey cast iron 200 HB")

    assert iron.group is Group.BRITTLE
    assert iron.low.at(0.127) == 1500
    assert iron.high.at(0.127) > 1500


@given(
    name=st.sampled_from(material_names()),
    dull=st.sampled_from([1.0, 1.3, 1.7]),
    chip=st.floats(0.001, 0.999),
)
def test_the_high_law_is_never_under_the_low_one_whatever_the_edge(
    name: str, dull: float, chip: float
) -> None:
    material = find_material(name)
    law = material.high_with(dull)

    assert law.at(chip) >= material.low.at(chip) * (1 - 1e-12)
    assert law.at(chip) == pytest.approx(max(material.low.at(chip), dull * material.high.at(chip)))
    assert law.mc in (material.low.mc, material.high.mc)


def test_chips_thinner_than_the_figures_reach_are_taken_as_thick_as_these() -> None:
    assert CHIP.at(0.001) == CHIP.at(0.02)
    assert CHIP.at(0.02) > CHIP.at(0.03)
