"""The rest of the attendant's desk, one letter each: lists, and acts on what is chosen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from broachplan.tooling.figures import Kind
from tui.plain import plain
from tui.stack import StackedScreen
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from tui.screens.asking import AttendingScreen


class Way(NamedTuple):
    """A way on from any of the attendant's screens."""

    letter: str
    name: str
    words: str


LISTS = (
    Way("a", "add", "take a new piece in"),
    Way("c", "counts", "count a drawer; counts and drawers"),
    Way("m", "missing", "what is missing"),
    Way("o", "holds", "what is held, for which work and days"),
    Way("w", "wear", "what the broaches have cut; what is due"),
    Way("p", "stock", "the stock on a past day"),
)
ACTS = (
    Way("h", "hold", "hold for named work by the day"),
    Way("r", "release", "hold no more"),
    Way("i", "inspect", "note an inspection"),
    Way("b", "book", "book what a broach has cut"),
    Way("f", "found", "a missing piece turned up"),
    Way("j", "join", "put into a set"),
    Way("s", "split", "take out of a set"),
    Way("l", "labels", "labels with a QR code, as a PDF to print"),
)


class MoreScreen(ModalScreen[None], StackedScreen[None]):
    """Gives way to what is taken, at once: keys typed behind a letter find it."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "MoreScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(way.letter, f"take({way.name!r})", way.words, show=False, priority=True, id=f"more.{way.name}", tooltip=f"{way.words[:1].upper()}{way.words[1:]}")
            for way in (*LISTS, *ACTS)
        ),
        Binding("escape,f10", "take('')", "back", priority=True, id="more.leave", tooltip="Back"),
    ]  # fmt: skip

    def __init__(self, here: AttendingScreen[Any]) -> None:
        super().__init__(name="more")
        self.here = here

    def compose(self) -> ComposeResult:
        """Letters and words."""
        with Vertical(id="modal"):
            yield Static(Text("MORE OF THE DESK   press a letter"), id="modal-title")
            yield Static(self._text(), id="modal-text")
            yield KeyBar()

    async def action_take(self, name: str) -> None:
        """On to it, or back."""
        if name:
            await self.app.switch_screen(_WAYS[name](self.here))
        else:
            self.dismiss(None)

    def _text(self) -> Text:
        text = Text()
        chosen = plain(self.here.at_hand) or "a piece that is typed or scanned then"
        for title, ways in (("The crib", LISTS), (f"Acts on {chosen}", ACTS)):
            text.append(f"\n {title}\n", "bold")
            for way in ways:
                text.append(f"   {way.letter}", "bold").append(f"  {way.words}\n")
        return text


async def go(here: AttendingScreen[Any], name: str) -> None:
    """On to a list or a form; ``more`` asks which."""
    await here.app.push_screen(MoreScreen(here) if name == "more" else _WAYS[name](here))


def _add(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.add import AddScreen

    return AddScreen(here.db, here.desks, getattr(here, "kind", Kind.BROACH))


def _counts(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.counts import CountsScreen

    return CountsScreen(here.db, here.desks, here.shop_units)


def _missing(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.missing import MissingScreen

    return MissingScreen(here.db, here.desks, here.shop_units)


def _holds(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.holds import HoldsScreen

    return HoldsScreen(here.db, here.desks, here.shop_units)


def _wear(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.wear import WearScreen

    return WearScreen(here.db, here.desks, here.shop_units)


def _stock(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.stock import StockScreen

    return StockScreen(here.db, here.desks, here.shop_units)


def _labels(here: AttendingScreen[Any]) -> Screen[Any]:
    from tui.screens.labels import LabelsScreen

    return LabelsScreen(here.db, here.desks, here.at_hand)


def _form(here: AttendingScreen[Any], name: str) -> Screen[Any]:
    from tui.screens.book import BookScreen
    from tui.screens.boxes import JoinScreen, SplitScreen
    from tui.screens.found import FoundScreen
    from tui.screens.hold import HoldScreen, ReleaseScreen
    from tui.screens.inspect import InspectScreen

    forms: dict[str, Callable[..., Screen[Any]]] = {
        "hold": HoldScreen,
        "release": ReleaseScreen,
        "inspect": InspectScreen,
        "book": BookScreen,
        "found": FoundScreen,
        "join": JoinScreen,
        "split": SplitScreen,
    }
    return forms[name](here.db, here.desks, here.at_hand, here.shop.by)


_WAYS: dict[str, Callable[[AttendingScreen[Any]], Screen[Any]]] = {
    "add": _add,
    "counts": _counts,
    "missing": _missing,
    "holds": _holds,
    "wear": _wear,
    "stock": _stock,
    **{way.name: lambda here, name=way.name: _form(here, name) for way in ACTS},  # type: ignore[misc]
    "labels": _labels,
}
