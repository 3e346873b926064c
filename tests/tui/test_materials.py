"""The list of materials at the hub's form."""

from __future__ import annotations

import pytest

from broachplan.sheets.materials import about_material, materials_like
from broachplan.tooling.materials import find_material, materials
from tests.tui.driving import Drive, assert_golden, drive
from tui.screens.desk import DeskScreen
from tui.screens.materials import MaterialsScreen
from tui.widgets.entry import EntryLine


def test_a_material_is_picked_by_any_of_its_names_and_escape_keeps_what_was_typed() -> None:
    async def act(at: Drive) -> None:
        at.desk.query_one("#material").focus()
        line = at.desk.query_one("#material", EntryLine)

        await at.burst("ctrl+g", *"1018", "enter")
        assert (line.value, at.app.screen, at.app.focused) == ("mild steel", at.desk, line)

        await at.press("ctrl+u", *"cast ir", "ctrl+g")
        screen = at.app.screen
        assert isinstance(screen, MaterialsScreen)
        assert screen.shown
        assert all("cast ir" in f"{each.name} {each.other_names}" for each in screen.shown)
        await at.press("escape")
        assert line.value == "cast ir"

        # What finds nothing does not narrow the list; all are there, and the second is taken.
        await at.press("ctrl+u", *"xyzzy", "ctrl+g")
        assert list(at.app.screen.shown) == list(materials())  # type: ignore[attr-defined]
        await at.press("down", "enter")
        assert line.value == materials()[1].name

        await at.press("ctrl+g", *"no such stuff", "enter")
        assert at.app.screen.name == "materials"
        assert "No material has all these words." in at.screen()
        await at.press("escape")
        assert isinstance(at.app.screen, DeskScreen)

    drive(act, question=None)


def test_the_list_of_materials_looks_as_it_was_kept_and_is_found_in_the_palette() -> None:
    async def act(at: Drive) -> None:
        at.desk.query_one("#bore").focus()
        await at.press("ctrl+p", *"all materials", "enter")
        assert at.app.screen.name == "materials"
        await at.press(*"cast iron")
        assert_golden("materials_80x24", at.screen())

    drive(act, question=None)


@pytest.mark.parametrize(
    ("typed", "name"),
    [("1018", "mild steel"), ("AISI 1018", "mild steel"), ("Gray cast-iron", "grey cast iron"), ("12l14", "free-machining steel")],
)  # fmt: skip
def test_the_material_that_a_name_means_comes_first(typed: str, name: str) -> None:
    assert materials_like(typed)[0].name == name


def test_every_name_of_every_material_finds_it() -> None:
    for material in materials():
        for name in (material.name, *material.other_names):
            assert materials_like(name)[0] is material


def test_a_designation_says_that_its_group_is_from_memory() -> None:
    assert "from memory" in " ".join(about_material(find_material("1018"), "1018"))
    assert "from memory" not in " ".join(about_material(find_material("1018"), "mild"))
