"""The line that is typed at the press, with the four keys that open a list."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from tui.press.typed import PadKey
from tui.widgets.pad_line import PadLine


class PressLine(PadLine):
    """The line at the press, with the four keys of the pad.

    They are typed into the line: what they open is shown while the line begins with one, and is done only with a digit
    and Enter behind it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("minus", f"open('{PadKey.BACK}')", "back one", key_display="-", id="pad.back", tooltip="Take the last step back, or put right what was in or what was read"),
        Binding("plus", f"open('{PadKey.MORE}')", "gauge it", key_display="+", id="pad.more", tooltip="Gauge a pass that need not be; push again; the other plan"),
        Binding("slash", f"open('{PadKey.HOW_TO}')", "how to", key_display="/", id="pad.how_to", tooltip="How to measure, then a digit: 1 inside, 2 over a block, 3 at the side wall, 4 floor to floor; and all cautions"),
        Binding("asterisk", f"open('{PadKey.TROUBLE}')", "trouble", key_display="*", id="pad.trouble", tooltip="Trouble, then a digit: 1 stuck part way, 2 leaning, 3 wrong shim was in, 4 shim missing, 5 tooth or broach broken, 6 set the hub aside, 7 stop for now, 8 hand over"),
    ]  # fmt: skip

    def action_open(self, key: str) -> None:
        """As if the key had been typed into an empty line."""
        self.focus()
        self.value = key
        self.cursor_position = len(key)
