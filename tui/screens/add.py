"""Take new pieces into the crib, one after the other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Self

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from broachplan.questions.piece import (
    BY,
    KEPT,
    KIND,
    KNOWN,
    SLOT_DEPTH,
    TAG,
    AddRequest,
    LookAgainRequest,
    lines_to_add,
)
from broachplan.tooling.figures import Kind
from tui.bases.piece_form import LABEL_WIDTH, PieceForm
from tui.desks import Desks
from tui.plain import plain
from tui.registry import screen
from tui.status_words import said
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.crib.doubts import Doubt
    from broachplan.desks.attendant.add_piece import Added
    from tui.bases.asking import AttendingScreen


# What stays in the form for the next piece: bushings of one kind have one slot depth.
_STAYS = (*KEPT, SLOT_DEPTH.name, "condition")


class AddScreen(PieceForm):
    """The lines follow the kind; where a piece lives and how it was measured is kept for the next one."""

    def __init__(self, db: str | None, desks: Desks, kind: Kind) -> None:
        super().__init__(db, desks, name="add")
        self.kind = kind
        # What was typed in the lines of any kind: switching to another kind and back loses none of it.
        self._kept: dict[str, str] = {}
        # What the lines of the kind that comes begin with.
        self._coming: Mapping[str, str] = {}

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
    def draft_name(self) -> str:
        """One form for all new pieces."""
        return str(self.name)

    def fill_in(self, values: Mapping[str, str]) -> None:
        """Another kind has other lines: they begin with these texts."""
        self._coming = values
        if values.get("kind", self.kind.value) == self.kind.value:
            super().fill_in(values)
        else:
            self._head.fill({line.name: values[line.name] for line in self._head.fields})

    @property
    def tag(self) -> str:
        """The tag as it is typed."""
        return self._head.value("tag")

    @property
    def typed(self) -> bool:
        """Whether something was typed for a piece that is not saved."""
        values = self.form.values()
        figures = (name for name in values if name not in _STAYS)
        return bool(self.tag or any(values[name] for name in figures))

    def save(self, *, sure: bool = False) -> None:
        """Ask the desk to take it in, once nothing in it looks like a slip or somebody is sure."""
        self.shop.by = self._head.value("by")
        values = {name: text for name, text in self.form.values().items() if text}
        depth = values.pop(SLOT_DEPTH.name, "")
        request = AddRequest(
            kind=self.kind, tag=self.tag, values=values, slot_depth=depth, sure=sure, by=self.shop.by
        )
        self.send(LookAgainRequest(add=request), then=lambda doubts: self._looked_at(request, doubts))

    async def _looked_at(self, request: AddRequest, doubts: Sequence[Doubt]) -> None:
        """A slip is asked about while the piece can still be measured again; escape goes back to the form."""
        sure = replace(request, sure=True)
        if not doubts:
            self.send(sure, then=self._is_saved)
            return
        # What was typed ahead is meant for the next piece, and would answer a question that nobody has read.
        self.shop.release_keys(drop=True)
        words = "\n\n".join(f"{doubt.words}." for doubt in doubts)
        text = Text(plain(f"{words}\n\nF2 takes the figures as typed, escape goes back to measure again."))

        def answered(answer: dict[str, str] | None) -> None:
            if answer is not None:
                self.send(sure, then=self._is_saved)
            else:
                self.say_of_save(f"look again: {doubts[0].words}", wrong=True)
                self.set_focus(self.form.line(doubts[0].figure))

        await self.app.push_screen(screen("confirm")("Measured right?", text, None), answered)

    @property
    def _head(self) -> FieldForm:
        return self.query_one("#head-form", FieldForm)

    def _lines(self) -> FieldForm:
        return FieldForm(
            lines_to_add(self.kind),
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
        self._kept |= {**self.form.values(), **self._coming}
        self._coming = {}
        self.kind = Kind(chosen)
        await self.form.remove()
        await self.query_one("#forms").mount(self._lines())

    def _is_saved(self, added: Added) -> None:
        self._head.fill({"tag": ""})
        cleared = {name: "" for name in self.form.values() if name not in _STAYS}
        self.form.fill({**cleared, "condition": "fit"})
        self.set_focus(self._head.line("tag"))
        self.say_of_save(f"{said(added)}.")
