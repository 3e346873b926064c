"""Pieces of the crib as rows of a list, the text a filter looks in, and the figures of one piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rich.text import Text

from broachplan.lengths import Units
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Piece
from tui.desks import Listed
from tui.piece_text import record_text, value_words
from tui.plain import plain
from tui.widgets.ledger import Column, Row

COLUMNS = (
    Column("tag", least=10, tags=True),
    Column("kind"),
    Column("size", least=17),
    Column("home", least=7, drops=1),
    Column("state", least=19),
)
_SIZES: dict[Kind, tuple[tuple[str, str], ...]] = {
    Kind.BROACH: (("keyway_width", ""), ("last_tooth_height", " high")),
    Kind.BUSHING: (("outside_diameter", ""), ("web", " web")),
    Kind.SHIM: (("thickness", ""), ("width", " wide")),
    Kind.PRESS: (("rated_force", ""),),
    Kind.PIN: (("diameter", ""), ("length", " long")),
    Kind.RING: (("wall", " wall"),),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One piece: its row, and everything a filter may find it by."""

    listed: Listed
    row: Row
    sought: str


def lines(pieces: Iterable[Listed], units: Units) -> list[Line]:
    """A line a piece, in the order given."""
    return [_line(listed, units) for listed in pieces]


def matching(all_lines: Sequence[Line], words: str) -> Sequence[Line]:
    """The lines that have every word somewhere in tag, kind, size, home, set, state or note."""
    wanted = words.lower().split()
    if not wanted:
        return all_lines
    return [line for line in all_lines if all(word in line.sought for word in wanted)]


def with_tag(all_lines: Iterable[Line], typed: str) -> str | None:
    """The tag that was typed or scanned whole, in letters of either case where that leaves no doubt; None where none was."""
    folded = typed.casefold()
    found = [line.row[0] for line in all_lines if folded and line.row[0].casefold() == folded]
    return typed if typed in found else found[0] if len(found) == 1 else None


def summary(listed: Listed, units: Units) -> str:
    """One piece in a few lines, where there is no room for its figures one below the other."""
    record, piece = listed.record, listed.record.piece
    figures = (
        f"{figure.label} {value_words(value, units)}"
        for figure in piece.figures()
        if (value := getattr(piece, figure.name)) is not None
    )
    where = [f"home {record.home}"] if record.home else []
    where += [f"set {record.set_name}"] if record.set_name else []
    return "; ".join((f"{piece.tag}: {listed.state}", *where, ", ".join(figures) or "nothing measured"))


def figures_text(listed: Listed, units: Units, width: int = 46) -> Text:
    """Everything known of one piece but its history."""
    piece = listed.record.piece
    text = Text()
    text.append(f"{plain(piece.tag)}\n", "bold")
    text.append(f"{piece.kind.value}, {plain(listed.state)}\n\n")
    return text.append_text(record_text(listed.record, units, width))


def _line(listed: Listed, units: Units) -> Line:
    record = listed.record
    piece = record.piece
    row = (piece.tag, piece.kind.value, _size(piece, units), record.home, listed.state)
    sought = " ".join((*row, record.set_name, record.note)).lower()
    return Line(listed, row, sought)


def _size(piece: Piece, units: Units) -> str:
    parts = []
    for name, word in _SIZES[piece.kind]:
        value = getattr(piece, name)
        if value is not None:
            parts.append(f"{value_words(value, units)}{word}")
    return ", ".join(parts) or "not measured"
