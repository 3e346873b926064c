"""What the buyer's screens share: the coming jobs judged in a worker, with a bar that says how far it is."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable
from functools import partial
from typing import Any, TypeVar

from textual import on
from textual.message import Message

from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks

Result = TypeVar("Result")
_BAR, _STEPS = 24, 50
_SEEN = "seen"


class JudgedSoFar(Message):
    """So many steps are done of so many, of what was asked for under a name."""

    def __init__(self, name: str, done: int, total: int) -> None:
        super().__init__()
        self.name = name
        self.done = done
        self.total = total


class DoneSoFar(Message):
    """What is being done for what was asked for under a name."""

    def __init__(self, name: str, words: str) -> None:
        super().__init__()
        self.name = name
        self.words = words


class JudgingScreen(AskingScreen[Result]):
    """Of requests of one kind the last one asked for counts."""

    def __init__(self, db: str | None, desks: Desks, *, name: str) -> None:
        super().__init__(db, desks, name=name)
        self._at_work: dict[str, str] = {}

    def judge(
        self, request: object, then: Callable[[Any], object], words: str, *, tells: bool = False
    ) -> None:
        """Send a request whose desk says how far it is; ``words`` say what it is at, and where it ``tells`` the desk does."""
        name = type(request).__name__
        self._at_work[name] = words
        self.say(f"{words} ...")

        def judged(result: Any) -> object:
            self._ended(name)
            self.say("")
            return then(result)

        beside = {"tell": partial(self._tell, name)} if tells else {}
        self.send(request, then=judged, group=name, progress=partial(self._progress, name), **beside)

    def judging(self, request: type) -> bool:
        """Whether a request of a kind is not answered yet."""
        return request.__name__ in self._at_work

    @property
    def at_work(self) -> bool:
        """Whether anything is not answered yet."""
        return bool(self._at_work)

    def _ended(self, name: str) -> None:
        self._at_work.pop(name, None)

    def _progress(self, name: str, done: int, total: int) -> None:
        if not done % max(1, total // _STEPS):
            self.post_message(JudgedSoFar(name, done, total))

    def _tell(self, name: str, words: str) -> None:
        self.post_message(DoneSoFar(name, words))

    @on(DoneSoFar)
    def _says_so_far(self, event: DoneSoFar) -> None:
        if event.name in self._at_work:
            self.say(f"{self._at_work[event.name]}: {event.words}")

    @on(JudgedSoFar)
    def _so_far(self, event: JudgedSoFar) -> None:
        if words := self._at_work.get(event.name):
            full = _BAR * event.done // max(event.total, 1)
            bar = "█" * full + "·" * (_BAR - full)
            self.say(f"{words} {bar} {event.done:,} of {event.total:,} steps")

    @on(Failed)
    def _no_more(self, event: Failed) -> None:
        self._ended(event.group)


class PageScreen(JudgingScreen[Result]):
    """A page that says when it is old: what is changed here, or at another station, never redraws it under a hand."""

    def __init__(self, db: str | None, desks: Desks, *, name: str) -> None:
        super().__init__(db, desks, name=name)
        self._asked_at = 0
        self._mark: int | None = None

    @abstractmethod
    def draw_old(self) -> None:
        """Say whether the page is old."""

    def on_mount(self) -> None:
        """Say it when anything was changed."""
        self.shop.watch_crib()
        self.watch(self.app, "changes", self.draw_old, init=False)
        self.watch(self.app, "written", self.draw_old, init=False)

    @property
    def old(self) -> bool:
        """Whether something was changed since the page was asked for."""
        elsewhere = self._mark is not None and self.shop.written > self._mark
        return not self.at_work and (elsewhere or self.shop.changes != self._asked_at)

    def judge_page(
        self, request: object, then: Callable[[Any], object], words: str, *, tells: bool = False
    ) -> None:
        """As `judge`; what is changed from now on makes the page old."""
        self._asked_at, self._mark = self.shop.changes, None
        self.say(f"{words} ...")

        def marked(mark: int) -> None:
            self._mark = mark
            self.judge(request, then, words, tells=tells)

        self.work(self.shop.crib_mark, then=marked, group=_SEEN)
