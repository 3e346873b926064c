"""What the buyer's screens share: the coming jobs judged in a worker, with a bar that says how far it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from textual import on
from textual.message import Message

from tui.bases.asking import AskingScreen

Result = TypeVar("Result")
_BAR, _STEPS = 24, 50


class JudgedSoFar(Message):
    """So many steps are done of so many."""

    def __init__(self, done: int, total: int) -> None:
        super().__init__()
        self.done = done
        self.total = total


class JudgingScreen(AskingScreen[Result]):
    """Draws no result while something else is asked: the last one asked for counts."""

    judging = False

    def judge(self, request: object, then: Callable[[Any], object], words: str = "judging the jobs") -> None:
        """Send a request whose desk says how far it is; `is_judged` is then called with what it comes to."""
        self.judging = True
        self._words = words
        self.say(f"{words} ...")
        self.send(request, then=then, group="judge", progress=self._progress)

    def judged(self) -> None:
        """Take the bar away."""
        self.judging = False
        self.say("")

    def _progress(self, done: int, total: int) -> None:
        if not done % max(1, total // _STEPS):
            self.post_message(JudgedSoFar(done, total))

    @on(JudgedSoFar)
    def _so_far(self, event: JudgedSoFar) -> None:
        if self.judging:
            full = _BAR * event.done // max(event.total, 1)
            bar = "█" * full + "·" * (_BAR - full)
            self.say(f"{self._words} {bar} {event.done:,} of {event.total:,} steps")
