"""The command palette: the same actions as the keys, found by their words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from textual.binding import Binding
from textual.command import CommandList, CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.dom import DOMNode

from tui.stack import StackedScreen, on_top


class Palette(CommandPalette, StackedScreen[None]):
    """The palette as a screen of ours: it leaves once, and nothing reaches it after."""

    def _action_command_list(self, action: str) -> None:
        # Textual counts lines to find a page, and a list that has no room yet has none.
        if not action.startswith("page") or self.query_one(CommandList).scrollable_content_region:
            super()._action_command_list(action)


class Acts(Provider):
    """Every binding that can be used where the palette was opened."""

    async def discover(self) -> Hits:
        """All of them, before anything is typed."""
        for node, binding in self._acts():
            yield DiscoveryHit(_words(binding), partial(self._run, node, binding), help=binding.tooltip)
        for words, act in self._lines():
            yield DiscoveryHit(words, act)

    async def search(self, query: str) -> Hits:
        """Those whose words or explanation match."""
        matcher = self.matcher(query)
        for node, binding in self._acts():
            words = _words(binding)
            score = max(matcher.match(words), matcher.match(binding.tooltip) * 0.9)
            if score > 0:
                yield Hit(
                    score, matcher.highlight(words), partial(self._run, node, binding), help=binding.tooltip
                )

        for words, act in self._lines():
            score = matcher.match(words)
            if score > 0:
                yield Hit(score, matcher.highlight(words), act)

    def _lines(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """What a screen offers by a line that is typed, and has no key of its own."""
        offered = getattr(self.screen, "palette_lines", None)
        for words, act in offered() if offered else ():
            yield words, partial(self._type, act)

    def _type(self, act: Callable[[], object]) -> object:
        return act() if on_top(self.screen) else None

    def _acts(self) -> Iterator[tuple[DOMNode, Binding]]:
        seen = set()
        for active in self.screen.active_bindings.values():
            known = active.binding.id, active.binding.action
            if active.enabled and active.binding.id and known not in seen:
                seen.add(known)
                yield active.node, active.binding

    async def _run(self, node: DOMNode, binding: Binding) -> None:
        """Do it on the screen that the palette was opened over, if that is still the one that is seen."""
        if on_top(node) and on_top(self.screen):
            await self.app.run_action(binding.action, node)


def _words(binding: Binding) -> str:
    return f"{binding.description}: {binding.tooltip}"
