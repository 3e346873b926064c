"""Take a new piece into the crib."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from broachplan.crib.doubts import Doubt, slot_depth_doubt
from broachplan.crib.entries import Act
from broachplan.desks.attendant.clock import stamped
from broachplan.desks.attendant.look_again import doubts_of, slot_depth_typed
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.questions.piece import AddRequest
from broachplan.store.entries import ActLine, record
from broachplan.store.pieces import receive
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.web_over import web_worked_out
from broachplan.store.work import writing
from broachplan.tooling.figures import Kind, read_kind
from broachplan.tooling.pieces import FIGURES


@dataclass(frozen=True, slots=True)
class Added:
    """A piece that is in the crib now; ``missing`` are the labels of figures that every plan needs and that it lacks."""

    kind: Kind
    tag: str
    missing: tuple[str, ...]
    doubts: tuple[Doubt, ...] = ()
    web: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """That it is in the crib, what no plan can do without, how a web was worked out, what looks like a slip."""
        lacks = f"; no plan uses it until these are measured: {', '.join(self.missing)}"
        return (
            f"{self.tag}, a {self.kind}, is in the crib{lacks if self.missing else ''}",
            *((self.web,) if self.web else ()),
            *(f"look again: {doubt.words}" for doubt in self.doubts),
        )


def add_piece(db: str | None, request: AddRequest, *, at: datetime | None = None) -> Added:
    """Take in a piece of a kind.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such kind, the tag is another piece's or cannot be one, or a figure cannot be.
    StorageError : the database cannot be used.
    """
    stamp, kind, tag = stamped(request.by, at), read_kind(request.kind), request.tag.strip()
    depth = slot_depth_typed(request.slot_depth)
    if depth is not None and kind is not Kind.BUSHING:
        raise InputError("slot depth", f"a {kind} has no such figure; it belongs to a bushing")
    with writing(db) as work:
        texts = web_worked_out(work, request.values)
        values = typed_values(kind, texts)
        check_piece(kind, tag, values)
        _check_slot_depth(values, depth, sure=request.sure)
        doubts = doubts_of(work, kind, tag, values, depth, request.values.get("web", ""))
        piece_id = receive(work, kind, tag, values)
        record(work, stamp, [ActLine(piece_id, Act.RECEIVED)])
        work.commit()
    missing = tuple(
        figure.label for figure in FIGURES[kind] if figure.needed and values.get(figure.name) is None
    )
    web = (
        f"web {texts['web']}: {texts['measured_with']}"
        if texts.get("web") != request.values.get("web")
        else ""
    )
    return Added(kind, tag, missing, () if request.sure else doubts, web)


def _check_slot_depth(values: Mapping[str, Any], depth: Length | None, *, sure: bool) -> None:
    """A web that contradicts the slot depth needs somebody who is sure of it."""
    lengths = {name: Length(size) for name, size in values.items() if isinstance(size, int)}
    doubt = slot_depth_doubt(lengths, depth)
    if doubt is not None and not sure:
        raise InputError("web", f"{doubt.words}, or add that you are sure (--sure)")
