"""What the machinist's desk keeps of its form: the units it is typed in, and the hub that was asked about last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import on

from broachplan.lengths import Units, units_of
from broachplan.questions.acts import KeepDraftRequest
from broachplan.questions.line import as_typed
from broachplan.questions.reads import DraftsRequest, KnownRequest, SettingsRequest
from tui.bases.asking import AskingScreen
from tui.desks import Desks
from tui.registry import screen
from tui.status_words import recognised
from tui.widgets.entry import EntryLine
from tui.widgets.hub_form import HubForm

if TYPE_CHECKING:
    from broachplan.crib.drafts import Draft
    from broachplan.desks.attendant.list_known import Known
    from broachplan.keyways.keyway import Keyway
    from broachplan.planner.answer import Answer
    from broachplan.questions.hub import PlanRequest
    from broachplan.settings import Settings

LAST_HUB = "last hub"


class HubAsking(AskingScreen[None]):
    """``start`` is the question that was given with the command; without one the last hub is looked for."""

    def __init__(self, db: str | None, start: PlanRequest | None, desks: Desks, *, name: str) -> None:
        super().__init__(db, desks, name=name)
        self.start = start
        self.answer: Answer | None = None
        self.answered: PlanRequest | None = None
        # What the shop has set, None: as typed; and the units of the last hub that could be read.
        self.shop_units: Units | None = None
        self.typed_in = Units.INCH
        self.keyway_typed: Keyway | None = None
        # What is in the form from before.
        self._begun: Mapping[str, str] = as_typed(start) if start else {}

    @property
    def units(self) -> Units:
        """The units of the answer: those chosen on the screen, else those it was given in; before it, what is typed."""
        return self._units_unless_chosen(self.answer.settings.shown_in if self.answer else self.units_typed)

    @property
    def units_typed(self) -> Units:
        """The units of what is typed, unless others are chosen or set."""
        return self._units_unless_chosen(self.shop_units or self.typed_in)

    def _units_unless_chosen(self, units: Units) -> Units:
        chosen: Units | None = getattr(self.app, "units", None)
        return chosen or units

    def ask_shop(self) -> Settings:
        """The units of force load here, before any is shown."""
        from broachplan.quantities import show_force

        settings: Settings = self.desks.send(self.db, SettingsRequest())
        show_force(0.0, settings.shown_in)
        return settings

    def check(self, asked: PlanRequest) -> str:
        """The reason against the whole of what is typed; the keyway it asks for is kept."""
        from broachplan.questions.read_hub import read_hub_question

        try:
            hub, self.keyway_typed = read_hub_question(asked)
        except Exception as error:
            return self.desks.line_for(error)
        self.typed_in = units_of(hub.system)
        return ""

    def look_for_last_hub(self) -> None:
        """Look for the last hub asked about at this station, where no other was given."""
        if self.start is None:
            self.send(DraftsRequest(), then=self._resume, group=LAST_HUB)

    def _resume(self, kept: Sequence[Draft]) -> None:
        """The last hub asked about is there again, where nothing is typed yet."""
        from broachplan.crib.drafts import HubDraft

        form = self.query_one(HubForm)
        last = next((draft.lines for draft in kept if isinstance(draft, HubDraft)), {})
        if self._asked_or_begun or any(form.values().values()):
            return
        self._begun = {name: text for name, text in last.items() if name in form.values()}
        form.fill(self._begun)
        if isinstance(self.focused, EntryLine):
            self.focused.select_all()  # what is typed now takes its place

    @property
    def _asked_or_begun(self) -> Mapping[str, str]:
        return as_typed(self.answered) if self.answered else self._begun

    @property
    def unsaved(self) -> str:
        """What would be lost on leaving the program: a hub that is typed and was not asked about."""
        asked = {name: text for name, text in self._asked_or_begun.items() if text}
        typed = {name: text for name, text in self.query_one(HubForm).values().items() if text}
        return (
            "The hub in the form" if typed and any(asked.get(name) != typed[name] for name in typed) else ""
        )

    def keep_last_hub(self, asked: PlanRequest) -> None:
        """Keep the question that is asked now for the next start at this station."""
        from broachplan.crib.drafts import HubDraft

        form = self.query_one(HubForm)
        lines = {name: text for name, text in as_typed(asked).items() if text and name in form.values()}
        self.send(KeepDraftRequest(draft=HubDraft(lines)), then=lambda _: None, group=LAST_HUB)

    @on(HubForm.Submitted)
    def _scanned(self) -> None:
        """A tag is answered with its piece: a scanner types it, and enter, into whatever line is current."""
        line = self.focused
        if isinstance(line, EntryLine) and line.id in self.query_one(HubForm).reasons() and line.value:
            self.send(KnownRequest(), then=partial(self._open_scanned, line, line.value), group="scan")

    async def _open_scanned(self, line: EntryLine, text: str, known: Known) -> None:
        tag, _ = recognised(text, known)
        if tag in known.pieces and line.value == text:
            line.value = ""
            await self.app.push_screen(screen("piece")(self.db, self.desks, self.units, tag))
