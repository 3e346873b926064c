"""The crib for another program: whole nanometres, newtons, and neither ids nor clocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from broachplan.lengths import Length
from broachplan.quantities import Area, Force
from broachplan.tooling.figures import Figure, Quantity
from broachplan.tooling.pieces import Piece

if TYPE_CHECKING:
    from broachplan.desks.attendant.list_pieces import Kept, PieceList
    from broachplan.desks.attendant.show_piece import Shown

LIST_SCHEMA = "broachplan.crib/1"
PIECE_SCHEMA = "broachplan.piece/1"
_SUFFIX = {Quantity.LENGTH: "_nm", Quantity.AREA: "_nm2", Quantity.FORCE: "_n", Quantity.COUNT: ""}


def list_as_dict(listed: PieceList) -> dict[str, Any]:
    """A page of the list."""
    return {
        "schema": LIST_SCHEMA,
        "total": listed.total,
        "page": listed.page,
        "pages": listed.pages,
        "pieces": [entry(kept) for kept in listed],
    }


def piece_as_dict(shown: Shown) -> dict[str, Any]:
    """One piece."""
    return {"schema": PIECE_SCHEMA, "piece": entry(shown)}


def entry(kept: Kept) -> dict[str, Any]:
    """A piece as it stands in a list: lengths in ``_nm``, areas in ``_nm2``, forces in ``_n``, null where not known."""
    record = kept.record
    piece, measured = record.piece, record.measured
    return {
        "tag": piece.tag,
        "kind": piece.kind.value,
        **dict(_figure(piece, figure) for figure in piece.figures()),
        "set": record.set_name,
        "home": record.home,
        "condition": record.condition.value,
        "state": kept.state,
        "retired": kept.retired,
        "note": record.note,
        "measured": {
            "with": measured.with_what,
            "on": measured.on.isoformat() if measured.on else None,
            "by": measured.by,
        },
    }


def _figure(piece: Piece, figure: Figure) -> tuple[str, int | float | None]:
    value = getattr(piece, figure.name)
    if isinstance(value, Length):
        value = value.nm
    elif isinstance(value, Area):
        value = value.nm2
    elif isinstance(value, Force):
        value = _newtons(value)
    return f"{figure.name}{_SUFFIX[figure.quantity]}", value


def _newtons(force: Force) -> int | float:
    whole, rest = divmod(force.mn, 1000)
    return force.newtons if rest else whole
