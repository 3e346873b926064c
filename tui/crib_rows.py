"""Pieces of the crib as rows of a list, the text a filter looks in, and the figures of one piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rich.text import Text

from broachplan.lengths import Length, Units, show
from broachplan.quantities import Area, Force, show_force, write_area
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Piece
from tui.desks import Listed
from tui.plain import plain
from tui.widgets.ledger import Column, Row

COLUMNS = (
    Column("tag", least=10, tags=True),
    Column("kind", drops=1),
    Column("size", least=9),
    Column("home", least=7),
    Column("state", least=5),
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


def value_words(value: Length | Area | Force | int | None, units: Units) -> str:
    """One figure with its unit; a figure nobody measured says so."""
    if value is None:
        return "not measured"
    if isinstance(value, Length):
        return show(value, units)
    if isinstance(value, Force):
        return show_force(value.newtons, units)
    return write_area(value) if isinstance(value, Area) else str(value)


def figures_text(listed: Listed, units: Units) -> Text:
    """Everything known of one piece."""
    record, piece = listed.record, listed.record.piece
    text = Text()
    text.append(f"{plain(piece.tag)}\n", "bold")
    text.append(f"{piece.kind.value}, {plain(listed.state)}\n\n")
    for figure in piece.figures():
        text.append(f"{figure.label.ljust(20)} {value_words(getattr(piece, figure.name), units)}\n")
    measured = record.measured
    how = ", ".join(
        part
        for part in (measured.with_what, str(measured.on or ""), measured.by and f"by {measured.by}")
        if part
    )
    for label, words in (
        ("measured", how or "not told how"),
        ("home", record.home),
        ("set", record.set_name),
        ("note", record.note),
    ):
        if words:
            text.append(f"\n{label}: {plain(words)}")
    return text


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
