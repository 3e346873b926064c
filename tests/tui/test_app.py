"""The screens as a whole: light to open, every action by key, palette and help, no page of frames on a fault."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import tui
from broachplan.errors import StorageError
from broachplan.lengths import Units
from broachplan.questions.reads import SettingsRequest
from broachplan.settings import Settings
from broachplan.sheets.result import NamedValue
from tests.tui.answers import Bench
from tests.tui.driving import Drive, assert_golden, drive
from tui.app import BroachplanApp
from tui.desks import Desks
from tui.registry import SCREENS, screen
from tui.screens.desk import DeskScreen
from tui.screens.help import documented, help_sheet, key_words
from tui.widgets.keybar import KeyBar

HEAVY = ("sqlmodel", "sqlalchemy", "alembic", "pint", "numpy", "typer")
BINDINGS = [binding for _, bindings in documented() for binding in bindings]


def modules_after(code: str) -> set[str]:
    """The modules that a fresh interpreter has loaded after ``code``."""
    shown = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint('\\n'.join(sys.modules))"],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        env={**os.environ, "PYTHONWARNINGS": ""},
    )
    return set(shown.stdout.split())


def test_importing_the_app_loads_no_database_no_units_and_no_trade() -> None:
    loaded = modules_after("import tui.app")

    assert not loaded & set(HEAVY)
    # Which characters are safe to draw, and the shop's own words, are tables without imports.
    assert {name for name in loaded if name.startswith("broachplan.")} <= {
        "broachplan.characters",
        "broachplan.shop_words",
    }


def test_the_first_screen_is_seen_before_the_desk_and_the_database_are_loaded() -> None:
    code = (
        "from tui.app import BroachplanApp\n"
        "class Seen(BroachplanApp):\n"
        "    async def open_desk(self):\n"
        "        self.exit()\n"
        "Seen().run(headless=True)"
    )

    loaded = modules_after(code)

    assert "tui.screens.first" in loaded
    assert "tui.screens.desk" not in loaded
    assert not loaded & set(HEAVY)
    assert not any(name.startswith(("broachplan.store", "broachplan.desks")) for name in loaded)


def test_every_action_has_an_id_of_its_own_and_an_explanation() -> None:
    identities = [binding.id for binding in BINDINGS]

    assert None not in identities
    assert len(set(identities)) == len(identities)
    assert all(binding.tooltip for binding in BINDINGS)


def test_help_lists_every_action_with_its_key() -> None:
    lines = [line for block in help_sheet().blocks for line in block.lines]

    for binding in BINDINGS:
        assert NamedValue(key_words(binding.key), binding.tooltip) in lines


def test_every_class_with_keys_is_in_the_help() -> None:
    """A screen or widget with keys of its own that help forgets would be found by nobody."""
    root = Path(tui.__file__).parent
    owners = sum(path.read_text(encoding="utf-8").count("BINDINGS: ClassVar") for path in root.rglob("*.py"))
    lists = [screen(name).LIST for name in SCREENS if hasattr(screen(name), "LIST")]

    assert len(lists) == 12
    assert owners + sum(bool(described.acts) for described in lists) == len(list(documented()))


def test_no_two_actions_of_one_place_share_a_key() -> None:
    for _, bindings in documented():
        keys = [key for binding in bindings for key in binding.key.split(",")]
        assert len(set(keys)) == len(keys)


def test_help_the_palette_and_light_or_dark_have_their_keys() -> None:
    async def act(at: Drive) -> None:
        await at.press("f1")
        assert "Machinist's desk" in at.words("#pane-text")
        await at.press("f1", "escape")
        assert isinstance(at.app.screen, DeskScreen)

        await at.press("ctrl+t")
        assert not at.app.current_theme.dark

        await at.press("ctrl+p", *"push", "space", *"broaching")
        await at.press("enter")
        assert at.app.screen.name == "safety"

    drive(act)


def test_the_key_bar_shows_only_keys_that_do_something_now() -> None:
    async def act(at: Drive) -> None:
        bar = str(at.desk.query_one(KeyBar).render())
        assert "F2" not in bar
        assert "F8 crib" in bar
        await at.fill("bore", "1 in")
        await at.fill("hub_length", "1 in")
        assert "F2 plan" in str(at.desk.query_one(KeyBar).render())

    drive(act, question=None)


class Broken(BroachplanApp):
    async def open_desk(self) -> None:
        raise ZeroDivisionError("drawing")


@pytest.mark.parametrize(
    ("report", "line"),
    [
        (None, "a fault of ours stopped this (ZeroDivisionError)"),
        (lambda error: f"the report of {error} is here", "the report of drawing is here"),
    ],
)
def test_a_fault_while_drawing_ends_in_one_line(
    report: object, line: str, capfd: pytest.CaptureFixture[str]
) -> None:
    app = Broken(desks=Desks(report=report))  # type: ignore[arg-type]

    app.run(headless=True)

    shown = capfd.readouterr()
    assert app.return_code == 1
    assert line in shown.err
    assert "Traceback" not in shown.err + shown.out
    assert "open_desk" not in shown.err + shown.out


def test_without_colour_the_screens_say_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pictures were kept with colour."""
    monkeypatch.setenv("NO_COLOR", "1")

    async def act(at: Drive) -> None:
        assert at.app.no_color
        assert_golden("desk_80x24", at.screen())
        await at.press("f3")
        assert_golden("start_run_80x24", at.screen())

    drive(act)


def test_units_start_as_the_shop_has_them() -> None:
    class Metric(Bench):
        def desks(self, *_: object) -> Desks:
            return super().desks({SettingsRequest: lambda *_: Settings(units=Units.MM)})

    async def act(at: Drive) -> None:
        assert "in mm and kN" in at.words("#title")

    drive(act, question=None, bench=Metric())


def test_a_crib_that_cannot_be_opened_is_reported_and_the_form_stays() -> None:
    def shut(_: str | None, __: SettingsRequest) -> Settings:
        raise StorageError("the crib is of another revision")

    class Shut(Bench):
        def desks(self, *_: object) -> Desks:
            return super().desks({SettingsRequest: shut})

    async def act(at: Drive) -> None:
        assert "another revision" in at.words("#said")
        await at.fill("bore", "1 in")
        assert isinstance(at.app.screen, DeskScreen)

    drive(act, question=None, bench=Shut())
