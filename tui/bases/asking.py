"""What the attendant's screens share: desks asked in workers, a line on top to type or scan in, and reading again."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from functools import partial
from inspect import isawaitable
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, cast

from rich.text import Text
from textual import on
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Static
from textual.worker import get_current_worker

from broachplan.desks.sending import changes_crib
from broachplan.lengths import Units
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.stack import StackedScreen
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import worded

if TYPE_CHECKING:
    from tui.app import BroachplanApp

Result = TypeVar("Result")
T = TypeVar("T")
READ = "read"
_OLD = "CHANGED ELSEWHERE: F5 reads again"


class Failed(Message):
    """A desk could not do what it was asked; ``line`` says why, ``group`` what was asked, ``error`` what was raised."""

    def __init__(self, line: str, group: str, error: Exception | None = None) -> None:
        super().__init__()
        self.line = line
        self.group = group
        self.error = error


class Answered(Message):
    """What was asked is there; ``then`` draws it."""

    def __init__(self, then: Callable[[Any], object], result: object) -> None:
        super().__init__()
        self.then = then
        self.result = result


class AskingScreen(StackedScreen[Result]):
    """Sends requests to their desks in a worker; the result is a message.

    A request that fails ends in `Failed`, which each screen handles.
    """

    def __init__(self, db: str | None, desks: Desks, *, name: str) -> None:
        super().__init__(name=name)
        self.db = db
        self.desks = desks
        self._drawn: dict[str, str] = {}

    @property
    def shop(self) -> BroachplanApp:
        """The app, which keeps who is at the desk."""
        return cast("BroachplanApp", self.app)

    def send(self, *requests: object, then: Callable[..., object], group: str = "", **beside: Any) -> None:
        """Send requests to their desks, one after the other, in a worker; then call ``then`` with their results.

        Of a ``group``, else of requests of one kind, the last one sent counts: what one before comes to is not drawn.
        What changes the crib makes whatever shows it look again, also where this screen is left meanwhile.
        ``beside`` goes to each desk beside its request.
        """
        desks, db, shop = self.desks, self.db, self.shop

        def act() -> list[Any]:
            results = []
            for request in requests:
                results.append(desks.send(db, request, **beside))
                if changes_crib(request):
                    shop.call_later(shop.crib_changed)
            return results

        self.work(act, then=lambda results: then(*results), group=group or type(requests[0]).__name__)

    def work(self, act: Callable[[], T], *, then: Callable[[T], object], group: str) -> None:
        """As `send`, for what takes more than requests: ``act`` computes in the worker and touches no widget."""
        work = partial(self._worked, act, then, group)
        self.run_worker(work, thread=True, exclusive=True, exit_on_error=False, group=group)

    def _worked(self, act: Callable[[], T], then: Callable[[T], object], group: str) -> None:
        worker = get_current_worker()
        message: Message
        try:
            message = Answered(then, act())
        except Exception as error:
            message = Failed(self.desks.line_for(error), group, error)
        if not worker.is_cancelled:
            self.post_message(message)

    @on(Answered)
    async def _is_answered(self, event: Answered) -> None:
        drawn = event.then(event.result)
        if isawaitable(drawn):
            await drawn

    @on(Failed)
    def _rings(self) -> None:
        """Eyes are on the piece in the hand: what was refused is heard too."""
        self.app.bell()

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Leave; what is still being asked is not waited for, and not drawn on a screen that goes."""
        self.workers.cancel_node(self)
        return super().dismiss(result)

    def line(self, name: str, text: str) -> None:
        """Put plain words into one of the screen's lines; an unchanged line is not laid out again."""
        text = worded(self.app).sentence(text)
        if self._drawn.get(name) != text:
            self._drawn[name] = text
            self.query_one(f"#{name}", Static).update(Text(plain(text)))

    def say(self, text: str, *, wrong: bool = False) -> None:
        """One line about what is typed or was done."""
        self.query_one("#said", Static).set_class(wrong, "-wrong")
        self.line("said", text)


