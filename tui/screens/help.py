"""Help: every action of the screens, with its key."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from textual.binding import Binding
from textual.screen import Screen

from broachplan.sheets.result import NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.shop_words import ShopWords
from tui.bases.pane import Pane
from tui.registry import KEYS, with_keys

_KEY_WORDS = {
    "minus": "-",
    "plus": "+",
    "slash": "/",
    "asterisk": "*",
    "question_mark": "?",
    "pageup": "page-up",
    "pagedown": "page-down",
}
_AFTER = (
    "ctrl+p opens the palette: it finds the actions of the screen by their words.",
    "A figure is a number and its unit: 1-1/4 in, 0.625 in, 625 thou, 30 mm; limits: 1 in +0.001 -0.",
)


def documented(here: Screen[Any] | None = None) -> Iterator[tuple[str, tuple[Binding, ...]]]:
    """Every screen and widget with keys of its own, and those keys: first those of a screen, then of what is on it."""
    on_it = (
        []
        if here is None
        else [cls for node in here.walk_children(with_self=True) for cls in type(node).__mro__]
    )
    places = {cls: place for place, cls in reversed([*enumerate(on_it)])}
    found = [(title, with_keys(target)) for title, target in KEYS]
    for title, cls in sorted(found, key=lambda each: places.get(each[1], len(on_it))):
        yield title, tuple(entry for entry in cls.__dict__["BINDINGS"] if isinstance(entry, Binding))


class HelpScreen(Pane):
    """All keys of all screens, in one list that begins with those of the screen that it was opened over."""

    def __init__(self, words: ShopWords = ShopWords(), here: Screen[Any] | None = None) -> None:
        super().__init__("Help: every key and what it does", help_sheet(words, here), name="help")


def help_sheet(words: ShopWords = ShopWords(), here: Screen[Any] | None = None) -> ResultSheet:
    """The whole list, made from the bindings themselves, in the words of the shop; that of a screen first."""
    blocks = [
        SheetBlock(
            words.label(title),
            tuple(NamedValue(key_words(one.key), words.label(one.tooltip or "")) for one in bindings),
        )
        for title, bindings in documented(here)
    ]
    after = SheetBlock("Also", tuple(map(Sentence, _AFTER)))
    return ResultSheet("Help", "Help", (*blocks, after))


def key_words(keys: str) -> str:
    """Keys as they are written on the keyboard."""
    return " ".join(
        _KEY_WORDS.get(key, key.upper() if key[0] == "f" and key[1:] else key) for key in keys.split(",")
    )
