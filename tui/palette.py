"""The command palette: the same actions as the keys, found by their words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Any

from textual.actions import parse
from textual.binding import Binding
from textual.command import CommandList, CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.dom import DOMNode

from broachplan.sheets.listing import ListAct
from tui.registry import Menu, in_menu
from tui.stack import StackedScreen, on_top
from tui.widgets.keybar import worded


class Palette(CommandPalette, StackedScreen[None]):
    """The palette as a screen of ours: it leaves once, and nothing reaches it after."""

    def _action_command_list(self, action: str) -> None:
        # Textual counts lines to find a page, and a list that has no room yet has none.
        if not action.startswith("page") or self.query_one(CommandList).scrollable_content_region:
            super()._action_command_list(action)


# By what other names people ask for an action.
_ALSO = {
    "app.lend": "sign out, issue, check out, book out, hand out",
    "app.return": "sign in, take back, check in, book in, hand in",
}
# Going from line to line is no action to look for.
_MOVES = ("line", "move", "step", "page", "leap", "scroll")


class Acts(Provider):
    """Every action that can be done where the palette was opened, and the attendant's lists and forms, each once."""

    async def discover(self) -> Hits:
        """All of them, before anything is typed."""
        for node, binding in self._acts():
            if binding.action.startswith(_MOVES):
                continue
            yield DiscoveryHit(self._said(binding), partial(self._run, node, binding), help=binding.tooltip)
        for words, act in (*self._lines(), *self._menu()):
            yield DiscoveryHit(words, act)

    async def search(self, query: str) -> Hits:
        """Those whose words or explanation match."""
        matcher = self.matcher(query)
        for node, binding in self._acts():
            words = self._said(binding)
            also = _ALSO.get(binding.id or "", "")
            score = max(
                matcher.match(words), *(matcher.match(each) * 0.9 for each in (binding.tooltip, also))
            )
            if score > 0:
                yield Hit(
                    score, matcher.highlight(words), partial(self._run, node, binding), help=binding.tooltip
                )

        for words, act in (*self._lines(), *self._menu()):
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, matcher.highlight(words), act)

    def _said(self, binding: Binding) -> str:
        return worded(self.app).label(_words(binding))

    def _lines(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """What a screen offers by a line that is typed, and has no key of its own."""
        offered = getattr(self.screen, "palette_lines", None)
        for words, act in offered() if offered else ():
            yield words, partial(self._type, act)

    def _menu(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """The attendant's lists and forms that no key of the screen opens; from elsewhere they open over the crib."""
        if self.screen.is_modal:
            return
        keyed = {_opens(node, binding) for node, binding in self._acts()}
        for name, way in (*in_menu(Menu.LISTS), *in_menu(Menu.ACTS)):
            if name not in keyed:
                yield (
                    worded(self.app).label(f"{way.words[:1].upper()}{way.words[1:]}"),
                    partial(self._open, name),
                )

    async def _open(self, name: str) -> None:
        if not on_top(self.screen):
            return
        if not hasattr(self.screen, "action_go"):
            await self.app.open_crib()  # type: ignore[attr-defined]
        await self.app.screen.action_go(name)  # type: ignore[attr-defined]

    def _type(self, act: Callable[[], object]) -> object:
        return act() if on_top(self.screen) else None

    def _acts(self) -> Iterator[tuple[DOMNode, Binding]]:
        seen = set()
        for active in self.screen.active_bindings.values():
            # Two keys, or the same key on a form and on the screen under it, are one action.
            said = _words(active.binding)
            if active.enabled and active.binding.id and said not in seen:
                seen.add(said)
                yield active.node, active.binding

    async def _run(self, node: DOMNode, binding: Binding) -> None:
        """Do it on the screen that the palette was opened over, if that is still the one that is seen."""
        if on_top(node) and on_top(self.screen):
            await self.app.run_action(binding.action, node)


def _words(binding: Binding) -> str:
    return f"{binding.description}: {binding.tooltip}"


def _opens(node: DOMNode, binding: Binding) -> str:
    """The name of the screen that a key opens, where it opens one: by the action, or by the act of a list."""
    _, action, given = parse(binding.action)
    if action == "go":
        return str(given[0])
    acts: Sequence[ListAct[Any]] = getattr(getattr(node, "LIST", None), "acts", ())
    return acts[int(str(given[0]))].name if action == "act" else action
