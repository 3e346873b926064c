"""The guided first crib on the screen: a first plan by keys alone, stopped and resumed, slips asked about."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.desks.looking import list_pieces
from tests.tui.attending import Attending, attend
from tests.tui.driving import assert_golden

HUB = ("=1 in +0.001 -0", "enter", "=1-1/8 in", "enter", "=1/4 in", "enter", "enter")
BUSHING = ("enter", "=0.9985 in", "enter", "=0.252 in", "enter", "=0.6 in", "enter", "=0.4 in", "enter")
BROACH = ("enter", "=0.2505 in", "enter", "=0.58 in", "enter", "=0.628 in", "enter", "enter")
SHIM = ("enter", "=0.046 in", "enter", "=0.248 in", "enter", "enter")
SHIM_2 = ("enter", "=0.092 in", "enter", "==", "enter", "enter")


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A crib that is not there yet, at a station of its own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "station"))
    return str(tmp_path / "own.db")


def test_keys_alone_lead_from_an_empty_crib_to_the_first_plan(own: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8")
        assert "ctrl+f takes the first tools in" in at.screen()
        await at.type("ctrl+f")
        assert (at.name, "The crib is empty" in at.words("#said")) == ("start", True)
        # A whole piece in one burst: keys behind the last line wait for the next lines.
        await at.type(*HUB, *BUSHING, "=micrometer", "enter")
        assert "3 of 5: the broach" in at.words("#title")
        assert "GU-1, a bushing, is in the crib" in at.words("#said")
        await at.type("enter", "enter")
        assert "edge of the first tooth" in at.words("#how")
        assert_golden("start_80x24", at.screen())
        await at.type("up", "up", *BROACH, *SHIM, *SHIM_2, "f4")
        assert at.name == "first_plan"
        assert "SH-2" in at.screen()
        await at.type("escape")
        assert "the rest of the box" in at.words("#title")
        await at.type("right", "right")
        await at.type("enter", "enter", "=0.0312 in", "enter", "==", "enter", "enter")
        assert "SH-3, a shim, is in the crib" in at.words("#said")
        await at.type("escape", "escape")
        # The hub goes into the desk's form, and its plan is there.
        assert at.name == "desk"
        assert "READY: 1 plan" in at.words("#verdict")

    attend(own, act)

    assert {kept.record.piece.tag for kept in list_pieces(own)} == {"BR-1", "GU-1", "SH-1", "SH-2", "SH-3"}


def test_what_is_half_typed_is_there_again_at_the_next_start(own: str) -> None:
    async def begin(at: Attending) -> None:
        await at.type("ctrl+f", *HUB, *BUSHING[:3], "f5")
        assert "half typed" in at.words("#said")
        await at.type("=0.2")
        # The program is closed as it is, without a key that leaves the screen.

    async def resume(at: Attending) -> None:
        # Opened on it at once, as its command does.
        assert "Resumed" in at.words("#said")
        assert (at.typed("outside_diameter"), at.typed("slot_width")) == ("0.9985 in", "0.2")
        await at.type("escape")
        assert at.name == "desk"

    attend(own, begin)
    attend(own, resume, first_tools=True)
    assert list_pieces(own).total == 0


def test_a_slip_and_a_figure_that_is_not_measured_are_asked_about(own: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("ctrl+f", *HUB, *BUSHING[:-2], "f2")
        assert "web: needed, or - where it is not known" in at.words("#said")
        await at.type("=0.45 in", "f2")
        assert "less slot depth is 0.3985 in: 0.0515 in apart" in at.words("#modal-text")
        await at.type("escape")
        assert (at.name, at.typed("web")) == ("start", "0.45 in")
        await at.type("f3")
        assert "OR, WITH A BROACH IN THE SLOT" in at.words("#pane-text")
        await at.type("escape")
        # A key pressed twice by chance takes nothing that was asked about.
        await at.type("f2", "f2")
        assert at.name == "confirm"
        await at.type("f2")
        assert "3 of 5: the broach" in at.words("#title")

    attend(own, act)
    assert list_pieces(own).total == 1
