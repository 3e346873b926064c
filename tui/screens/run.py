"""At the press: a run carried out step by step, by digits and the five keys of a number pad."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widgets import Input, Static

from broachplan.errors import CribStateError
from broachplan.questions.at_press import RunAtPressRequest
from broachplan.questions.runs import RunResumeRequest
from broachplan.tooling.drive import Drive
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.press.acts import Act
from tui.press.decisions import after_a_break, decision
from tui.press.drawn import drawn
from tui.press.gauging import Gauging
from tui.press.meant import list_of, meant
from tui.press.question import Leave, Measure, PadOutcome, PressQuestion, Say, Send
from tui.press.sight import Sight
from tui.press.typed import PadKey, opened
from tui.press.view import PressView
from tui.widgets.keybar import KeyBar
from tui.widgets.pad_line import PadLine
from tui.widgets.press_line import PressLine
from tui.widgets.sight_view import SightView

_ACT = "press"


class RunScreen(AskingScreen[None]):
    """One step at a time. Lines are taken in the order in which they are typed, each when the one before is booked.

    ``fresh``: the run was started here just now, so that no push can be unbooked. ``ahead`` holds the lines that were typed
    for it before it was there, and what the next one begins with.
    """

    CSS_PATH = "../styles/run.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "leave", id="run.leave", tooltip="Back from a list; else leave the screen: the run stays as it is"),
        Binding("f5", "read", "read again", show=False, id="run.read", tooltip="Read the run again, as it is in the crib"),
        Binding("pageup", "scroll_body(-8)", "page up", show=False, priority=True, id="run.page_up", tooltip="A page up in a long text"),
        Binding("pagedown", "scroll_body(8)", "page down", show=False, priority=True, id="run.page_down", tooltip="A page down in a long text"),
    ]  # fmt: skip

    def __init__(
        self, db: str | None, desks: Desks, run: str, *, fresh: bool = False, ahead: Sequence[str] = ("",)
    ) -> None:
        super().__init__(db, desks, name="run")
        self.run = run
        self.view: PressView | None = None
        self.asked: PressQuestion | None = None
        self.gauging = Gauging()
        self._fresh = fresh
        *lines, self._begun = ahead
        self._waiting: deque[str] = deque(lines)
        self._doing = ""
        self._takes_over = ""
        self._left: deque[Act] = deque()
        self._busy = False

    def compose(self) -> ComposeResult:
        """What is to be done, what was wrong, the line with its unit, the keys."""
        yield SightView(id="sight")
        yield Static(id="wrong", markup=False)
        with Horizontal(id="entry"):
            yield Static(id="prompt", markup=False)
            yield Static("▸", id="mark", markup=False)
            yield PressLine(id="typed", value=self._begun)
            yield Static(id="unit", markup=False)
        yield Static(id="below", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Read the run when the screen has been seen."""
        self.pad.focus()
        self.query_one("#wrong").display = False
        self._draw()
        self.call_after_refresh(self.action_read)

    def on_screen_resume(self) -> None:
        """Back from another screen: the crib may have changed."""
        if self.view is not None and not self._busy:
            self.action_read()

    @property
    def drive(self) -> Drive:
        """What drives the press: cautions are worded for it."""
        return self.view.drive if self.view else Drive.NOT_KNOWN

    @property
    def pad(self) -> PressLine:
        """The line that is typed."""
        return self.query_one("#typed", PressLine)

    def action_read(self) -> None:
        """Read the run as it is in the crib."""
        if not self._busy:
            self._busy = True
            self.send(RunAtPressRequest(self.run), then=self._shown, group=_ACT)

    def action_leave(self) -> None:
        """Back to the step, or off the screen; the run stays as it is."""
        if self.pad.value or self.asked is not None:
            self.pad.value = ""
            self.asked = None
            self._draw()
        else:
            self.dismiss(None)

    def palette_lines(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """Every line of the lists that the keys open, with what types it."""
        if self.view is None:
            return
        for key in PadKey:
            for digit, (words, _) in enumerate(list_of(key, self.view).answers, 1):
                yield f"{key}{digit}  {words}", partial(self._take, f"{key}{digit}")

    def _take(self, text: str) -> None:
        """As if it were typed, with Enter behind it."""
        self._waiting.append(text)
        self._go_on()

    def action_scroll_body(self, lines: int) -> None:
        """Scroll a long text."""
        self.query_one("#body").scroll_relative(y=lines, animate=False)

    @on(Input.Changed, "#typed")
    def _types(self) -> None:
        """A key shows its list while it is in the line."""
        self._draw()

    @on(PadLine.Entered)
    def _entered(self, event: PadLine.Entered) -> None:
        self._take(event.text)

    def _go_on(self) -> None:
        """Take the lines that wait, until one of them is for the desk."""
        while self._waiting and not self._busy and self.view is not None:
            self._doing = self._waiting.popleft()
            self.wrong("")
            outcome = meant(self.view, self.asked or decision(self.view), self._doing)
            if outcome is not None:
                self._do(outcome)
        self._draw()

    def _do(self, outcome: PadOutcome) -> None:
        if isinstance(outcome, Say):
            self.wrong("\n".join(outcome.lines))
        elif isinstance(outcome, PressQuestion):
            self.asked = outcome
        elif isinstance(outcome, Leave):
            self.asked = None
        elif isinstance(outcome, Measure):
            self.gauging, self.asked = outcome.gauging, None
            assert self.view is not None
            self.view = replace(self.view, gauging=self.gauging)
        elif isinstance(outcome, Send):
            self._left = deque(outcome.acts)
            self._send_next()

    def _send_next(self) -> None:
        assert self.view is not None
        self._busy = True
        act = self._left.popleft()(self.view)
        # The person who takes the tools is at the press from then on.
        self._takes_over = act.by if isinstance(act, RunResumeRequest) else ""
        self.send(act, RunAtPressRequest(self.run), then=self._acted, group=_ACT)

    def _acted(self, kept: Any, result: Any) -> None:
        self.shop.by = self._takes_over or self.shop.by
        # A desk keeps what its act came to beside the run.
        self._shown(result, getattr(kept, "acted", kept))

    def _shown(self, result: Any, acted: Any = None) -> None:
        """The run as it is now; what belongs to the same line follows at once."""
        first = self.view is None
        self.view = PressView.of(result, self.shop.by, self.gauging, acted)
        self._busy = False
        if first and not self._fresh:
            self.asked = after_a_break(self.view)
        elif self._doing:
            self.asked = None
        if self._left:
            self._send_next()
            return
        self._doing = ""
        self._go_on()

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        """Nothing typed is lost: it is put back, and what was typed behind it is named."""
        self._busy = False
        self._left.clear()
        behind = [plain(text) for text in self._waiting]
        self._waiting.clear()
        if self._doing and not self.pad.value:
            self.pad.value = self._doing
            self.pad.cursor_position = len(self._doing)
        more = f"\nTyped behind it and not done: {', '.join(behind)}" if behind else ""
        self._doing = ""
        self.wrong(f"NOT DONE: {event.line}{more}")
        if self.view is not None and isinstance(event.error, CribStateError):
            self.action_read()
        self._draw()

    def wrong(self, text: str) -> None:
        """Why something was not done; empty takes the words away."""
        self.query_one("#wrong").display = bool(text)
        self.query_one("#wrong", Static).update(Text("\n".join(map(plain, text.splitlines()))))

    def _draw(self) -> None:
        """The list of a key while it is typed, else what is asked, else the step."""
        if self.view is None:
            sight = Sight(work=f"RUN {plain(self.run)}", said=("reading ...",))
        else:
            key = opened(self.pad.value)
            question = list_of(key, self.view) if key else self.asked
            sight = drawn(self.view, question)
        self.query_one(SightView).show(sight)
        for name, words in (("prompt", sight.prompt), ("unit", sight.unit), ("below", sight.below)):
            self.line(name, words)
        self.query_one("#below").display = bool(sight.below)
