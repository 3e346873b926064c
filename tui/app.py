"""The screens as one program. Nothing heavier than the first screen is loaded before it is seen."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path, PurePath
from typing import TYPE_CHECKING, Any, ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.reactive import reactive
from textual.screen import Screen

from broachplan.shop_words import ShopWords
from tui.desks import Desks
from tui.drafts import Drafts
from tui.registry import screen
from tui.stack import StackedApp

if TYPE_CHECKING:
    from textual.command import Provider

    from broachplan.desks.elsewhere import CribWatch
    from broachplan.lengths import Units
    from broachplan.questions.hub import PlanRequest
    from tui.bases.hand import HandScreen


_HANDS = ("lend", "return")
_PALETTE = "--command-palette"
_STYLES = Path(__file__).parent / "styles"


def _acts() -> type[Provider]:
    from tui.palette import Acts

    return Acts


class BroachplanApp(StackedApp):
    """The machinist's desk, the press and the crib."""

    TITLE = "broachplan"
    CSS_PATH: ClassVar[list[str | PurePath]] = [_STYLES / "shared.tcss"]
    COMMANDS: ClassVar[set[Any]] = {_acts}
    COMMAND_PALETTE_DISPLAY = "^p"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1,question_mark", "help", "help", id="app.help", tooltip="Every key and what it does"),
        Binding("f7", "safety", "safety", show=False, id="app.safety", tooltip="The cautions of all push broaching"),
        Binding("f9", "other_units", "units", show=False, id="app.units", tooltip="Show lengths in inches, fractions or millimetres"),
        Binding("f11,ctrl+l", "lend", "lend", priority=True, id="app.lend", tooltip="Lend pieces or a set: tag, name, enter, the next tag"),
        Binding("f12,ctrl+r", "take_back", "return", priority=True, id="app.return", tooltip="Take pieces or a set back and inspect them"),
        Binding("ctrl+d", "buyer", "buying", show=False, priority=True, id="app.buyer", tooltip="The buyer's desk: what cannot be cut yet, what to make, buy or borrow"),
        Binding("ctrl+f", "first_tools", "first tools", show=False, priority=True, id="app.start", tooltip="Take the first tools in, step by step: those of one hub, its plan, then the rest of the box"),
        Binding("ctrl+z", "other_picture", "dots or blocks", show=False, id="app.picture", tooltip="The picture in dots, or in blocks where the font has no dots"),
        Binding("ctrl+t", "other_theme", "light or dark", show=False, id="app.theme", tooltip="Light screens or dark ones"),
        Binding("tab", "line(1)", "next", show=False, priority=True, id="app.next", tooltip="The next line or list"),
        Binding("shift+tab", "line(-1)", "before", show=False, priority=True, id="app.before", tooltip="The line or list before"),
        Binding("ctrl+q", "quit", "quit", show=False, priority=True, id="app.quit", tooltip="Leave the program"),
    ]  # fmt: skip
    units: reactive[Units | None] = reactive(None)
    # Whether pictures are drawn in blocks: for a font without braille.
    blocks: reactive[bool] = reactive(False)
    # The shop's own words for lending, returning and the crib.
    shop_words: reactive[ShopWords] = reactive(ShopWords())
    # Counts what was changed in the crib from here: whatever shows it looks again.
    changes: reactive[int] = reactive(0)
    # The mark of the crib when it was written to last, here or at another station.
    written: reactive[int] = reactive(0)

    def __init__(
        self,
        db: str | None = None,
        request: PlanRequest | None = None,
        desks: Desks | None = None,
        first_tools: bool = False,
    ) -> None:
        super().__init__()
        self._first_tools = first_tools
        # Textual types these two so that a class of ours may not set them.
        self.HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (116, "-wide")]
        self.VERTICAL_BREAKPOINTS = [(0, "-low"), (36, "-high")]
        self.db = db
        # Who is at the desk, typed once and kept until the program is left.
        self.by = ""
        self.drafts = Drafts()
        self.desks = desks or Desks()
        self._start = request
        self._watch: CribWatch | None = None

    def get_default_screen(self) -> Screen[None]:
        """What can be drawn at once."""
        first: Screen[None] = screen("first")()
        return first

    def on_ready(self) -> None:
        """The desk is loaded when the first screen has been seen."""
        self.call_after_refresh(self._open)

    async def open_desk(self) -> None:
        """Lay the machinist's desk over the first screen."""
        await self.push_screen(screen("desk")(self.db, self._start, self.desks))

    async def open_crib(self) -> None:
        """The attendant's desk, over whatever is on screen."""
        units = getattr(self.screen, "shop_units", None)
        made = screen("crib")(self.db, self.desks, units) if units else screen("crib")(self.db, self.desks)
        await self.push_screen(made)

    async def _open(self) -> None:
        await self.open_desk()
        if self._first_tools:
            # It lets the keys go itself, once its lines are there.
            await self.action_first_tools()
        else:
            self.release_keys()

    def get_key_display(self, binding: Binding) -> str:
        """Function keys as the keyboard names them."""
        key = binding.key
        return key.upper() if key[:1] == "f" and key[1:].isdigit() else super().get_key_display(binding)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Over a question nothing is lent."""
        if action == "line":
            return self.focused is not None
        if action == "buyer":
            return self.screen.name not in ("buyer", "confirm", "first")
        if action == "first_tools":
            return not self.screen.is_modal and self.screen.name != "start"
        if action in ("lend", "take_back"):
            # The palette lists what can be done on the screen that it was opened over.
            below = self.screen_stack[-2] if self.screen.id == _PALETTE else self.screen
            return not below.is_modal or below.name in _HANDS
        return super().check_action(action, parameters)

    def action_line(self, step: int) -> None:
        """To the next line or list, at once: keys typed behind the tab in one burst must find it."""
        if step > 0:
            self.screen.focus_next()
        else:
            self.screen.focus_previous()

    def action_help(self) -> None:
        """List every action of the screens."""
        if self.screen.name != "help":
            self.push_screen(screen("help")(self.shop_words, self.screen))

    def crib_changed(self) -> None:
        """Whatever shows the crib looks again."""
        self.changes += 1

    def crib_mark(self) -> int:
        """What was written until now, as a number that grows; whatever is read after it is as new as that, or newer."""
        return self._watch.mark() if self._watch is not None else 0

    def watch_crib(self) -> None:
        """From now on `written` grows when somebody writes to the crib, at whatever station."""
        from broachplan.desks.elsewhere import CribWatch
        from broachplan.errors import StorageError

        if self._watch is None:
            with suppress(StorageError):  # a name that is none: who reads the crib says so
                self._watch = CribWatch(self.db)
                self._watch.start(lambda _: self.call_later(self.look_elsewhere))

    def look_elsewhere(self) -> None:
        """See whether somebody wrote to the crib."""
        self.written = self.crib_mark()

    def on_unmount(self) -> None:
        """Nothing of the crib stays open."""
        if self._watch is not None:
            self._watch.close()
            self._watch = None

    async def action_lend(self) -> None:
        """Lend, over whatever is on screen; keys behind this one wait for the form."""
        await self._hand(screen("lend"))

    async def action_take_back(self) -> None:
        """Take back, over whatever is on screen."""
        await self._hand(screen("return"))

    async def action_buyer(self) -> None:
        """The buyer's desk, over whatever is on screen; keys behind this one wait for it."""
        from tui.widgets.entry import wait_for_pending_keys

        await wait_for_pending_keys(self.screen)
        if self.screen.id != _PALETTE and self.screen.name != "buyer":
            await self.push_screen(screen("buyer")(self.db, self.desks))

    async def action_first_tools(self) -> None:
        """To the guided first crib; keys behind this one wait for it. Its hub goes into the desk's form."""
        await self.push_screen(screen("start")(self.db, self.desks), self._take_hub)

    def _take_hub(self, hub: PlanRequest | None) -> None:
        desks: list[Any] = [each for each in self.screen_stack if each.name == "desk"]
        for desk in desks if hub is not None else ():
            desk.take_hub(hub)

    async def _hand(self, form: Any) -> None:
        """Open the form, with the chosen piece in it; another that is there gives way when all entered in it is done."""
        from tui.bases.hand import HandScreen
        from tui.widgets.entry import wait_for_pending_keys

        await wait_for_pending_keys(self.screen)
        here = self.screen
        if here.id == _PALETTE:
            return
        if not isinstance(here, HandScreen):
            await self.push_screen(form(self.db, self.desks, form.begins_with(here), self.by))
        elif not isinstance(here, form):
            here.give_way(lambda: self._in_place(form, here), if_refused=True)

    def _in_place(self, form: Any, here: HandScreen) -> None:
        made = form(self.db, self.desks, form.begins_with(here), here.form.value("by"))
        made.go_on_from(here)
        self.switch_screen(made)

    async def action_command_palette(self) -> None:  # type: ignore[override]
        """Find an action by its words."""
        from tui.palette import Palette

        if self.screen.id != _PALETTE:
            await self.push_screen(Palette(id=_PALETTE))

    async def action_quit(self) -> None:
        """Leave the program when all that was scanned is on the disk; where it cannot be, ask before it is lost."""
        from tui.bases.drafting import DRAFTS

        # An empty list would mean every worker there is.
        if drafts := [each for each in self.workers if each.group == DRAFTS]:
            await self.workers.wait_for_complete(drafts)
        from tui.widgets.entry import wait_for_pending_keys

        await wait_for_pending_keys(self.screen)
        lost = [f"{self.drafts.lost}: the count that is not finished"] if self.drafts.lost else []
        lost += filter(None, (getattr(each, "unsaved", "") for each in self.screen_stack))
        if not lost or self.screen.name == "leave":
            if self.screen.name != "leave":
                await super().action_quit()
            return
        asked = screen("leave")("Leave the program?", f"{'; '.join(lost)} would be lost.")
        await self.push_screen(asked, lambda answer: self.exit() if answer else None)

    def action_safety(self) -> None:
        """The cautions of the work."""
        from broachplan.tooling.drive import Drive
        from tui.bases.pane import Pane
        from tui.safety import safety_text

        if self.screen.name != "safety":
            text = safety_text(getattr(self.screen, "drive", Drive.NOT_KNOWN))
            self.push_screen(Pane("Cautions of the work", text, name="safety"))

    def _fatal_error(self) -> None:
        """A fault of ours while drawing: one line and a report, instead of a page of frames."""
        error = sys.exc_info()[1]
        if isinstance(error, Exception):
            self.panic(Text(self.desks.line_for(error)))
        else:
            super()._fatal_error()

    def action_other_units(self) -> None:
        """Inches, fractions, millimetres, in turn."""
        from broachplan.lengths import Units

        shown = getattr(self.screen, "units", None) or Units.INCH
        ways = list(Units)
        self.units = ways[(ways.index(shown) + 1) % len(ways)]

    def action_other_picture(self) -> None:
        """Pictures in dots or in blocks, from now on; the setting says what the next start begins with."""
        self.blocks = not self.blocks

    def action_other_theme(self) -> None:
        """Light or dark."""
        self.theme = "textual-light" if self.current_theme.dark else "textual-dark"


def run(
    db: str | None = None,
    request: PlanRequest | None = None,
    *,
    first_tools: bool = False,
    report: Callable[[Exception], str] | None = None,
) -> None:
    """Open the screens on the crib at ``db``; with a request its hub is in the form and is planned at once.

    ``first_tools`` lays the guided first crib over the desk.

    ``report`` writes a fault of our own to a file and gives the one line about it.
    """
    app = BroachplanApp(db, request, Desks(report=report), first_tools)
    app.run()
    if app.return_code:
        raise SystemExit(app.return_code)
