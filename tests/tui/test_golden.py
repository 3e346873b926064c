"""Whole screens as plain text, looked at and kept. BROACHPLAN_UPDATE_SCREENS=1 keeps new ones: look before."""

from __future__ import annotations

import pytest

from tests.tui.answers import BLOCKED, Bench
from tests.tui.driving import LARGE, SMALL, Drive, assert_golden, drive

# From picture to picture by keys: an opening costs more than they do.
TOURS = {
    SMALL: (
        ("desk_80x24", ()),
        ("start_run_80x24", ("f3",)),
        ("crib_80x24", ("escape", "f8", "down")),
        ("lend_80x24", ("f11", "enter", "t")),
        ("piece_80x24", ("escape", "escape", "escape", "f8", *"gb-1000-1", "enter")),
    ),
    LARGE: (("desk_140x45", ()),),
}


@pytest.mark.parametrize(("size", "tour"), TOURS.items())
def test_the_screens_look_as_they_were_kept(
    size: tuple[int, int], tour: tuple[tuple[str, tuple[str, ...]], ...]
) -> None:
    async def act(at: Drive) -> None:
        for name, keys in tour:
            await at.press(*keys)
            assert_golden(name, at.screen())

    drive(act, size=size)


def test_a_hub_without_a_plan_looks_as_it_was_kept() -> None:
    async def act(at: Drive) -> None:
        await at.press("f4")
        assert_golden("refused_80x24", at.screen())

    drive(act, bench=Bench(BLOCKED))
