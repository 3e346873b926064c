"""One moment at the press, drawn as large as the window allows."""

from __future__ import annotations

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.events import Resize
from textual.widgets import Static

from tui.plain import fitted, plain
from tui.press.bar import limits_bar
from tui.press.cautions import CAUTION
from tui.press.sight import Large, Sight
from tui.widgets.figure import LargeFigure


class SightView(Vertical):
    """Title, what was said, two figures, the bar and what to do. Words only: nothing is read as markup."""

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id)
        self._sight = Sight(work="")

    def compose(self) -> ComposeResult:
        """The parts from top to bottom; what has nothing to show takes no room."""
        yield Static(id="place", markup=False)
        yield Static(id="said", markup=False)
        with Horizontal(id="figures"):
            for side in ("left", "right"):
                with Vertical(id=side):
                    yield Static(id=f"{side}-heading", markup=False)
                    yield LargeFigure(id=f"{side}-figure")
        yield Static(id="bar", markup=False)
        with VerticalScroll(id="body", can_focus=False):
            yield Static(id="lines", markup=False)

    def show(self, sight: Sight) -> None:
        """Draw another moment."""
        if sight == self._sight:
            return
        self._sight = sight
        self.query_one("#body").scroll_home(animate=False)
        self._put("said", "\n".join(sight.said))
        self._large("left", sight.left)
        self._large("right", sight.right)
        self.query_one("#figures").display = bool(sight.left or sight.right)
        lines = Text()
        for line in sight.lines:
            lines.append(plain(line), "bold" if line.startswith(CAUTION) else "").append("\n")
        lines.rstrip()
        self.query_one("#lines", Static).update(lines)
        self._draw_to_width()

    def on_resize(self, _: Resize) -> None:
        """Title and bar are made for the width."""
        self._draw_to_width()

    def _draw_to_width(self) -> None:
        sight, columns = self._sight, max(self.size.width - 2, 0)
        place = plain(sight.place)
        work = fitted(plain(sight.work), max(columns - len(place) - 2, 0))
        self._put("place", f"{work.ljust(columns - len(place))}{place}" if place else work)
        bar = sight.bar
        drawn = limits_bar(bar.limits, bar.readings, bar.units, columns) if bar else []
        self._put("bar", "\n".join(drawn))

    def _large(self, side: str, large: Large | None) -> None:
        self._put(f"{side}-heading", large.heading if large else "")
        figure = self.query_one(f"#{side}-figure", LargeFigure)
        figure.value, figure.unit = (large.figure, large.unit) if large else ("", "")

    def _put(self, name: str, words: str) -> None:
        place = self.query_one(f"#{name}", Static)
        place.display = bool(words)
        place.update(Text("\n".join(plain(line) for line in words.splitlines())))
