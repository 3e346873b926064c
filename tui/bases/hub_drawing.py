"""What the machinist's desk shows of the form's hub and of its answer: keyway, verdict, plans, passes and picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.sheets.plans import PASSES, PLANS
from broachplan.sheets.table import View, rows_of
from broachplan.shown import numbered
from broachplan.tooling.drive import Drive
from tui.bases.hub_asking import HubAsking
from tui.desks import Desks
from tui.plain import plain
from tui.widgets.figure import LargeFigure
from tui.widgets.ledger import Ledger
from tui.widgets.placed import put
from tui.widgets.section_view import SectionView

if TYPE_CHECKING:
    from broachplan.planner.answer import Plan
    from broachplan.questions.hub import PlanRequest


class HubDrawing(HubAsking):
    """``-stale`` is its class while the answer is to another hub than the form's, or to a crib that changed since."""

    def __init__(self, db: str | None, start: PlanRequest | None, desks: Desks, *, name: str) -> None:
        super().__init__(db, start, desks, name=name)
        self.planning = False
        self.open_runs = 0
        # Cautions by name: those of this answer's plans that were shown, and those of answers before.
        self.named: set[str] = set()
        self.known: frozenset[str] = frozenset()

    @property
    def plan(self) -> Plan | None:
        """The chosen plan."""
        if self.answer is None or not self.answer.plans:
            return None
        return self.answer.plans[min(self.query_one("#plans", Ledger).chosen, len(self.answer.plans) - 1)]

    @property
    def drive(self) -> Drive:
        """What drives the press of the chosen plan: cautions are worded for it."""
        return self.plan.drive if self.plan else Drive.NOT_KNOWN

    def draw_title(self) -> None:
        from tui.words import crib_words

        units = "mm and kN" if self.units is Units.MM else "inches and lbf"
        runs = f"   {numbered(self.open_runs, 'open run')}: ctrl+n" if self.open_runs else ""
        self.put_line(
            "title",
            f"BROACHPLAN   machinist's desk   {crib_words(self.db, self.shop.shop_words.crib)}, in {units}{runs}",
        )

    def draw(self) -> None:
        self.draw_title()
        self.draw_keyway()
        self.draw_verdict()
        if self.answer is None:
            return
        empty = "No plan: F4 says why, F5 what to make."
        if self.answer.lacks:
            lacks = " and no ".join(kind.plural for kind in self.answer.lacks)
            empty = f"The crib has no {lacks} yet: ctrl+f takes the first tools in."
        plans = self.query_one("#plans", Ledger)
        rows = rows_of(PLANS, self.answer.plans, View(units=self.units))
        plans.fill(rows, chosen=plans.chosen, empty=empty)
        self.draw_plan()

    def draw_keyway(self) -> None:
        """What the form asks for now, T first; while it asks for nothing, what was answered."""
        keyway, t, lines = self.keyway_typed or (self.answer.keyway if self.answer else None), "", []
        units = self.units_typed if self.keyway_typed else self.units
        if keyway:
            from broachplan.sheets.answer import keyway_points, t_in_words

            t = f"T {t_in_words(keyway, units)}"
            lines = [plain(line) for line in keyway_points(keyway, units) if not line.startswith("T ")]
        self.put_line("t", t)
        self.put_line("keyway", "\n".join(lines))

    def draw_verdict(self) -> None:
        if self.planning:
            words = "planning ..."
        elif self.answer is None:
            words = "not planned yet"
        else:
            from broachplan.sheets.answer import verdict

            stale = "Inputs changed: F2 to plan again; " if self.has_class("-stale") else ""
            words = f"{stale}{plain(verdict(self.answer)[1])}"
        large = self.query_one("#answer", LargeFigure)
        large.value = words.partition(":")[0] if words.startswith(("READY", "NO PLAN")) else ""
        large.set_class(not large.value, "-empty")
        self.put_line("verdict", words)

    def draw_plan(self) -> None:
        from broachplan.sheets.answer import plan_words
        from broachplan.sheets.caution_names import caution_names
        from tui.words import notice_words

        answer, plan, passes = self.answer, self.plan, self.query_one("#passes", Ledger)
        view = View(units=self.units, bore=answer.hub.widest_bore) if answer else View()
        passes.fill(rows_of(PASSES, plan.passes if plan else (), view), chosen=passes.chosen)
        self.put_line("chosen", plain(plan_words(plan)) if plan else "")
        names = caution_names(plan.cautions) if plan else []
        self.named.update(names)
        self.put_line("notice", notice_words(answer, plan, self.units, names, self.known) if answer else "")
        self.draw_picture()
        self.refresh_bindings()

    def draw_picture(self) -> None:
        from broachplan.planner.pass_section import section_of

        plan, view = self.plan, self.query_one(SectionView)
        view.units = self.units
        if plan is None or not plan.passes or self.answer is None:
            view.section = None
        else:
            view.section = section_of(self.answer, plan, self.query_one("#passes", Ledger).chosen)

    def put_said(self, line: str, *, wrong: bool) -> None:
        said = self.query_one("#said", Static)
        said.set_class(wrong, "-wrong")
        put(Text(plain(line)), said)

    def put_line(self, name: str, text: str) -> None:
        put(Text(text), self.query_one(f"#{name}", Static))
