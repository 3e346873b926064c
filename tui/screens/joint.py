"""Shaft, key and hub in one view, the card for milling the keyseat, and the key's strength."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.reactive import reactive
from textual.widgets import Static

from broachplan.lengths import Units
from broachplan.sheets.result import ResultSheet, SheetBlock
from broachplan.shown import numbered
from tui import safety
from tui.plain import plain
from tui.shaft_forms import JOINT_LINES, MILL_LINES, STRENGTH_LINES
from tui.stack import StackedScreen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar
from tui.widgets.placed import put
from tui.widgets.section_view import SectionView
from tui.widgets.sheet_view import SheetView

if TYPE_CHECKING:
    from broachplan.cut.joint_picture import JointSection
    from broachplan.keyways.joint import Joint

JOINT, MILL, STRENGTH = "joint", "mill", "strength"
_TITLES = {
    JOINT: "shaft, key and hub",
    MILL: "milling the keyseat",
    STRENGTH: "strength of the key, advisory",
}
_CARED = {JOINT: safety.SHORT, MILL: safety.MILLING, STRENGTH: safety.ADVISORY}


class JointScreen(StackedScreen[dict[str, str]]):
    """Answers with the lines of the hub's form that the joint settles, where they are wanted there; else with none."""

    CSS_PATH = "../styles/joint.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "show('joint')", "shaft", id="joint.joint", tooltip="Shaft, key and hub in one view"),
        Binding("f3", "show('mill')", "milling", id="joint.mill", tooltip="The card for milling the keyseat; after a reading, what is left"),
        Binding("f4", "show('strength')", "strength", id="joint.strength", tooltip="How long the key must be for its torque: an advisory"),
        Binding("f5", "to_hub", "to hub", id="joint.to_hub", tooltip="Take key, standard and fit into the hub's form"),
        Binding("f6", "look_close", "close", id="joint.close", tooltip="Look at the key close up, or at the whole shaft"),
        Binding("pagedown", "scroll_text(10)", "page down", show=False, priority=True, id="joint.page_down", tooltip="The figures, ten lines down"),
        Binding("pageup", "scroll_text(-10)", "page up", show=False, priority=True, id="joint.page_up", tooltip="The figures, ten lines up"),
        Binding("escape", "leave", "desk", id="joint.leave", tooltip="Back to the desk"),
    ]  # fmt: skip
    pane: reactive[str] = reactive(JOINT, init=False)

    def __init__(self, start: Mapping[str, str], line_for: Callable[[Exception], str]) -> None:
        super().__init__(name="joint")
        self.joint: Joint | None = None
        self._remarks: tuple[str, ...] = ()
        self._start = start
        self._line_for = line_for

    def compose(self) -> ComposeResult:
        """The forms and the picture left, the figures right."""
        yield Static(id="title", markup=False)
        with Horizontal(id="joint-body"):
            with Vertical(id="joint-left"):
                yield FieldForm(JOINT_LINES, self._start, id=f"{JOINT}-form")
                yield FieldForm(MILL_LINES, {}, id=f"{MILL}-form")
                yield FieldForm(STRENGTH_LINES, {}, id=f"{STRENGTH}-form")
                yield Static(id="said", markup=False)
                yield SectionView(id="joint-picture")
            with Vertical(id="joint-right"):
                yield Static(id="headline", markup=False)
                with VerticalScroll(id="joint-scroll", can_focus=False):
                    yield SheetView(id="joint-text")
        yield Static(id="safety", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Draw, now and whenever the units change."""
        self.set_focus(self._form(JOINT).line("shaft"))
        self.watch(self.app, "units", self._draw, init=False)
        self.watch_pane()

    @property
    def units(self) -> Units:
        """The units shown in: those chosen on the screen, else those that the shaft is typed in."""
        from broachplan.lengths import units_of
        from broachplan.standards.iso_286 import read_sized

        chosen: Units | None = getattr(self.app, "units", None)
        if chosen or self.joint is None:
            return chosen or Units.INCH
        return units_of(read_sized(self._form(JOINT).value("shaft")).system)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing goes to the hub before there is a joint."""
        if action == "to_hub":
            return True if self.joint is not None else None
        return super().check_action(action, parameters)

    def watch_pane(self) -> None:
        """Show the lines and the figures of another pane."""
        # At once: a changed class restyles everything on the screen.
        self.classes = self.classes - {f"-{pane}" for pane in _TITLES} | {f"-{self.pane}"}
        for pane in (MILL, STRENGTH):
            self._form(pane).display = pane == self.pane
        if self.focused is None or not self.focused.parent or not self._in_sight():
            self.set_focus(self._form(JOINT).line("shaft"))
        self.query_one("#joint-scroll").scroll_home(animate=False)
        self._draw()

    def action_show(self, pane: str) -> None:
        """Another pane, with the cursor on its first line."""
        self.pane = pane
        form = self._form(pane)
        self.set_focus(form.line(form.fields[0].name))

    def action_to_hub(self) -> None:
        """Back, with what the hub's form can take."""
        if self.joint is None:
            return
        values = self._form(JOINT).values()
        numbered = bool(self.joint.key.number)
        self.dismiss(
            {
                "bore": values["shaft"] if values["shaft"] != self._start.get("shaft", "") else "",
                "key": values["hub_key"] or values["key"],
                "standard": self.joint.standard.value if numbered else values["standard"],
                "shape": values["shape"],
                "fit": values["fit"],
                "no_top_clearance": values["no_top_clearance"],
            }
        )

    def action_look_close(self) -> None:
        """The key alone, or the whole shaft."""
        view = self.query_one(SectionView)
        view.close = not view.close

    def action_scroll_text(self, lines: int) -> None:
        """Scroll the figures."""
        self.query_one("#joint-scroll").scroll_relative(y=lines, animate=False)

    def action_leave(self) -> None:
        """Back, with nothing."""
        self.dismiss({})

    @on(FieldForm.TextChanged)
    def _typed(self) -> None:
        self._draw()

    def _form(self, pane: str) -> FieldForm:
        return self.query_one(f"#{pane}-form", FieldForm)

    def _in_sight(self) -> bool:
        return any(form.display and form.has_focus_within for form in self.query(FieldForm))

    def _draw(self) -> None:
        """Read the forms in sight and show what they ask for; why they cannot be read takes the place of the figures."""
        reason, sheet = self._answer()
        self._remarks = sheet.remarks
        view = self.query_one("#joint-text", SheetView)
        view.show(sheet)
        self._line("title", f"BROACHPLAN   {_TITLES[self.pane]}")
        self._line("safety", _CARED[self.pane])
        self._line("headline", plain(sheet.short))
        said = self.query_one("#said", Static)
        said.set_class(bool(reason) and self._begun(), "-wrong")
        put(Text(plain(reason) or self._hint()), said)
        picture = self.query_one(SectionView)
        picture.units = self.units
        picture.section = self._section(self.joint)
        self.refresh_bindings()

    def _answer(self) -> tuple[str, ResultSheet]:
        """Why the forms cannot be read, and the figures; without them the reason again, where there is room for it."""
        self.joint = None
        reason = self._reason(JOINT)
        try:
            if not reason:
                from tui.shaft_forms import joint_of

                self.joint = joint_of(self._form(JOINT).values())
                reason = self._reason(self.pane)
            if self.joint and not reason:
                return "", self._sheet(self.joint)
        except Exception as error:
            reason = self._line_for(error)
        return reason, self._instead(reason)

    def _instead(self, reason: str) -> ResultSheet:
        """What is shown in place of the figures; that strength is an advisory is shown there too."""
        from broachplan.keyways.strength import ADVICE
        from broachplan.sheets.joint import joint_sheet

        key = joint_sheet(self.joint).short if self.joint else "no shaft, key and hub yet"
        caution = ADVICE if self.pane == STRENGTH else ""
        return ResultSheet(title=key, short=key, caution=caution, blocks=(SheetBlock(reason),))

    def _begun(self) -> bool:
        """Whether something is typed that can be wrong: nothing in an empty form is."""
        return self.joint is None or any(self._form(self.pane).values().values())

    def _sheet(self, joint: Joint) -> ResultSheet:
        from broachplan.sheets.joint import joint_sheet
        from broachplan.sheets.milling import milling_sheet
        from broachplan.sheets.strength import strength_sheet
        from tui.shaft_forms import card_of, strength_of

        values = self._form(JOINT).values()
        if self.pane == MILL:
            return milling_sheet(card_of(values, self._form(MILL).values()), self.units)
        if self.pane == STRENGTH:
            return strength_sheet(strength_of(values, joint, self._form(STRENGTH).values()), self.units)
        return joint_sheet(joint, self.units)

    def _reason(self, pane: str) -> str:
        form = self._form(pane)
        reasons = form.reasons()
        focused = self.focused.id if self.focused else None
        return reasons.get(focused or "", "") or next(iter(reasons.values()), "")

    def _hint(self) -> str:
        count = len(self._remarks)
        remarks = f"{numbered(count, 'remark')} with the figures. " if count else ""
        return f"{remarks}page-up, page-down: the rest. F5: plan this hub."

    def _section(self, joint: Joint | None) -> JointSection | None:
        from broachplan.cut.joint_picture import draw_joint

        return draw_joint(joint) if joint else None

    def _line(self, name: str, text: str) -> None:
        put(Text(text), self.query_one(f"#{name}", Static))
