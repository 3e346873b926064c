"""A blind count of one drawer: tag after tag is scanned; what the books expect is not shown."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from broachplan.questions.acts import CountRequest
from broachplan.questions.reads import KnownRequest
from broachplan.sheets.result import Column
from broachplan.shown import numbered
from tui.bases.asking import Failed
from tui.bases.drafting import DRAFTS, DraftingScreen
from tui.bases.leaving import LeaveAnswer
from tui.bases.row_keys import RowKeys
from tui.desks import Desks
from tui.registry import screen
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger

if TYPE_CHECKING:
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_known import Known


class CountScreen(RowKeys["Counted | None"], DraftingScreen["Counted | None"]):
    """Answers with the count when it is kept. The scanned tags are in the program's drafts from the first one on."""

    CSS_PATH = "../styles/keep.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "add", "count", priority=True, show=False, id="count.add", tooltip="Count the tag that was scanned or typed"),
        Binding("f2", "finish", "finish", priority=True, id="count.finish", tooltip="All that lies in the drawer is scanned: keep the count, then see how the books differ"),
        Binding("f4", "take_out", "take out", priority=True, id="count.take_out", tooltip="The chosen tag was not meant: take it out of the count"),
        Binding("escape", "leave", "leave", priority=True, id="count.leave", tooltip="Leave the count; what was scanned is kept for later"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, drawer: str) -> None:
        super().__init__(db, desks, name="count")
        self.drawer = drawer
        self.known: Known | None = None
        self._keeping = False

    def compose(self) -> ComposeResult:
        """The line to scan in, and what was scanned, the latest first."""
        yield Static(id="title", markup=False)
        yield EntryLine(id="filter", placeholder="scan or type a tag, enter; the next tag")
        yield Ledger(Column("", right=True), Column("found", least=10, tags=True), id="rows")
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Scan at once; resume what was scanned before."""
        self.top.focus()
        self._draw()
        if self.tags:
            self.say(f"Resumed: {len(self.tags)} scanned.")
        self.send(KnownRequest(), then=self._knows)

    @property
    def top(self) -> EntryLine:
        """The line to scan in."""
        return self.query_one("#filter", EntryLine)

    @property
    def tags(self) -> list[str]:
        """What was scanned, in its order."""
        return self.shop.drafts.counts.setdefault(self.drawer, [])

    async def action_add(self) -> None:
        """Count the tag in the line."""
        await self.keys_taken()
        self._add()

    async def action_finish(self) -> None:
        """Ask who counted, then keep the count."""
        await self.keys_taken()
        if self._keeping or (self.top.value.strip() and not self._add()):
            return
        text = Text(
            f"{_found(len(self.tags))}. The differences from the books are shown then, and nothing is corrected yet."
        )
        if not self.tags:
            text = Text(
                "Nothing was scanned: the drawer is empty? The differences from the books are shown then."
            )
        await self.app.push_screen(
            screen("confirm")(f"Keep the count of {self.drawer}?", text, self.shop.by), self._keep
        )

    def action_take_out(self) -> None:
        """Take the chosen tag out."""
        if self.tags and not self._keeping:
            place = len(self.tags) - 1 - self._ledger.chosen
            self.say(f"{self.tags.pop(place)} is taken out.")
            self._changed(keep=True)

    async def action_leave(self) -> None:
        """Back; where something was scanned, asks."""
        await self.keys_taken()
        if self._keeping:
            return
        if not self.tags and not self.top.value.strip():
            self.dismiss(None)
            return
        text = f"{_found(len(self.tags))}. It is kept at this station: count {self.drawer} again to continue."
        await self.app.push_screen(screen("leave")("Leave before the drawer is counted?", text), self._leave)

    @property
    def _ledger(self) -> Ledger:
        return self.query_one("#rows", Ledger)

    def _knows(self, known: Known) -> None:
        self.known = known

    def _is_kept(self, counted: Counted) -> None:
        self.shop.drafts.counts.pop(self.drawer, None)
        self._keep_draft()
        self.dismiss(counted)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        if event.group == DRAFTS:
            self.say(f"{event.line}: what is scanned would be lost with the program.", wrong=True)
            return
        self._keeping = False
        self.say(f"NOT KEPT: {event.line}" if self.known else event.line, wrong=True)

    @on(Input.Changed, "#filter")
    def _typed(self, event: Input.Changed) -> None:
        if event.value:
            self.say("")

    def _add(self) -> bool:
        """Count the tag in the line; False where it cannot be a tag."""
        from broachplan.errors import InputError
        from broachplan.tooling.tags import checked_tag

        typed = self.top.value.strip()
        if not typed or self._keeping:
            return True
        tag, unknown = self._meant(typed)
        if tag.casefold() == self.drawer.casefold():
            self._wrong(f"{tag} is this drawer and no tag: scan what lies in it.")
            return False
        try:
            checked_tag(tag)
        except InputError as error:
            self._wrong(str(error))
            return False
        self.top.value = ""
        if tag in self.tags:
            self._wrong(f"{tag} was scanned already, it counts once.")
            return True
        self.tags.append(tag)
        self._changed()
        if unknown:
            self._wrong(f"{tag}: no piece in the crib has this tag. It is counted; F4 takes it out.")
        return True

    def _meant(self, typed: str) -> tuple[str, bool]:
        """The tag as the crib spells it, and whether no piece has it."""
        from tui.status_words import recognised

        if self.known is None:
            return typed, False
        what, is_set = recognised(typed, self.known)
        return (typed, True) if is_set else (what, what not in self.known.pieces)

    def _wrong(self, line: str) -> None:
        self.say(line, wrong=True)
        self.app.bell()

    def _changed(self, *, keep: bool = False) -> None:
        """Show what is scanned now, and put it on the disk."""
        self._draw(keep=keep)
        self._keep_draft()

    def _keep_draft(self) -> None:
        drafts, drawer = self.shop.drafts, self.drawer
        self.keep_draft(lambda keep: drafts.keep_count(drawer, keep))

    def _draw(self, *, keep: bool = False) -> None:
        tags = self.tags
        rows = [(str(number), tag) for number, tag in reversed(list(enumerate(tags, 1)))]
        self._ledger.fill(rows, chosen=self._ledger.chosen if keep else 0, empty="Nothing is scanned yet.")
        self.line("title", f"COUNT {self.drawer}   {len(tags)} scanned")

    def _keep(self, answer: dict[str, str] | None) -> None:
        if answer is not None:
            self.shop.by = by = answer["by"]
            self._keeping = True
            self.say("keeping the count ...")
            request = CountRequest(drawer=self.drawer, tags=tuple(self.tags), by=by)
            self.send(request, then=self._is_kept)

    def _leave(self, answer: LeaveAnswer | None) -> None:
        if answer:
            self.dismiss(None)


def _found(number: int) -> str:
    return f"{numbered(number, 'piece is', 'pieces are')} scanned"
