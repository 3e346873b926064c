"""Help: every action of the screens, with its key."""

from __future__ import annotations

from collections.abc import Iterator

from rich.text import Text
from textual.binding import Binding

from tui.screens.pane import Pane

_KEYS_WIDTH = 14
_KEY_WORDS = {"question_mark": "?", "pageup": "page-up", "pagedown": "page-down"}
_AFTER = "ctrl+p opens the palette: it finds the actions of the screen by their words.\nA figure is a number and its unit: 1-1/4 in, 0.625 in, 625 thou, 30 mm; limits: 1 in +0.001 -0."


def documented() -> Iterator[tuple[str, tuple[Binding, ...]]]:
    """Every screen and widget with keys of its own, and those keys."""
    from tui.app import BroachplanApp
    from tui.screens.actions import ActionsScreen
    from tui.screens.asking import AttendingScreen
    from tui.screens.confirm import ConfirmScreen
    from tui.screens.count import CountScreen
    from tui.screens.counts import CountsScreen
    from tui.screens.crib import CribScreen
    from tui.screens.desk import DeskScreen
    from tui.screens.hand import HandScreen
    from tui.screens.holds import HoldsScreen
    from tui.screens.joint import JointScreen
    from tui.screens.labels import LabelsScreen
    from tui.screens.list_screen import ListScreen
    from tui.screens.materials import MaterialsScreen
    from tui.screens.missing import MissingScreen
    from tui.screens.more import MoreScreen
    from tui.screens.piece import PieceScreen
    from tui.screens.piece_acts import PieceActs
    from tui.screens.piece_form import PieceForm
    from tui.screens.press import PressScreen
    from tui.screens.refusals import RefusalsScreen
    from tui.screens.sets import SetsScreen
    from tui.screens.settle import SettleScreen
    from tui.screens.stock import StockScreen
    from tui.screens.take_back import TakeBackScreen
    from tui.widgets.choice import Choice
    from tui.widgets.entry import KnownEntry
    from tui.widgets.field_form import FieldForm
    from tui.widgets.hub_form import HubForm
    from tui.widgets.ledger import Ledger

    for title, owner in (
        ("Everywhere", BroachplanApp),
        ("Machinist's desk", DeskScreen),
        ("The form", FieldForm),
        ("The hub's form", HubForm),
        ("Materials", MaterialsScreen),
        ("A line with a choice", Choice),
        ("A list", Ledger),
        ("At the press", PressScreen),
        ("Shaft, key and hub", JointScreen),
        ("Attendant's desk", CribScreen),
        ("All of the attendant's screens", AttendingScreen),
        ("More of the desk", MoreScreen),
        ("One piece", PieceScreen),
        ("One piece, and wear", PieceActs),
        ("Lend, return, hold, inspect, book", HandScreen),
        ("Return and inspect", TakeBackScreen),
        ("Labels", LabelsScreen),
        ("Out, sets, counts, holds and other lists", ListScreen),
        ("Sets", SetsScreen),
        ("Counts", CountsScreen),
        ("A count", CountScreen),
        ("A count beside the books", SettleScreen),
        ("Missing pieces", MissingScreen),
        ("Holds", HoldsScreen),
        ("Past stock", StockScreen),
        ("History of the crib", ActionsScreen),
        ("A piece added or changed", PieceForm),
        ("A line that completes", KnownEntry),
        ("A question", ConfirmScreen),
        ("Refusals", RefusalsScreen),
        ("A text", Pane),
    ):
        yield title, tuple(entry for entry in owner.__dict__["BINDINGS"] if isinstance(entry, Binding))


class HelpScreen(Pane):
    """All keys of all screens, in one list."""

    def __init__(self) -> None:
        super().__init__("Help: every key and what it does", help_text(), name="help")


def help_text() -> Text:
    """The whole list, made from the bindings themselves."""
    text = Text()
    for title, bindings in documented():
        text.append(f"{title}\n", "bold")
        for binding in bindings:
            text.append(f"  {key_words(binding.key).ljust(_KEYS_WIDTH)} {binding.tooltip}\n")
        text.append("\n")
    text.append(_AFTER)
    return text


def key_words(keys: str) -> str:
    """Keys as they are written on the keyboard."""
    return " ".join(
        _KEY_WORDS.get(key, key.upper() if key[0] == "f" and key[1:] else key) for key in keys.split(",")
    )
