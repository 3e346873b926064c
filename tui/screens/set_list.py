"""A set comes back by its list: all is there until a number or a scan says what is not, or is worn or lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from broachplan.questions.reads import SetsRequest
from tui.bases.asking import AskingScreen, Failed
from tui.desks import Desks
from tui.plain import plain
from tui.widgets.entry import EntryLine
from tui.widgets.keybar import KeyBar

if TYPE_CHECKING:
    from broachplan.crib.loans import PieceStatus
    from broachplan.crib.sets import ToolSet

# What a piece may be, in the order in which its number takes it: the word, and the mark that shows without colour.
_MARKS = (("there", " "), ("stays out", "-"), ("worn", "w"), ("lost", "x"))
_COLUMN = 36


class SetListScreen(AskingScreen["dict[str, str] | None"], ModalScreen["dict[str, str] | None"]):
    """Answers with what comes back and from whom, in the lines of a return; with nothing when it does not come back."""

    CSS_PATH = "../styles/modal.tcss"
    DEFAULT_CSS = "SetListScreen { align: center middle; background: $background 50%; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "mark", "mark", priority=True, id="set_list.mark", tooltip="The piece that is typed or scanned stays out; once more it is worn, then lost, then there again"),
        Binding("f2", "do", "take it back", priority=True, id="set_list.do", tooltip="Take back what is there, as the list says"),
        Binding("escape", "leave", "no, back", priority=True, id="set_list.leave", tooltip="Leave all of it out"),
    ]  # fmt: skip

    def __init__(self, db: str | None, desks: Desks, name: str) -> None:
        super().__init__(db, desks, name="set_list")
        self.set_name = name
        self._people: dict[str, list[PieceStatus]] = {}
        self._who = ""
        self._marks: dict[str, int] = {}

    def compose(self) -> ComposeResult:
        """What the set is, its pieces, the line for a number or a tag, the keys."""
        with Vertical(id="modal"):
            yield Static(Text(plain(f"SET {self.set_name}   reading ...")), id="modal-title")
            with VerticalScroll(id="modal-body", can_focus=False):
                yield Static(id="modal-text", markup=False)
            yield EntryLine(id="which", placeholder="(a number, or scan a tag)")
            yield Static(id="said", markup=False)
            yield KeyBar()

    def on_mount(self) -> None:
        """Ask who has what of it."""
        self.set_focus(self.query_one("#which", EntryLine))
        self.send(SetsRequest(), then=self._is_read)

    def _is_read(self, sets: Sequence[ToolSet]) -> None:
        people: dict[str, list[PieceStatus]] = defaultdict(list)
        for piece in next((box.out for box in sets if box.name == self.set_name), ()):
            if piece.loan is not None and not piece.loan.sent:
                people[piece.loan.to].append(piece)
        self._people = dict(sorted(people.items()))
        self._who = next(iter(people)) if len(people) == 1 else ""
        self._draw()

    @property
    def _pieces(self) -> Sequence[PieceStatus]:
        return self._people.get(self._who, ())

    async def action_mark(self) -> None:
        """Choose the person by number or name, then mark a piece by its number or tag."""
        await self.keys_taken()
        line = self.query_one("#which", EntryLine)
        typed, line.value = line.value.strip(), ""
        names = [piece.tag for piece in self._pieces] if self._who else list(self._people)
        found = _named(typed, names)
        if not typed or found is None:
            what = "number or tag of this list" if self._who else "number or name of this list"
            self.say(f"{plain(typed)}: no {what}" if typed else "", wrong=True)
            return
        self.say("")
        if not self._who:
            self._who = found
        else:
            self._marks[found] = (self._marks.get(found, 0) + 1) % len(_MARKS)
        self._draw()

    async def action_do(self) -> None:
        """All that is marked, as one act."""
        await self.keys_taken()
        if self.query_one("#which", EntryLine).value.strip():
            self.say("a tag is typed: enter marks it, or empty the line", wrong=True)
        elif self._who:
            back = [*self._tags("there"), *self._tags("worn")]
            if back:
                self.dismiss({"borrower": self._who, "found": ",".join(back)} | {name: ",".join(self._tags(name)) for name in ("worn", "lost")})  # fmt: skip
            else:
                self.say("nothing of it is there; book what is lost by its tag", wrong=True)
        elif self._people:
            self.say("whose pieces are these? type the number of a name", wrong=True)

    def action_leave(self) -> None:
        """Nothing comes back."""
        self.dismiss(None)

    @on(Failed)
    def _failed(self, event: Failed) -> None:
        self.say(event.line, wrong=True)

    def _tags(self, mark: str) -> list[str]:
        return [piece.tag for piece in self._pieces if _MARKS[self._marks.get(piece.tag, 0)][0] == mark]

    def _draw(self) -> None:
        title, rows = f"SET {self.set_name}   nothing of it is out", []
        if self._who:
            title = f"SET {self.set_name}   from {self._who}   scan what is not there; F2: the rest is back"
            rows = [self._row(number, piece) for number, piece in enumerate(self._pieces, 1)]
        elif self._people:
            title = f"SET {self.set_name}   out to several: whose pieces come back?"
            rows = [
                f"{at:3}  {name}, {len(has)} pieces" for at, (name, has) in enumerate(self._people.items(), 1)
            ]
        half = (len(rows) + 1) // 2 if len(rows) > 12 else len(rows)
        lines = [
            f"{left:{_COLUMN}.{_COLUMN}}{right}"
            for left, right in zip(rows[:half], [*rows[half:], *[""] * half], strict=False)
        ]
        loans = [piece.loan for piece in self._pieces if piece.loan]
        lines += [
            f"lent without {lacked}" for lacked in dict.fromkeys(loan.lacked for loan in loans) if lacked
        ]
        self.line("modal-title", title)
        self.query_one("#modal-text", Static).update(Text("\n".join(map(plain, lines))))

    def _row(self, number: int, piece: PieceStatus) -> str:
        word, mark = _MARKS[self._marks.get(piece.tag, 0)]
        return f"{number:3} [{mark}] {piece.tag}{'' if mark == ' ' else f'  {word.upper()}'}"


def _named(typed: str, names: Sequence[str]) -> str | None:
    """One of some names by itself, in any case, or by its number from 1."""
    for name in names:
        if name.casefold() == typed.casefold():
            return name
    number = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 5 else 0
    return names[number - 1] if 1 <= number <= len(names) else None
