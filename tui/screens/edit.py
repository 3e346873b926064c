"""Change what is known of a piece; who else changed it meanwhile is not overwritten."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Static

from broachplan.questions.piece import BY, KNOWN, as_typed, piece_lines
from tui.attendant import Telling
from tui.bases.piece_form import LABEL_WIDTH, PieceForm
from tui.desks import Desks
from tui.plain import plain
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.attendant.edit_piece import Edited
    from broachplan.desks.attendant.show_piece import Difference, Shown


class EditScreen(PieceForm):
    """Only lines that were changed here are told; the rest stays as whoever changed it last left it."""

    class Saved(Message):
        """The piece is changed."""

        def __init__(self, edited: Edited) -> None:
            super().__init__()
            self.edited = edited

    class Meanwhile(Message):
        """Somebody else changed the piece; how it is now, and what became different."""

        def __init__(self, shown: Shown, differences: Sequence[Difference]) -> None:
            super().__init__()
            self.shown = shown
            self.differences = differences

    def __init__(self, db: str | None, desks: Desks, shown: Shown) -> None:
        super().__init__(db, desks, name="edit")
        self.kind = shown.record.piece.kind
        self.shown = shown
        self._start = _shown_of(shown)

    def compose(self) -> ComposeResult:
        """Every line of the piece, filled."""
        yield Static(plain(f"CHANGE {self.tag}, a {self.kind}"), id="title", markup=False)
        start = {**self._start, "by": self.shop.by}
        fields = (*piece_lines(self.kind), BY)
        yield FieldForm(fields, start, self.reason, id="piece-form", known=KNOWN, label_width=LABEL_WIDTH)
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """The first line."""
        self.set_focus(self.form.line(self.form.fields[0].name))

    @property
    def tag(self) -> str:
        """The tag, which does not change."""
        return self.shown.record.piece.tag

    @property
    def told(self) -> dict[str, str]:
        """What was changed here, by the names of the lines."""
        values = self.form.values()
        return {name: values[name] for name, text in self._start.items() if values[name] != text}

    @property
    def typed(self) -> bool:
        """Whether a line was changed."""
        return bool(self.told)

    def save(self) -> None:
        """Ask the desk to change the piece, if it is still as it was shown."""
        self.shop.by = self.form.value("by")
        asked = Telling(self.kind, self.tag, self.told, self.shop.by, self.shown)
        self.ask(lambda: self._saved(asked), "save")

    @on(Saved)
    def _is_saved(self, event: Saved) -> None:
        if event.edited.differences:
            self.shop.changes += 1
        self.dismiss(None)

    @on(Meanwhile)
    def _changed_meanwhile(self, event: Meanwhile) -> None:
        """Lines left alone show what is so now; lines changed here are kept, and saving again tells only them."""
        told, now = self.told, _shown_of(event.shown)
        self.shown, self._start = event.shown, now
        self.form.fill({name: text for name, text in now.items() if name not in told})
        what = "; ".join(difference.words for difference in event.differences) or "and changed back"
        self.tell(
            f"CHANGED MEANWHILE by somebody else: {what}. What you typed is kept: F2 saves it.", wrong=True
        )
        self.shop.changes += 1

    def _saved(self, asked: Telling) -> Message:
        from broachplan.desks.attendant.edit_piece import ChangedMeanwhile

        try:
            return self.Saved(self.attendant.edit(self.db, asked))
        except ChangedMeanwhile as error:
            return self.Meanwhile(self.attendant.show(self.db, asked.tag), error.differences)


def _shown_of(shown: Shown) -> dict[str, str]:
    """What a form shows of a piece: a line shows no hidden character that an older crib may hold, and tells none."""
    return {name: plain(text).strip() for name, text in as_typed(shown.record).items()}
