"""Take new pieces into the crib, one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Self

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from broachplan.questions.piece import BY, KEPT, KIND, KNOWN, TAG, AddRequest, piece_lines
from broachplan.tooling.figures import Kind
from tui.bases.piece_form import LABEL_WIDTH, PieceForm
from tui.desks import Desks
from tui.status_words import said
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.attendant.add_piece import Added
    from tui.bases.asking import AttendingScreen


class AddScreen(PieceForm):
    """The lines follow the kind; where a piece lives and how it was measured is kept for the next one."""

    def __init__(self, db: str | None, desks: Desks, kind: Kind) -> None:
        super().__init__(db, desks, name="add")
        self.kind = kind
        # What was typed in the lines of any kind: switching to another kind and back loses none of it.
        self._kept: dict[str, str] = {}

    @classmethod
    def over(cls, here: AttendingScreen[Any]) -> Self:
        """For a piece of the kind that is chosen where it is opened."""
        return cls(here.db, here.desks, getattr(here, "kind", Kind.BROACH))

    def compose(self) -> ComposeResult:
        """Kind, tag and by, then the lines of the kind."""
        yield Static("ADD A PIECE", id="title", markup=False)
        start = {"kind": self.kind.value, "by": self.shop.by}
        with VerticalScroll(id="forms", can_focus=False):
            yield FieldForm(
                (KIND, TAG, BY), start, self.reason, id="head-form", known=KNOWN, label_width=LABEL_WIDTH
            )
            yield self._lines()
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """The tag: the kind is often the one wanted."""
        self.set_focus(self._head.line("tag"))

    @property
    def tag(self) -> str:
        """The tag as it is typed."""
        return self._head.value("tag")

    @property
    def typed(self) -> bool:
        """Whether something was typed for a piece that is not saved."""
        values = self.form.values()
        figures = (name for name in values if name not in (*KEPT, "condition"))
        return bool(self.tag or any(values[name] for name in figures))

    def save(self) -> None:
        """Ask the desk to take it in."""
        self.shop.by = self._head.value("by")
        values = {name: text for name, text in self.form.values().items() if text}
        request = AddRequest(kind=self.kind, tag=self.tag, values=values, by=self.shop.by)
        self.send(request, then=self._is_saved)

    @property
    def _head(self) -> FieldForm:
        return self.query_one("#head-form", FieldForm)

    def _lines(self) -> FieldForm:
        return FieldForm(
            piece_lines(self.kind),
            self._kept,
            self.reason,
            id="piece-form",
            known=KNOWN,
            label_width=LABEL_WIDTH,
        )

    @on(FieldForm.TextChanged, "#head-form")
    async def _other_kind(self) -> None:
        """The lines of another kind."""
        chosen = self._head.value("kind")
        if chosen == self.kind.value or not self.query("#piece-form"):
            return
        self._kept |= self.form.values()
        self.kind = Kind(chosen)
        await self.form.remove()
        await self.query_one("#forms").mount(self._lines())

    def _is_saved(self, added: Added) -> None:
        self._head.fill({"tag": ""})
        cleared = {name: "" for name in self.form.values() if name not in (*KEPT, "condition")}
        self.form.fill({**cleared, "condition": "fit"})
        self.set_focus(self._head.line("tag"))
        self.say_of_save(f"{said(added)}.")
