"""One line at the foot of a screen: the keys that do something here."""

from __future__ import annotations

from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual.binding import Binding
from textual.widget import Widget

from broachplan.shop_words import ShopWords


def worded(app: object) -> ShopWords:
    """The shop's own words, as the app has them."""
    words: ShopWords = getattr(app, "shop_words", ShopWords())
    return words


def _function(binding: Binding) -> int:
    """The number of a function key; 0 for any other."""
    key = binding.key
    return int(key[1:]) if key[:1] == "f" and key[1:].isdigit() else 0


class KeyBar(Widget):
    """The shown bindings of the screen, as many as fit whole; help lists them all."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"keybar--key"}

    def on_mount(self) -> None:
        """Follow the focus: other widgets bring other keys."""
        self.watch(self.app, "shop_words", self._other_words, init=False)
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.refresh())

    def _other_words(self) -> None:
        self.refresh()

    def render(self) -> Text:
        """Keys and their words; an action that cannot be had now is left out."""
        key_style = self.get_component_rich_style("keybar--key", partial=True)
        line = Text(no_wrap=True)
        for binding in self._here():
            said = worded(self.app).label(binding.description)
            words = f"{self.app.get_key_display(binding)} {said}"
            if line.cell_len + len(words) > self.size.width:
                break
            click = Style(meta={"@click": f"app.simulate_key({binding.key!r})"})
            line.append(self.app.get_key_display(binding), key_style + click)
            line.append(f" {said}  ", click)
        return line

    def _here(self) -> list[Binding]:
        """One binding an action, its function key where it has one; the screen's own keys before those."""
        chosen: dict[str, Binding] = {}
        for active in self.screen.active_bindings.values():
            binding = active.binding
            if binding.show and active.enabled:
                known = chosen.get(binding.action)
                if known is None or (_function(binding) and not _function(known)):
                    chosen[binding.action] = binding
        return sorted(chosen.values(), key=_function)