class AttendingScreen(AskingScreen[Result]):
    """A screen with a line on top that takes everything typed or scanned; it reads again when the crib was changed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f10", "go('more')", "more", priority=True, id="attend.more", tooltip="More: counts, holds, wear, past stock, and acts on the chosen piece or set"),
        Binding("ctrl+n", "go('counts')", "counts", show=False, priority=True, id="attend.counts", tooltip="Count a drawer; counts, and drawers by when they were counted last"),
        Binding("ctrl+o", "go('holds')", "holds", show=False, priority=True, id="attend.holds", tooltip="What is held, for which work, on which days"),
        Binding("ctrl+g", "go('wear')", "wear", show=False, priority=True, id="attend.wear", tooltip="What the broaches have cut, and which are due"),
        Binding("ctrl+y", "go('stock')", "past stock", show=False, priority=True, id="attend.stock", tooltip="The stock on a past day"),
        Binding("ctrl+b", "go('labels')", "labels", show=False, priority=True, id="attend.labels", tooltip="Labels with a QR code for pieces, as a PDF to print"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, units: Units, *, name: str) -> None:
        super().__init__(db, desks, name=name)
        self.shop_units = units
        self._stale = False
        # The crib's mark at the last reading, and the title without a word about that.
        self._mark: int | None = None
        self._title = ""

    @classmethod
    def over(cls, here: AttendingScreen[Any]) -> Screen[Any]:
        """This screen, opened from another of the attendant's."""
        # Each screen of this kind takes just these.
        kind: Any = cls
        made: Screen[Any] = kind(here.db, here.desks, here.shop_units)
        return made

    def on_mount(self) -> None:
        """Read when the screen has been seen."""
        self.top.focus()
        self.watch(self.app, "units", self.draw, init=False)
        self.watch(self.app, "changes", self._changed, init=False)
        self.shop.watch_crib()
        self.watch(self.app, "written", self._written, init=False)
        self.call_after_refresh(self.read)

    def on_screen_resume(self) -> None:
        """Back from another screen: the next text typed replaces the one in the line."""
        self.top.select_all()
        if self._stale:
            self._stale = False
            self.read()

    @property
    def top(self) -> EntryLine:
        """The line that takes what is typed."""
        return self.query_one("#filter", EntryLine)

    @property
    def units(self) -> Units:
        """The units shown in: those chosen on the screen, else the shop's."""
        return self.shop.units or self.shop_units

    @property
    def at_hand(self) -> str:
        """The tag, or the name of the set, that is chosen here and would be lent or taken back."""
        return ""

    @abstractmethod
    def read(self) -> None:
        """Ask the desk for what this screen shows, in the group `READ`."""

    @abstractmethod
    def draw(self) -> None:
        """Draw what was read."""

    async def action_go(self, name: str) -> None:
        """On to another list or form of the desk."""
        await self.app.push_screen(screen(name).over(self))

    async def open_piece(self, tag: str) -> None:
        """Show one piece on a screen of its own; keys behind this one wait for it."""
        await self.app.push_screen(screen("piece")(self.db, self.desks, self.units, tag))

    @property
    def old(self) -> bool:
        """Whether somebody wrote to the crib since this was read."""
        return self._mark is not None and self.shop.written > self._mark

    def work(self, act: Callable[[], T], *, then: Callable[[T], object], group: str) -> None:
        """As on any screen; what is read is as new as the crib was just before."""
        if group != READ:
            super().work(act, then=then, group=group)
            return
        shop = self.shop

        def drawn(read: tuple[int, T]) -> object:
            self._mark, result = read
            done = then(result)
            self._draw_old()
            return done

        super().work(lambda: (shop.crib_mark(), act()), then=drawn, group=group)

    def line(self, name: str, text: str) -> None:
        """As on any screen; the title says when what is below it is old."""
        if name == "title":
            self._title = text
            text = f"{_OLD}   {text}" if self.old else text
        super().line(name, text)

    def _draw_old(self) -> None:
        if self._title:
            self.line("title", self._title)

    def _written(self) -> None:
        """Read again where nothing is being typed; under a hand no row moves."""
        if not self.old:
            return
        if not self.is_current:
            self._stale = True
        elif self.top.value:
            self._draw_old()
        else:
            self.read()

    @on(EntryLine.Changed, "#filter")
    def _line_is_free(self, event: EntryLine.Changed) -> None:
        if not event.value:
            self._written()

    def _changed(self) -> None:
        if self.is_current:
            self.read()
        else:
            self._stale = True
