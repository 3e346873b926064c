"""Whole screens as plain text, looked at and kept. BROACHPLAN_UPDATE_SCREENS=1 keeps new ones: look before."""

from __future__ import annotations

import pytest

from tests.tui.answers import BLOCKED, Bench
from tests.tui.driving import LARGE, SMALL, Drive, assert_golden, drive


@pytest.mark.parametrize(
    ("name", "size", "keys"),
    [
        ("desk_80x24", SMALL, ()),
        ("press_80x24", SMALL, ("f3", "right")),
        ("desk_140x45", LARGE, ()),
        ("crib_80x24", SMALL, ("f8", "down")),
        ("piece_80x24", SMALL, ("f8", *"gb-1000-1", "enter")),
        ("lend_80x24", SMALL, ("f8", "down", "f11", "enter", "t")),
    ],
)
def test_a_screen_looks_as_it_was_kept(name: str, size: tuple[int, int], keys: tuple[str, ...]) -> None:
    async def act(at: Drive) -> None:
        await at.press(*keys)
        assert_golden(name, at.screen())

    drive(act, size=size)


def test_a_hub_without_a_plan_looks_as_it_was_kept() -> None:
    async def act(at: Drive) -> None:
        await at.press("f4")
        assert_golden("refused_80x24", at.screen())

    drive(act, bench=Bench(BLOCKED))
