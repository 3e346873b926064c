"""A count beside the books: every difference gets its cause, then all of them are settled in one act."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input, Static

from broachplan.crib.count_words import in_order, named
from broachplan.questions.acts import SettleRequest
from broachplan.views.count_sheets import difference_words
from tui.bases.asking import Failed
from tui.bases.drafting import DRAFTS, DraftingScreen
from tui.bases.row_keys import RowKeys
from tui.count_text import DIFFERENCE_COLUMNS, READY, READY_LINE, difference_row, may_stay
from tui.desks import Desks
from tui.drafts import Causes
from tui.plain import plain
from tui.registry import screen
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar
from tui.widgets.ledger import Ledger

if TYPE_CHECKING:
    from broachplan.crib.counts import ComparedLine
    from broachplan.desks.attendant.list_counts import ShownCount
    from broachplan.desks.attendant.settle_count import Settled


class SettleScreen(RowKeys["Settled | None"], DraftingScreen["Settled | None"]):
    """Answers with what was settled. Causes are kept in the program's drafts, even when settling is refused."""

    CSS_PATH = "../styles/keep.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "take", "cause", priority=True, show=False, id="settle.take", tooltip="Take what is typed for the cause of the chosen difference; a tag chooses its difference"),
        Binding("f2", "settle", "settle", priority=True, id="settle.settle", tooltip="Settle the count: the books are corrected, which undo takes back as one"),
        Binding("f3", "ready(0)", "misplaced", priority=True, show=False, id="settle.misplaced", tooltip=f"The cause: {READY[0]}"),
        Binding("f4", "ready(1)", "not signed out", priority=True, show=False, id="settle.no_word", tooltip=f"The cause: {READY[1]}"),
        Binding("f5", "ready(2)", "broken", priority=True, show=False, id="settle.broken", tooltip=f"The cause: {READY[2]}"),
        Binding("f6", "ready(3)", "not known", priority=True, show=False, id="settle.not_known", tooltip=f"The cause: {READY[3]}"),
        Binding("f8", "rest", "same for rest", priority=True, show=False, id="settle.rest", tooltip="The chosen one's cause, or the one given last, for all that have none"),
        Binding("f10", "stay", "stays here", priority=True, id="settle.stay", tooltip="The chosen piece lives in this drawer from now on, at the place that is typed; again: it goes home"),
        Binding("escape", "leave", "later", priority=True, id="settle.leave", tooltip="Settle it later: the count stays open"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, shown: ShownCount) -> None:
        super().__init__(db, desks, name="settle")
        self.count = shown.count
        self.seen: list[ComparedLine] = in_order(shown.differences)
        self._settling = False
        self._last = ""

    def compose(self) -> ComposeResult:
        """The line for a cause, the differences, the chosen one in full."""
        yield Static(plain(f"COUNT{named(self.count).removeprefix('count')}"), id="title", markup=False)
        yield EntryLine(
            id="filter",
            placeholder="why? type the cause and enter, or a key below; a scanned tag is looked for",
        )
        yield Ledger(*DIFFERENCE_COLUMNS, id="rows")
        yield Static(id="chosen", markup=False)
        yield Static(READY_LINE, id="ready", markup=False)
        yield Static(id="said", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Type at once."""
        self.top.focus()
        self._draw()

    @property
    def top(self) -> EntryLine:
        """The line for a cause."""
        return self.query_one("#filter", EntryLine)

    @property
    def causes(self) -> Causes:
        """The causes so far."""
        return self.shop.drafts.causes.setdefault(self.count.number, Causes())

    @property
    def chosen(self) -> ComparedLine:
        """The difference chosen."""
        return self.seen[self._ledger.chosen]

    @property
    def at_hand(self) -> str:
        """The tag of the chosen difference."""
        return self.chosen.line.tag

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only what was found where it does not live may stay."""
        if action == "stay":
            return True if self.is_mounted and may_stay(self.chosen) else None
        return super().check_action(action, parameters)

    async def action_take(self) -> None:
        """A cause, a tag, or on to the next that has none."""
        await self.keys_taken()
        typed = self.top.value.strip()
        tags = [each.line.tag.casefold() for each in self.seen]
        if typed.casefold() in tags:
            self.top.value = ""
            self._ledger.chosen = tags.index(typed.casefold())
        elif not typed:
            self._on_to_next()
        elif not (reason := _reason(typed)):
            self.top.value = ""
            self._give_cause(typed)
        else:
            self.say(reason, wrong=True)

    async def action_ready(self, place: int) -> None:
        """A ready cause."""
        await self.keys_taken()
        self._give_cause(READY[place])

    def action_rest(self) -> None:
        """The cause of the chosen one, or else the last one given, for all that have none."""
        cause = self.causes.words.get(self.chosen.line.tag, self._last)
        if not cause:
            self.say("Give one cause first; F8 then applies it to all that have none.", wrong=True)
            return
        for each in self.seen:
            self.causes.words.setdefault(each.line.tag, cause)
        self.say("")
        self._changed()

    async def action_stay(self) -> None:
        """It stays, at the place typed; or goes home after all."""
        await self.keys_taken()
        tag, place = self.chosen.line.tag, self.top.value.strip()
        if tag in self.causes.stays and not place:
            del self.causes.stays[tag]
        elif reason := _reason(place):
            self.say(reason, wrong=True)
            return
        else:
            self.causes.stays[tag] = place
        self.top.value = ""
        self._changed()

    async def action_settle(self) -> None:
        """Ask who settles it, when every difference has its cause."""
        await self.keys_taken()
        if self._settling:
            return
        if self.top.value.strip():
            self.say(
                "What is typed is not taken yet: enter takes it for the cause of the chosen one.", wrong=True
            )
        elif without := [each.line.tag for each in self.seen if each.line.tag not in self.causes.words]:
            self._choose(without[0])
            self.say(
                f"{without[0]}: why does it differ? Give a cause; {len(without)} without one.",
                wrong=True,
            )
        else:
            text = Text("The books are corrected by entries of one act; undo takes them back as one.")
            asked = screen("confirm")(f"Settle {len(self.seen)} differences?", text, self.shop.by)
            await self.app.push_screen(asked, self._settle)

    def action_leave(self) -> None:
        """Later."""
        if not self._settling:
            self.dismiss(None)

    @property
    def _ledger(self) -> Ledger:
        return self.query_one("#rows", Ledger)

    def _is_settled(self, settled: Settled) -> None:
        self.shop.drafts.causes.pop(self.count.number, None)
        self._keep_draft()
        self.dismiss(settled)

    @on(Failed)
    def _has_failed(self, event: Failed) -> None:
        if event.group == DRAFTS:
            self.say(f"{event.line}: what you entered would be lost with the program.", wrong=True)
            return
        self._settling = False
        self.say(f"NOT SETTLED: {event.line}", wrong=True)

    @on(Ledger.Chosen)
    def _other(self) -> None:
        self._draw_chosen()

    @on(Input.Changed, "#filter")
    def _typed(self, event: Input.Changed) -> None:
        if event.value:
            self.say("")

    def _give_cause(self, cause: str) -> None:
        self.causes.words[self.chosen.line.tag] = self._last = cause
        self.say("")
        self._changed()
        self._on_to_next()

    def _on_to_next(self) -> None:
        """Choose the next that has no cause, from the chosen one on."""
        here = self._ledger.chosen
        for each in (*self.seen[here:], *self.seen[:here]):
            if each.line.tag not in self.causes.words:
                self._choose(each.line.tag)
                return
        self.say("Every difference has its cause: F2 settles the count.")

    def _choose(self, tag: str) -> None:
        self._ledger.chosen = [each.line.tag for each in self.seen].index(tag)

    def _changed(self) -> None:
        """Show the causes so far, and put them on the disk."""
        self._draw()
        self._keep_draft()

    def _keep_draft(self) -> None:
        drafts, number = self.shop.drafts, self.count.number
        self.keep_draft(lambda keep: drafts.keep_causes(number, keep))

    def _draw(self) -> None:
        rows = [difference_row(each, self.causes, self.count.drawer) for each in self.seen]
        self._ledger.fill(rows, chosen=self._ledger.chosen)
        self._draw_chosen()

    def _draw_chosen(self) -> None:
        self.line("chosen", difference_words(self.chosen))
        self.refresh_bindings()

    def _settle(self, answer: dict[str, str] | None) -> None:
        if answer is None:
            return
        self.shop.by = by = answer["by"]
        self._settling = True
        self.say("settling ...")
        causes, tags = self.causes, [each.line.tag for each in self.seen]
        given, stays = (
            {tag: words[tag] for tag in tags if tag in words} for words in (causes.words, causes.stays)
        )
        request = SettleRequest(number=self.count.number, causes=given, moves=stays, by=by)
        self.send(request, then=self._is_settled)


def _reason(cause: str) -> str:
    """Why a text can be no cause and no place; empty where it can be."""
    from broachplan.crib.counts import LONGEST_CAUSE
    from broachplan.crib.words import checked_words
    from broachplan.errors import InputError

    try:
        checked_words(cause, "cause", LONGEST_CAUSE)
    except InputError as error:
        return str(error)
    return ""
