"""The crib for another program: whole nanometres, newtons, and neither ids nor clocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from broachplan.crib.entries import OF_WEAR
from broachplan.lengths import Length
from broachplan.quantities import Area, Force
from broachplan.sheets.table import plain
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import FIGURES, Piece
from broachplan.views.wear import wear_as_dict

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_pieces import CribPiece
    from broachplan.desks.attendant.show_piece import HistoryLine, Shown

PIECE_SCHEMA = "broachplan.piece/1"
_SUFFIX = {Quantity.LENGTH: "_nm", Quantity.AREA: "_nm2", Quantity.FORCE: "_n", Quantity.COUNT: ""}
_KEYS = {
    "set_name": "set",
    "measured_with": "measured.with",
    "measured_on": "measured.on",
    "measured_by": "measured.by",
    "measured_to": "measured.to",
}


def piece_as_dict(shown: Shown) -> dict[str, Any]:
    """One piece and its history, the latest first."""
    kind = shown.record.piece.kind
    history = [history_line_as_dict(kind, line) for line in shown.history]
    piece = {**entry(shown), "wear": wear_as_dict(shown.wear)}
    return {"schema": PIECE_SCHEMA, "piece": piece, "history": history}


def entry(kept: CribPiece) -> dict[str, Any]:
    """A piece of a list: lengths in ``_nm``, areas in ``_nm2``, forces in ``_n``, null where not known."""
    record = kept.record
    piece, measured = record.piece, record.measured
    return {
        "tag": piece.tag,
        "kind": piece.kind.value,
        **dict(figure_entry(piece, figure) for figure in piece.figures()),
        "set": record.set_name,
        "home": record.home,
        "condition": record.condition.value,
        "state": kept.state,
        "retired": kept.retired,
        "note": record.note,
        "made_here": record.made_here,
        "measured": {
            "with": measured.with_what,
            "on": measured.on.isoformat() if measured.on else None,
            "by": measured.by,
            "to_nm": measured.to.nm if measured.to else None,
        },
    }


def history_line_as_dict(kind: Kind, line: HistoryLine) -> dict[str, Any]:
    """An entry as it was kept: its moment in universal time, what changed under the keys of a piece."""
    entry = line.entry
    suffixes = {figure.name: _SUFFIX[figure.quantity] for figure in FIGURES[kind]}
    lengths = ("measured_to", *(name for name in OF_WEAR if name.endswith("length")))
    suffixes |= dict.fromkeys(lengths, _SUFFIX[Quantity.LENGTH])
    return {
        "act": entry.act.value,
        "at": plain(entry.at),
        "by": entry.by,
        "note": entry.note,
        "changes": [
            {
                "key": f"{_KEYS.get(change.name, change.name)}{suffixes.get(change.name, '')}",
                "old": _plain(difference.old),
                "new": _plain(difference.new),
            }
            for change, difference in zip(entry.changes, line.differences, strict=True)
        ],
    }


def figure_entry(piece: Piece, figure: Figure) -> tuple[str, int | float | None]:
    """A figure of a piece under its key, which ends in its unit."""
    return f"{figure.name}{_SUFFIX[figure.quantity]}", _plain(getattr(piece, figure.name))


def _plain(value: Any) -> Any:
    """A length in nanometres, an area in square nanometres, a force in newtons; anything else as it is."""
    if isinstance(value, Length):
        return value.nm
    if isinstance(value, Area):
        return value.nm2
    return _newtons(value) if isinstance(value, Force) else value


def _newtons(force: Force) -> int | float:
    whole, rest = divmod(force.mn, 1000)
    return force.newtons if rest else whole
