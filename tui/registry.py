"""The screens by name, each loaded when it is opened. Menu and help are made from here; no screen names another's module."""

from __future__ import annotations

from enum import StrEnum
from importlib import import_module
from typing import Any, NamedTuple


class Menu(StrEnum):
    """The parts of the attendant's menu."""

    LISTS = "lists"
    ACTS = "acts"


class ScreenEntry(NamedTuple):
    """A screen: where its class is, or the description of its list; in the attendant's menu its part, letter and words."""

    module: str
    named: str
    menu: Menu | None = None
    letter: str = ""
    words: str = ""


_S, _L = "tui.screens", "broachplan.views"
SCREENS: dict[str, ScreenEntry] = {
    "first": ScreenEntry(f"{_S}.first", "FirstScreen"),
    "start": ScreenEntry(f"{_S}.start", "StartScreen"),
    "desk": ScreenEntry(f"{_S}.desk", "DeskScreen"),
    "start_run": ScreenEntry(f"{_S}.start_run", "StartRunScreen"),
    "run": ScreenEntry(f"{_S}.run", "RunScreen"),
    "refusals": ScreenEntry(f"{_S}.refusals", "RefusalsScreen"),
    "materials": ScreenEntry(f"{_S}.materials", "MaterialsScreen"),
    "joint": ScreenEntry(f"{_S}.joint", "JointScreen"),
    "help": ScreenEntry(f"{_S}.help", "HelpScreen"),
    "confirm": ScreenEntry(f"{_S}.confirm", "ConfirmScreen"),
    "leave": ScreenEntry(f"{_S}.leave", "LeaveScreen"),
    "lend": ScreenEntry(f"{_S}.lend", "LendScreen"),
    "return": ScreenEntry(f"{_S}.take_back", "TakeBackScreen"),
    "set_list": ScreenEntry(f"{_S}.set_list", "SetListScreen"),
    "crib": ScreenEntry(f"{_S}.crib", "CribScreen"),
    "more": ScreenEntry(f"{_S}.more", "MoreScreen"),
    "job": ScreenEntry(f"{_S}.job", "JobScreen"),
    "job_form": ScreenEntry(f"{_S}.job_form", "JobFormScreen"),
    "job_import": ScreenEntry(f"{_S}.job_import", "JobImportScreen"),
    "basket": ScreenEntry(f"{_S}.basket", "BasketScreen"),
    "offer_lists": ScreenEntry(f"{_S}.offer_lists", "OfferListsScreen"),
    "print": ScreenEntry(f"{_S}.print", "PrintScreen"),
    "piece": ScreenEntry(f"{_S}.piece", "PieceScreen"),
    "edit": ScreenEntry(f"{_S}.edit", "EditScreen"),
    "regrind": ScreenEntry(f"{_S}.regrind", "RegrindScreen"),
    "out": ScreenEntry(f"{_L}.out", "OUT"),
    "sets": ScreenEntry(f"{_L}.sets", "SETS"),
    "actions": ScreenEntry(f"{_L}.history", "ACTIONS"),
    "count": ScreenEntry(f"{_S}.count", "CountScreen"),
    "count_list": ScreenEntry(f"{_L}.counts", "COUNTS"),
    "settle": ScreenEntry(f"{_S}.settle", "SettleScreen"),
    "add": ScreenEntry(f"{_S}.add", "AddScreen", Menu.LISTS, "a", "take a new piece in"),
    "bring_in": ScreenEntry(f"{_S}.bring_in", "BringInScreen", Menu.LISTS, "e", "bring pieces in from files"),
    "counts": ScreenEntry(f"{_L}.counts", "DRAWERS", Menu.LISTS, "c", "count a drawer; counts, drawers"),
    "missing": ScreenEntry(f"{_L}.missing", "MISSING", Menu.LISTS, "m", "what is missing"),
    "to_inspect": ScreenEntry(f"{_L}.to_inspect", "TO_INSPECT", Menu.LISTS, "n", "back and not yet inspected"),
    "holds": ScreenEntry(f"{_L}.holds", "HOLDS", Menu.LISTS, "o", "what is held, for which work"),
    "wear": ScreenEntry(f"{_L}.wear", "WEAR", Menu.LISTS, "w", "what broaches cut; what is due"),
    "runs": ScreenEntry(f"{_L}.runs", "OPEN_RUNS", Menu.LISTS, "u", "runs that are open"),
    "jobs": ScreenEntry(f"{_L}.jobs", "JOBS", Menu.LISTS, "d", "the jobs that are due"),
    "buyer": ScreenEntry(f"{_S}.buyer", "BuyerScreen", Menu.LISTS, "y", "the buyer's desk: what to buy"),
    "stock": ScreenEntry(f"{_L}.stock", "STOCK", Menu.LISTS, "p", "the stock on a past day"),
    "hold": ScreenEntry(f"{_S}.hold", "HoldScreen", Menu.ACTS, "h", "hold for named work by the day"),
    "release": ScreenEntry(f"{_S}.hold", "ReleaseScreen", Menu.ACTS, "r", "release from a hold"),
    "inspect": ScreenEntry(f"{_S}.take_back", "InspectScreen", Menu.ACTS, "i", "note an inspection"),
    "book": ScreenEntry(f"{_S}.book", "BookScreen", Menu.ACTS, "b", "book the cuts of a broach"),
    "found": ScreenEntry(f"{_S}.found", "FoundScreen", Menu.ACTS, "f", "a missing piece turned up"),
    "lost": ScreenEntry(f"{_S}.away", "LostScreen", Menu.ACTS, "x", "lost, out or in the crib"),
    "broken": ScreenEntry(f"{_S}.away", "BrokenScreen", Menu.ACTS, "k", "broken, out or in the crib"),
    "send": ScreenEntry(f"{_S}.away", "SendScreen", Menu.ACTS, "g", "send out to be reground"),
    "receive": ScreenEntry(f"{_S}.away", "ReceiveScreen", Menu.ACTS, "v", "receive what was sent out"),
    "join": ScreenEntry(f"{_S}.boxes", "JoinScreen", Menu.ACTS, "j", "put into a set"),
    "split": ScreenEntry(f"{_S}.boxes", "SplitScreen", Menu.ACTS, "s", "take out of a set"),
    "labels": ScreenEntry(f"{_S}.labels", "LabelsScreen", Menu.ACTS, "l", "labels with a QR code, as a PDF"),
}  # fmt: skip
# What has keys of its own, in the order of the help: a screen by its name, anything else by module and class.
KEYS: tuple[tuple[str, str], ...] = (
    ("Everywhere", "tui.app:BroachplanApp"),
    ("Machinist's desk", "desk"),
    ("The first tools", "start"),
    ("The form", "tui.widgets.field_form:FieldForm"),
    ("The hub's form", "tui.widgets.hub_form:HubForm"),
    ("Materials", "materials"),
    ("A line with a choice", "tui.widgets.choice:Choice"),
    ("A list", "tui.widgets.ledger:Ledger"),
    ("A list below a line to type in", "tui.bases.row_keys:RowKeys"),
    ("Start a run", "start_run"),
    ("At the press: a run", "run"),
    ("A line of the number pad", "tui.widgets.pad_line:PadLine"),
    ("At the press: the number pad", "tui.widgets.press_line:PressLine"),
    ("Shaft, key and hub", "joint"),
    ("Attendant's desk", "crib"),
    ("All of the attendant's screens", "tui.bases.asking:AttendingScreen"),
    ("More", "more"),
    ("One piece", "piece"),
    ("One piece, and wear", "tui.bases.piece_acts:PieceActs"),
    ("Lend, return, hold, inspect, book", "tui.bases.hand:HandScreen"),
    ("Return and inspect", "return"),
    ("A set that comes back", "set_list"),
    ("Labels", "labels"),
    ("Buyer's desk", "buyer"),
    ("Can we do it?", "tui.bases.can_we:CanWeScreen"),
    ("Can we do it? its lines", "tui.widgets.quick_form:QuickForm"),
    ("A coming job", "job"),
    ("The list of jobs", "jobs"),
    ("A job added or changed", "job_form"),
    ("Jobs from a file", "job_import"),
    ("Pieces from files", "bring_in"),
    ("What to buy", "basket"),
    ("Lists of offers", "offer_lists"),
    ("A page or a drawing to print", "print"),
    ("Out, sets, counts, holds and other lists", "tui.bases.list_screen:ListScreen"),
    ("Sets", "sets"),
    ("Counts", "counts"),
    ("A count", "count"),
    ("A count beside the books", "settle"),
    ("Missing pieces", "missing"),
    ("To inspect", "to_inspect"),
    ("Holds", "holds"),
    ("Past stock", "tui.bases.list_screen:DaysScreen"),
    ("History of the crib", "actions"),
    ("A piece added or changed", "tui.bases.piece_form:PieceForm"),
    ("A line that completes", "tui.widgets.entry:KnownWordLine"),
    ("A question", "confirm"),
    ("A question before leaving", "leave"),
    ("Refusals", "refusals"),
    ("A text", "tui.bases.pane:Pane"),
)


def screen(name: str) -> Any:
    """The class of a screen, by its name; that of a list is made from its description."""
    entry = SCREENS[name]
    found = getattr(import_module(entry.module), entry.named)
    return (
        found if isinstance(found, type) else import_module("tui.bases.list_screen").list_screen(name, found)
    )


def with_keys(target: str) -> Any:
    """The class that `KEYS` names."""
    module, _, cls = target.partition(":")
    return getattr(import_module(module), cls) if cls else screen(target)


def in_menu(part: Menu) -> tuple[tuple[str, ScreenEntry], ...]:
    """The screens of a part of the menu, with their names."""
    return tuple((name, entry) for name, entry in SCREENS.items() if entry.menu is part)
