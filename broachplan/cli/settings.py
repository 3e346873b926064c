"""``broachplan settings``: the shop's limits and habits, shown and changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import typer

from broachplan.cli.asking import asks
from broachplan.cli.options import AsJson, Db
from broachplan.cli.terminal import say, say_json
from broachplan.questions.acts import SettingRequest
from broachplan.questions.reads import SettingsRequest

if TYPE_CHECKING:
    from broachplan.settings import Settings

settings_app = typer.Typer(help="Show and change the shop's limits.", rich_markup_mode=None)


@settings_app.command()
def show(as_json: AsJson = False, db: Db = None) -> None:
    """List every setting: its value, what it means, where it comes from.

    \b
    Example:
      broachplan settings show
    """
    from broachplan.desks.attendant.shop_settings import show_settings

    settings = show_settings(db, SettingsRequest())
    if as_json:
        say_json(as_dict(settings))
    else:
        say(in_words(settings))


@settings_app.command("set")
@asks(SettingRequest)
def set_(request: SettingRequest, db: Db = None) -> None:
    """Change one setting of this crib.

    \b
    Example:
      broachplan settings set bushing_clearance "0.004 in"
    """
    from broachplan.desks.attendant.shop_settings import change_setting
    from broachplan.settings import written

    settings = change_setting(db, request)
    say([f"{request.name}: {written(settings, request.name)}"])


_STATUS = {"memory": "from memory", "read": "read in print", "ours": "this program's choice"}


def as_dict(settings: Settings) -> dict[str, Any]:
    """Settings and constants for another program, settings' values as `settings set` reads them."""
    from broachplan.standards.constants import CONSTANTS

    return {
        "schema": "broachplan.settings/1",
        "settings": [
            {"name": name, "value": value, "about": about, "source": source}
            for name, value, about, source in _rows(settings)
        ],
        "constants": [
            {
                "name": one.name,
                "value": one.written,
                "about": one.about,
                "source": one.source,
                "status": one.status,
            }
            for one in CONSTANTS
        ],
    }


def in_words(settings: Settings) -> list[str]:
    """Two lines or more a setting: the value, then its meaning and its source; then the constants likewise."""
    from broachplan.cli.layout import wrap
    from broachplan.standards.constants import CONSTANTS
    from broachplan.tooling.materials import RANK_NOTE

    lines = []
    for name, value, about, source in _rows(settings):
        lines.append(f"{name:<22}{value}")
        lines += wrap(f"{about}; {source}", "    ", "    ")
    lines += ["", "Constants: these decide too, and no setting changes them"]
    for one in CONSTANTS:
        lines.append(f"{one.name:<24}{one.written}")
        lines += wrap(f"{one.about}; {one.source} ({_STATUS[one.status]})", "    ", "    ")
    lines += ["", "Cutting forces: a plan names the source of each"]
    lines += wrap(RANK_NOTE, "    ", "    ")
    return lines


def _rows(settings: Settings) -> list[tuple[str, str, str, str]]:
    from broachplan.settings import ABOUT, NAMES, Settings, written

    rows = []
    for name in NAMES:
        value, default = written(settings, name), written(Settings(), name)
        source = ABOUT[name]["source"]
        if value != default:
            source = f"set by the shop; {default} when not set: {source}"
        rows.append((name, value, ABOUT[name]["about"], source))
    return rows
