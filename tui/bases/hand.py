"""What lending and taking back share: a small form over any screen that stays open for the next tag."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from broachplan.errors import AskedFirst, StorageError
from broachplan.questions.acts import TakeOverRequest
from broachplan.questions.line import Line as Field
from broachplan.questions.line import asked, lines_of
from broachplan.questions.reads import KnownRequest
from tui.bases.asking import Failed
from tui.bases.drafting import DraftingScreen
from tui.desks import Desks
from tui.plain import plain
from tui.status_words import about_all, offered, recognised, said, tags_of
from tui.widgets.entry import EntryLine
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar, worded

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_known import Known
    from tui.bases.asking import AttendingScreen

_LINES_KEPT = 7
_YES = " F8: do it all the same"


class TagDone(NamedTuple):
    """One tag of the queue is done, refused, or waits because it could not be saved; ``line`` says so."""

    tag: str
    line: str
    refused: bool
    known: Known | None
    waits: bool = False
    # What a yes to what was refused changes in it; None where no yes would do.
    yes: Mapping[str, str] | None = None


def _marked(done: TagDone) -> str:
    """DONE or NOT DONE before the line, which names the tag."""
    named = done.line if done.tag in done.line else f"{done.tag}: {done.line}"
    if done.waits:
        return f"NOT SAVED {named}"
    return f"NOT DONE  {named}" if done.refused else f"DONE      {named}"


class HandScreen(DraftingScreen[None], ModalScreen[None]):
    """Tags that come quicker than the desk writes wait in a queue; none is lost, and they are done in their order.

    The queue is on the station's disk too. What cannot be saved, because the crib cannot be reached, stays in it, here and
    there, until it is sent again or put back into the form.
    """

    CSS_PATH = "../styles/modal.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "enter", "do it", priority=True, id="hand.enter", tooltip="On to what is still missing; when nothing is, do it"),
        Binding("f5", "send_again", "send again", show=False, priority=True, id="hand.again", tooltip="Send again what could not be saved"),
        Binding("f6", "put_back", "put back", show=False, priority=True, id="hand.put_back", tooltip="Put the first of what could not be saved back into the form, to change or to clear"),
        Binding("f8", "yes", "yes, do it", priority=True, id="hand.yes", tooltip="Yes to what was just refused and can be done all the same: lend over a hold, hold over a loan, lend the rest of a set"),
        Binding("f1", "app.help", "help", show=False, id="hand.help", tooltip="Every key and what it does"),
        Binding("escape", "leave", "back", priority=True, id="hand.leave", tooltip="Back, when all that was entered is done"),
    ]  # fmt: skip
    REQUEST: ClassVar[type]
    FIELDS: ClassVar[tuple[Field, ...]]
    TITLE: ClassVar[str]
    # What is typed again for each tag; the rest is kept.
    EACH: ClassVar[tuple[str, ...]] = ("tag",)
    # Whether a list of tags with commas is taken; each then waits in the queue.
    SEVERAL: ClassVar[bool] = False

    def __init__(self, db: str | None, desks: Desks, start: Mapping[str, str], *, name: str) -> None:
        super().__init__(db, desks, name=name)
        self._start = start
        self.known: Known | None = None
        # The text in the line of the tag that the crib was asked about, and why nothing is shown of it yet.
        self._scanned = ""
        self._unsure = ""
        # Whether what waits is not being sent.
        self._held = False
        self._results: deque[str] = deque(maxlen=_LINES_KEPT)
        # What was refused last and a yes would do, with that yes.
        self._asked: dict[str, str] | None = None
        # How to make room once the queue is empty, where that was asked for.
        self._way_out: tuple[Callable[[], object], bool] | None = None

    @classmethod
    def over(cls, here: AttendingScreen[Any]) -> Screen[Any]:
        """This form, opened from one of the attendant's screens with what is chosen there."""
        # Each screen of this kind takes just these.
        kind: Any = cls
        made: Screen[Any] = kind(here.db, here.desks, here.at_hand, here.shop.by)
        return made

    def compose(self) -> ComposeResult:
        """Form, what is known of the tag, what was done."""
        with Vertical(id="modal"):
            yield Static(Text(worded(self.app).label(self.TITLE)), id="modal-title")
            yield FieldForm(self.FIELDS, self._start, self.reason, id="modal-form", known=("tag", "to", "by"))
            yield Static(id="known", markup=False)
            yield Static(id="said", markup=False)
            yield Static(id="results", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """The tag first: a scanned tag replaces the one in the line."""
        self._to(self.first_line)
        self._held = bool(self._row)
        self._draw()
        self.send(KnownRequest(), then=self._know)
        self.shop.watch_crib()
        self.watch(self.app, "written", self._look, init=False)
        drafts, form = self.shop.drafts, str(self.name)
        if form not in drafts.taken_over:
            drafts.taken_over.add(form)
            self.send(TakeOverRequest(form=form, session=drafts.session), then=self._resume)

    @property
    def _row(self) -> deque[dict[str, str]]:
        """The queue: it outlives the form."""
        return self.shop.drafts.waiting[str(self.name)]

    @property
    def first_line(self) -> str:
        """The line to begin in."""
        return "tag"

    @property
    def form(self) -> FieldForm:
        """The form."""
        return self.query_one(FieldForm)

    @property
    def tag(self) -> str:
        """The text in the line of the tag."""
        return self.form.value("tag")

    @property
    def unsaved(self) -> str:
        """What would be lost on leaving the program: what is typed; what waits only where it is not on the disk."""
        values = self.form.values()
        typed = any(values[name] not in ("", self._start.get(name)) for name in self.EACH)
        lost = self._row and self.shop.drafts.lost
        return f"{self.TITLE.partition('   ')[0].capitalize()}: what is typed" if typed or lost else ""

    def give_way(self, way_out: Callable[[], object], *, if_refused: bool) -> None:
        """Make room in this way when all that was entered is done; keys typed meanwhile wait for what comes then.

        Unless it gives way ``if_refused`` too, the form stays with what was refused. Keys meant for what would have come
        are dropped then: here they would do something else.
        """
        if self._row and not self._held:
            self._way_out = way_out, if_refused
            self.shop.hold_keys()
            self._draw()
        else:
            way_out()

    @property
    def tags(self) -> tuple[str, ...]:
        """The tags in the line: one piece or set, or with ``SEVERAL`` each of a list."""
        return tags_of(self.tag, self.known) if self.SEVERAL else (self.tag,)

    @classmethod
    def begins_with(cls, here: Screen[Any]) -> str:
        """The text in the line of the tag when the form opens over a screen, or replaces another."""
        if isinstance(here, HandScreen):
            return here.tags[0]
        return str(getattr(here, "at_hand", "")) if getattr(here, "picked", True) else ""

    def go_on_from(self, before: HandScreen) -> None:
        """Show what was done in the form that this one takes the place of."""
        self._results.extend(before._results)

    def reason(self, field: Field, text: str, values: Mapping[str, str]) -> str:
        """Why a text will not do in a line."""
        if field.name == "to" and self.known is not None and text in self.known.pieces:
            return f"to: read “{text}”, which is a tag; write the name of the person who gets it"
        return field.reason_against(text, values)

    def request(self, values: Mapping[str, str], what: str, is_set: bool) -> object:
        """What is asked of the desk: the lines of the form, of which the first names one piece or a whole set."""
        takes_sets = any(line.name == "set_name" for line in lines_of(self.REQUEST))
        named = {"set_name": what, "tag": ""} if is_set and takes_sets else {"tag": what}
        return asked(self.REQUEST, {**values, **named})

    async def action_enter(self) -> None:
        """On to the first line that is not valid yet; when all are, join the queue and make room for the next tag."""
        await self.keys_taken()
        if not self.tag and self._here == "tag":
            self.say(f"{self.TITLE.partition('   ')[0].lower()}: scan or type a tag")
            return
        reasons = self.form.reasons()
        if reasons:
            name, reason = next(iter(reasons.items()))
            wrong = bool(self.form.value(name))
            self.say(reason if wrong or name == self._here else "", wrong=wrong)
            self._to(name)
            return
        values = self.form.values()
        await self.take({**values, "tag": tag} for tag in self.tags)

    async def take(self, several: Iterable[dict[str, str]]) -> None:
        """Put what is typed into the queue, and make room for the next tag."""
        idle, self._asked = not self._row, None
        self._row.extend(several)
        self._keep()
        self.shop.by = self._row[-1]["by"]
        self.form.fill(dict.fromkeys(self.EACH, ""))
        self._to("tag")
        if idle:
            self._next()
        self._draw()
        self.refresh_bindings()

    async def action_yes(self) -> None:
        """Yes to what was refused."""
        await self.keys_taken()
        if (asked := self._asked) is not None:
            await self.take([asked])

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A yes is taken only where one was asked for."""
        return super().check_action(action, parameters) if action != "yes" or self._asked else False

    def action_leave(self) -> None:
        """Back, when the queue is empty or waits for the crib."""
        self.give_way(lambda: self.dismiss(None), if_refused=False)

    def action_send_again(self) -> None:
        """Send what could not be saved, in its order."""
        if self._held and self._row:
            self._held = False
            self._next()
            self._draw()

    async def action_put_back(self) -> None:
        """Put the first of what waits back into the form: there it can be changed, or cleared."""
        await self.keys_taken()
        if not self._held or not self._row:
            return
        if self.tag:
            self.say(f"{self.tag} is in the line: save it or clear it first", wrong=True)
            return
        values = self._row.popleft()
        self._keep()
        self.form.fill({name: values.get(name, "") for name in self.form.values()})
        self._held = bool(self._row)
        self._to("tag")
        self._draw()

    def _resume(self, left: Sequence[Mapping[str, str]]) -> None:
        """What an earlier session could not save waits for a key, and what was entered meanwhile with it."""
        if left:
            self._held = True
            self._row.extend(map(dict, left))
            self._keep()
            self._draw()

    def _keep(self) -> None:
        drafts, form = self.shop.drafts, str(self.name)
        self.keep_draft(lambda keep: drafts.keep_waiting(form, keep))

    def _is_done(self, done: TagDone) -> None:
        self._results.appendleft(_marked(done))
        if done.waits:
            self._held = True
            self._draw()
            self._make_room(refused=True)
            return
        values = self._row.popleft()
        self._keep()
        self._asked = {**values, **done.yes} if done.yes is not None else None
        self.refresh_bindings()
        if done.refused:
            self.app.bell()
            self._back_in_place(values)
        else:
            self.shop.changes += 1
        if done.known is not None:
            self._know(done.known)
        if self._row and not self._held:
            self._next()
        self._draw()
        self._make_room(done.refused or self._held)

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        self.say(event.line, wrong=True)
        self._unsure = "not known now" if self._unsure else ""
        self._draw_known()

    @on(FieldForm.TextChanged)
    def _typed(self) -> None:
        self.say(self.form.wrong(), wrong=True)
        if self.tag != self._scanned:
            self._scanned = self.tag
            self._look()
        self._draw_known()

    @on(events.DescendantFocus)
    def _other_line(self) -> None:
        self._draw_known()

    @property
    def _here(self) -> str:
        here = self.focused.id if self.focused else None
        return here if here in {field.name for field in self.FIELDS} else "tag"

    def _look(self) -> None:
        """Ask about a tag as it is scanned: somebody else may have the piece by now. A queue at work asks by itself."""
        if about_all(self.tags, self.known) and (self._held or not self._row):
            self._unsure = "asking the crib ..."
            self.send(KnownRequest(), then=self._know)
            self._draw_known()

    def _know(self, known: Known) -> None:
        self.known, self._unsure = known, ""
        self.form.know({"tag": [*known.pieces, *known.sets], "to": known.people, "by": known.attendants})
        self._draw_known()

    def _make_room(self, refused: bool) -> None:
        if self._way_out is None:
            return
        way_out, if_refused = self._way_out
        stays = refused and not if_refused
        if stays or not self._row:
            self._way_out = None
            self.shop.release_keys(drop=stays)
            if not stays:
                way_out()

    def _next(self) -> None:
        values = self._row[0]
        self.work(lambda: self._performed(values), then=self._is_done, group="row")

    def _performed(self, values: Mapping[str, str]) -> TagDone:
        """Do the first of the row, and look at what is known then."""
        what = values["tag"]
        try:
            known = self.known or self.desks.send(self.db, KnownRequest())
            what, is_set = recognised(values["tag"], known)
            line = said(self.desks.send(self.db, self.request(values, what, is_set)))
        except Exception as error:
            return self._refused(what, error)
        try:
            return TagDone(what, line, refused=False, known=self.desks.send(self.db, KnownRequest()))
        except Exception:  # it is done, even if looking again fails
            return TagDone(what, line, refused=False, known=None)

    def _refused(self, what: str, error: Exception) -> TagDone:
        yes = error.yes if isinstance(error, AskedFirst) else None
        line = f"{self.desks.line_for(error)}{_YES if yes is not None else ''}"
        waits = isinstance(error, StorageError)
        return TagDone(what, line, refused=True, known=self.known, waits=waits, yes=yes)

    def _back_in_place(self, values: Mapping[str, str]) -> None:
        """Put what was refused back into the form, unless the next is being typed there."""
        if not self.tag and not len(self._row):
            self.form.fill({name: values[name] for name in self.EACH})
            if self._here == "tag":
                self._to("tag")

    def _to(self, name: str) -> None:
        """Go to a line; the next tag or name replaces the one in it."""
        line = self.form.line(name)
        self.set_focus(line)
        if isinstance(line, EntryLine) and name in ("tag", "to"):
            line.select_all()

    def _draw(self) -> None:
        waiting = f"{len(self._row)} waiting ..." if self._row else ""
        if self._row and self._held:
            tags = ", ".join(row["tag"] for row in self._row)
            waiting = f"{len(self._row)} NOT SAVED, kept at this station: {tags}\nF5 sends again, F6 puts the first back into the form"
        lines = [*([waiting] if waiting else []), *self._results]
        said = "\n".join(map(worded(self.app).sentence, map(plain, lines)))
        self.query_one("#results", Static).update(Text(said))
        self._draw_known()

    def _draw_known(self) -> None:
        known = about_all(self.tags, self.known)
        lines = [known and (self._unsure or known), offered(self.form.offers())]
        said = worded(self.app).sentence("\n".join(lines))
        self.query_one("#known", Static).update(Text(said))
