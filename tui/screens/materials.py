"""All materials to pick from, by any of their names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from broachplan.sheets.materials import MATERIALS, about_material, materials_like
from broachplan.sheets.table import View, columns_of, rows_of
from broachplan.tooling.materials import Material
from tui.bases.row_keys import RowKeys
from tui.plain import plain
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger


class MaterialsScreen(ModalScreen[str | None], RowKeys[str | None]):
    """Answers with the name of the material that is picked, else with nothing.

    ``typed`` narrows the list from the start where it finds any; what is typed next takes its place.
    """

    CSS_PATH = "../styles/materials.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "pick", "take it", priority=True, id="materials.pick", tooltip="Put the chosen material into the form"),
        Binding("f1", "app.help", "help", show=False, id="materials.help", tooltip="Every key and what it does"),
        Binding("escape", "leave", "back", priority=True, id="materials.leave", tooltip="Back; the form keeps what was typed"),
    ]  # fmt: skip

    def __init__(self, typed: str) -> None:
        super().__init__(name="materials")
        self._start = typed if materials_like(typed) else ""
        self.shown: Sequence[Material] = ()

    def compose(self) -> ComposeResult:
        """The line to type in, the list, all names of the chosen one."""
        with Vertical(id="materials"):
            yield Static(
                Text("MATERIALS   type any name or part of one; enter takes it"), id="materials-title"
            )
            yield EntryLine(id="filter", placeholder="as 1018, cast iron, bronze", value=self._start)
            yield Ledger(*columns_of(MATERIALS), id="rows", empty="No material has all these words.")
            with VerticalScroll(id="about-scroll", can_focus=False):
                yield Static(id="about", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """Type at once."""
        self.top.focus()
        self.top.select_all()
        self._narrow()

    @property
    def top(self) -> EntryLine:
        """The line to type in."""
        return self.query_one("#filter", EntryLine)

    @property
    def chosen(self) -> Material | None:
        """The material chosen."""
        return self.shown[min(self._ledger.chosen, len(self.shown) - 1)] if self.shown else None

    async def action_pick(self) -> None:
        """Take the chosen one."""
        await self.keys_taken()
        self._narrow()
        if self.chosen is not None:
            self.dismiss(self.chosen.name)

    def action_leave(self) -> None:
        """Back, with nothing."""
        self.dismiss(None)

    @property
    def _ledger(self) -> Ledger:
        return self.query_one("#rows", Ledger)

    @on(Input.Changed, "#filter")
    def _typed(self) -> None:
        self._narrow()

    @on(Ledger.Chosen)
    def _draw_chosen(self) -> None:
        chosen = self.chosen
        about = about_material(chosen, self.top.value) if chosen is not None else ()
        self.query_one("#about", Static).update(Text("\n".join(map(plain, about))))

    def _narrow(self) -> None:
        found = materials_like(self.top.value)
        if list(found) != list(self.shown):
            self.shown = found
            self._ledger.fill(rows_of(MATERIALS, found, View()))
        self._draw_chosen()
