"""Words put in place of others, as often as with every key that is typed."""

from __future__ import annotations

from rich.text import Text
from textual.widgets import Static


def put(words: Text, place: Static) -> None:
    """Replace words. The screen is laid out again only where the new ones may need other room."""
    if place.content == words:
        return
    height = place.styles.height
    place.update(words, layout=height is None or height.is_auto)
