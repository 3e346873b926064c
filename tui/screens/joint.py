"""The joint: shaft, key and hub in one view, the card for milling the keyseat, and the key's strength."""

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
from tui import safety
from tui.plain import plain
from tui.shaft_forms import JOINT_LINES, MILL_LINES, STRENGTH_LINES
from tui.stack import StackedScreen
from tui.widgets.field_form import FieldForm
from tui.widgets.keybar import KeyBar
from tui.widgets.placed import put
from tui.widgets.section_view import SectionView

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
        Binding("f2", "show('joint')", "joint", id="joint.joint", tooltip="Shaft, key and hub in one view"),
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
                    yield Static(id="joint-text", markup=False)
        yield Static(id="safety", markup=False)
        yield KeyBar()

    def on_mount(self) -> None:
        """Draw, now and whenever the units change."""
        self.set_focus(self._form(JOINT).line("shaft"))
        self.watch(self.app, "units", self._draw, init=False)
        self.watch_pane()

    @property
    def units(self) -> Units:
        """The units shown in: those chosen on the screen, else those of the joint's standard."""
        from tui.joint_text import own_units

        chosen: Units | None = getattr(self.app, "units", None)
        return chosen or (own_units(self.joint) if self.joint else Units.INCH)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Nothing goes to the hub before there is a joint."""
        if action == "to_hub":
            return True if self.joint is not None else None
        return super().check_action(action, parameters)

    def watch_pane(self) -> None:
        """Show the lines and the figures of another pane."""
        # At once: a class changed looks anew at the style of everything on the screen.
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

    @on(FieldForm.Changed)
    def _typed(self) -> None:
        self._draw()

    def _form(self, pane: str) -> FieldForm:
        return self.query_one(f"#{pane}-form", FieldForm)

    def _in_sight(self) -> bool:
        return any(form.display and form.has_focus_within for form in self.query(FieldForm))

    def _draw(self) -> None:
        """Read the forms in sight and show what they ask for; what stands against it takes the place of the figures."""
        reason, text = self._answer()
        joint, units = self.joint, self.units
        self._line("title", f"BROACHPLAN   the joint: {_TITLES[self.pane]}")
        self._line("safety", _CARED[self.pane])
        self._line("headline", self._headline())
        said = self.query_one("#said", Static)
        said.set_class(bool(reason) and self._begun(), "-wrong")
        put(Text(plain(reason) or self._hint()), said)
        put(text, self.query_one("#joint-text", Static))
        view = self.query_one(SectionView)
        view.units = units
        view.section = self._section(joint)
        self.refresh_bindings()

    def _answer(self) -> tuple[str, Text]:
        """The reason against what is typed, and the figures; without them the reason again, where it can be read whole."""
        self.joint = None
        reason = self._reason(JOINT)
        try:
            if not reason:
                from tui.shaft_forms import joint_of

                self.joint = joint_of(self._form(JOINT).values())
                reason = self._reason(self.pane)
            if self.joint and not reason:
                return "", self._text(self.joint)
        except Exception as error:
            reason = self._line_for(error)
        return reason, self._instead(reason)

    def _instead(self, reason: str) -> Text:
        """What stands in place of the figures; that strength is an advisory stands there too."""
        if self.pane != STRENGTH:
            return Text(plain(reason))
        from tui.strength_text import advice

        return advice().append(plain(reason))

    def _begun(self) -> bool:
        """Whether something is typed that can be wrong: nothing in an empty form is."""
        return self.joint is None or any(self._form(self.pane).values().values())

    def _text(self, joint: Joint) -> Text:
        from tui.joint_text import joint_text
        from tui.mill_text import mill_text
        from tui.shaft_forms import card_of, strength_of
        from tui.strength_text import strength_text

        values = self._form(JOINT).values()
        if self.pane == MILL:
            card = card_of(values, self._form(MILL).values())
            self._remarks = card.remarks
            return mill_text(card, self.units)
        if self.pane == STRENGTH:
            strength = strength_of(values, joint, self._form(STRENGTH).values())
            self._remarks = strength.remarks
            return strength_text(strength, self.units)
        self._remarks = joint.remarks
        return joint_text(joint, self.units)

    def _reason(self, pane: str) -> str:
        form = self._form(pane)
        reasons = form.reasons()
        focused = self.focused.id if self.focused else None
        return reasons.get(focused or "", "") or next(iter(reasons.values()), "")

    def _hint(self) -> str:
        count = len(self._remarks)
        remarks = f"{count} remark{'s' if count > 1 else ''} with the figures. " if count else ""
        return f"{remarks}page-up, page-down: the rest. F5: plan this hub."

    def _headline(self) -> str:
        from tui.joint_text import headline

        return plain(headline(self.joint)) if self.joint else "no joint yet"

    def _section(self, joint: Joint | None) -> JointSection | None:
        from broachplan.cut.joint_picture import draw_joint

        return draw_joint(joint) if joint else None

    def _line(self, name: str, text: str) -> None:
        put(Text(text), self.query_one(f"#{name}", Static))
