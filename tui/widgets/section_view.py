"""The picture of one pass, or of one joint."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from broachplan.lengths import Units

if TYPE_CHECKING:
    from broachplan.canvas import Canvas, Cell
    from broachplan.cut.joint_picture import JointSection
    from broachplan.cut.picture import SectionPicture


class SectionView(Widget):
    """Draws a section in dots, true to scale; patterns distinguish the parts, colours only help."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        f"section--{name}"
        for name in (
            "hub",
            "bushing",
            "shims",
            "broach",
            "before",
            "cut",
            "floor",
            "t",
            "shaft",
            "key",
            "scale",
        )
    }
    section: reactive[SectionPicture | JointSection | None] = reactive(None)
    units: reactive[Units] = reactive(Units.INCH)
    close: reactive[bool] = reactive(False)
    blocks: reactive[bool] = reactive(False)
    _drawn: tuple[object, list[list[Cell]]] | None = None

    def on_mount(self) -> None:
        """In dots or in blocks, as the app says."""
        self.watch(self.app, "blocks", self._follow)

    def _follow(self) -> None:
        self.blocks = bool(getattr(self.app, "blocks", False))

    def render_line(self, y: int) -> Strip:
        """One line of the picture."""
        lines = self._lines()
        if y >= len(lines):
            return Strip.blank(self.size.width, self.rich_style)
        return Strip([Segment(cell.character, self._style(cell.name)) for cell in lines[y]])

    def as_text(self) -> str:
        """The picture as plain text."""
        return "\n".join("".join(cell.character for cell in row) for row in self._lines())

    def _style(self, name: str) -> Style:
        return self.get_component_rich_style(f"section--{name}") if name else self.rich_style

    def _lines(self) -> list[list[Cell]]:
        wanted = (self.section, self.size, self.units, self.close, self.blocks)
        if self.section is None:
            return []
        if self._drawn is None or self._drawn[0] != wanted:
            from tui.drawing import BLOCKS

            self._drawn = (wanted, self._painted(self.section).lines(BLOCKS if self.blocks else None))
        return self._drawn[1]

    def _painted(self, section: SectionPicture | JointSection) -> Canvas:
        from broachplan.cut.picture import SectionPicture
        from tui.joint_art import paint_joint
        from tui.section_art import paint

        width, height = self.size
        if isinstance(section, SectionPicture):
            return paint(section, width, height, self.units, close=self.close)
        return paint_joint(section, width, height, self.units, close=self.close)
