"""Change what is known of a piece; who else changed it meanwhile is not overwritten."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from broachplan.questions.piece import BY, KNOWN, EditRequest, as_typed, piece_lines
from broachplan.questions.reads import ShowRequest
from tui.bases.asking import Failed
from tui.bases.piece_form import LABEL_WIDTH, PieceForm
from tui.desks import Desks
from tui.plain import plain
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.desks.attendant.edit_piece import Edited
    from broachplan.desks.attendant.show_piece import Difference, Shown


class EditScreen(PieceForm):
    """Only lines that were changed here are sent; the rest stays as it was last changed."""

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
    def changed(self) -> dict[str, str]:
        """What was changed here, by the names of the lines."""
        values = self.form.values()
        return {name: values[name] for name, text in self._start.items() if values[name] != text}

    def to_keep(self) -> dict[str, str]:
        """Only what was changed here: somebody else may change the rest meanwhile."""
        return self.changed

    @property
    def typed(self) -> bool:
        """Whether a line was changed."""
        return bool(self.changed)

    def save(self, *, sure: bool = False) -> None:
        """Ask the desk to change the piece, if it is still as it was shown."""
        self.shop.by = self.form.value("by")
        shown = self.shown
        request = EditRequest(
            tag=self.tag,
            values=self.changed,
            shown=shown.record,
            version=shown.version,
            sure=sure,
            by=self.shop.by,
        )
        self.send(request, then=self._is_saved)

    def _is_saved(self, _: Edited) -> None:
        self.forget()
        self.dismiss(None)

    @on(Failed)
    def _changed_meanwhile(self, event: Failed) -> None:
        """Where somebody else changed it, show how it is now."""
        from broachplan.desks.attendant.edit_piece import ChangedMeanwhile

        if isinstance(error := event.error, ChangedMeanwhile):
            event.prevent_default()
            self.send(ShowRequest(tag=self.tag), then=lambda shown: self._show_anew(shown, error.differences))

    def _show_anew(self, shown: Shown, differences: Sequence[Difference]) -> None:
        """Lines left alone show what is so now; lines changed here are kept, and saving again sends only them."""
        changed, now = self.changed, _shown_of(shown)
        self.shown, self._start = shown, now
        self.form.fill({name: text for name, text in now.items() if name not in changed})
        what = "; ".join(difference.words for difference in differences) or "and changed back"
        self.say_of_save(
            f"CHANGED MEANWHILE by somebody else: {what}. What you typed is kept: F2 saves it.", wrong=True
        )
        self.shop.changes += 1


def _shown_of(shown: Shown) -> dict[str, str]:
    """What a form shows of a piece: a line shows no hidden character that an older crib may hold."""
    return {name: plain(text).strip() for name, text in as_typed(shown.record).items()}
