"""Screens over screens: keys, answers and messages reach the screen that they are meant for, or nothing.

A burst of keys, an answer from the crib and somebody at another station can all come to a screen while it opens, is
covered by another, or is gone. Every screen and the app itself keep to the same three rules:

- what is meant for a screen that is gone is dropped: messages, answers, watched values, actions;
- a screen under another one opens and closes nothing before it is on top again;
- keys wait until the screen that they will find is there.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Awaitable, Callable
from functools import partial
from inspect import iscoroutine
from typing import Any, TypeVar

from textual import events, messages
from textual._context import active_message_pump
from textual.actions import ActionParseResult, SkipAction
from textual.app import App
from textual.await_complete import AwaitComplete
from textual.dom import DOMNode
from textual.message import Message
from textual.screen import Screen

from tui.widgets.entry import wait_for_pending_keys

Result = TypeVar("Result")
Act = Callable[..., object]
# How a screen comes and goes; it hears of nothing else before and after.
_LIFE = (
    events.Compose, events.Mount, events.Unmount, events.ScreenSuspend, messages.Prune, messages.CloseMessages,
)  # fmt: skip
# The key that ends the program is never held back.
_OUT = "ctrl+q"
# More keys than one burst leaves on their way through the widgets.
_KEYS_ON_THEIR_WAY = 500


def is_open(node: DOMNode) -> bool:
    """Whether the screen of a widget is open, on top or under another; the app always is."""
    screen = _screen_of(node)
    return isinstance(node, App) or (screen is not None and screen in screen.app.screen_stack)


def on_top(node: DOMNode) -> bool:
    """Whether the screen of a widget is the one that is seen; the app always is."""
    screen = _screen_of(node)
    return isinstance(node, App) or (screen is not None and screen.app.screen_stack[-1:] == [screen])


def _screen_of(node: DOMNode) -> Screen[Any] | None:
    return next((each for each in node.ancestors_with_self if isinstance(each, Screen)), None)


class StackedScreen(Screen[Result]):
    """A screen that nothing reaches any more once it is gone."""

    async def _dispatch_message(self, message: Message) -> None:
        if isinstance(message, _LIFE) or is_open(self):
            await super()._dispatch_message(message)

    def call_after_refresh(self, callback: Act, *args: Any, **kwargs: Any) -> bool:
        """As in any widget, while the screen is open."""
        return super().call_after_refresh(lambda: callback(*args, **kwargs) if is_open(self) else None)

    def watch(self, obj: DOMNode, attribute_name: str, callback: Act, init: bool = True) -> None:
        """As in any widget, while the screen is open; ``callback`` takes nothing."""

        def watched() -> None:
            if is_open(self):
                callback()

        super().watch(obj, attribute_name, watched, init)

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Leave with an answer: at once, or when what covers the screen has gone; one that is gone has answered."""
        if on_top(self):
            left: AwaitComplete = super().dismiss(result)
            return left
        app = self.app
        if isinstance(app, StackedApp):
            app.when_on_top(self, partial(self.dismiss, result))
        return AwaitComplete()

    async def keys_taken(self) -> None:
        """Wait until every line has taken the keys typed before; where the screen goes meanwhile, the action is dropped."""
        await wait_for_pending_keys(self)
        if not is_open(self):
            raise SkipAction


class StackedApp(App[None]):
    """The app of such screens. Keys are held back from the start: `release_keys` lets them go."""

    def __init__(self) -> None:
        super().__init__()
        self._held: deque[events.Key | events.Paste] | None = deque()
        self._opening: Awaitable[object] | None = None
        self._later: list[tuple[Screen[Any], Act]] = []
        self._typed_at: deque[tuple[events.Event, Screen[Any]]] = deque(maxlen=_KEYS_ON_THEIR_WAY)

    def hold_keys(self) -> None:
        """Keep the keys that are typed from now on."""
        self._held = deque() if self._held is None else self._held

    def release_keys(self, *, drop: bool = False) -> None:
        """Let the keys go that were kept, before those that are typed from now on; or forget them, where they have no use."""
        self.call_later(self._type_held, drop)

    async def _type_held(self, drop: bool) -> None:
        held, self._held = self._held or deque(), None
        if drop:
            held.clear()
        while held and self._held is None:
            await self.on_event(held.popleft())
        if self._held is not None:  # one of them made the rest wait again
            self._held.extend(held)

    async def on_event(self, event: events.Event) -> None:
        """Hold keys back, or wait with them for the screen that opens; one that comes late finds no other screen."""
        if isinstance(event, events.Key | events.Paste):
            if event.is_forwarded:
                if any(key is event and not on_top(screen) for key, screen in self._typed_at):
                    return
            elif self._held is not None and getattr(event, "key", "") != _OUT:
                self._held.append(event)
                return
            else:
                if self._opening is not None:
                    opening, self._opening = self._opening, None
                    await opening
                self._typed_at.append((event, self.screen))
        await super().on_event(event)

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Any = None,
    ) -> bool:
        """Run an action, unless the screen that it belongs to is gone, or goes while the action waits."""
        node = default_namespace or self
        if not is_open(node):
            return True
        return await super().run_action(action, default_namespace, namespaces) or not is_open(node)

    def when_on_top(self, screen: Screen[Any], act: Act) -> object:
        """Act for a screen: now, or when it is on top again; for one that is gone not at all."""
        if on_top(screen):
            return act()
        if is_open(screen):
            self._later.append((screen, act))
        return None

    # Textual lists the ways to call it one by one.
    def push_screen(self, screen: Any, callback: Any = None, *args: Any, **kwargs: Any) -> Any:
        """Open a screen over the one that asks for it; that one gets the answer once it is on top, if it is still open."""
        below = self._asker()
        if below is not None and not on_top(below):
            self.when_on_top(below, partial(self.push_screen, screen, callback, *args, **kwargs))
            return AwaitComplete()
        below = self.screen

        def answered(result: Any) -> Any:
            return self.when_on_top(below, partial(callback, result))

        self._opening = super().push_screen(screen, answered if callback else None, *args, **kwargs)
        return self._opening

    def switch_screen(self, screen: Screen[Any] | str) -> AwaitComplete:
        """Open a screen in place of the one on top, which asks for it."""
        asker = self._asker()
        if asker is not None and not on_top(asker):
            self.when_on_top(asker, partial(self.switch_screen, screen))
            return AwaitComplete()
        switched: AwaitComplete = super().switch_screen(screen)
        self._opening = switched
        return switched

    def pop_screen(self) -> AwaitComplete:
        """Close the screen on top; what the one under it had to wait with is done now."""
        popped = super().pop_screen()
        self.call_next(self._go_on)
        return popped

    def _asker(self) -> Screen[Any] | None:
        """The screen that acts just now, where it is not the app."""
        pump = active_message_pump.get(None)
        return _screen_of(pump) if isinstance(pump, DOMNode) else None

    async def _go_on(self) -> None:
        self._later = [(screen, act) for screen, act in self._later if is_open(screen)]
        ready = next((each for each in self._later if on_top(each[0])), None)
        if ready is not None:
            self._later.remove(ready)
            acted = ready[1]()
            if iscoroutine(acted):
                await acted
            self.call_next(self._go_on)
