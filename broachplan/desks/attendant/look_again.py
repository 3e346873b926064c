"""What of a piece's figures looks like a slip, asked before the piece is kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from broachplan.crib.doubts import Doubt, doubts
from broachplan.lengths import Length, parse_length
from broachplan.questions.piece import LookAgainRequest
from broachplan.store.beside import beside
from broachplan.store.transaction import Work
from broachplan.store.typed import check_piece, typed_values
from broachplan.store.web_over import web_worked_out
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind, read_kind
from broachplan.tooling.measures import figure_of
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.web_over import is_over, read_over


def look_again(db: str | None, request: LookAgainRequest) -> tuple[Doubt, ...]:
    """What to ask about a piece that is to be added, a figure at most once.

    Raises
    ------
    InputError : no such kind, or a figure that cannot be.
    StorageError : the database cannot be used.
    """
    asked = request.add
    kind, tag = read_kind(asked.kind), asked.tag.strip()
    with reading(db) as work:
        values = typed_values(kind, web_worked_out(work, asked.values))
        check_piece(kind, tag, values)
        web = asked.values.get("web", "")
        return doubts_of(work, kind, tag, values, slot_depth_typed(asked.slot_depth), web)


def doubts_of(
    work: Work, kind: Kind, tag: str, values: Mapping[str, Any], slot_depth: Length | None, web: str
) -> tuple[Doubt, ...]:
    """What to ask about figures as columns hold them, beside the rest of the box; ``web`` is how it was typed."""
    over = read_over(web).reading if is_over(web) else None
    figures = {
        figure.name: figure_of(figure, number if isinstance(number := values.get(figure.name), int) else None)
        for figure in FIGURES[kind]
    }
    return doubts(kind, figures, beside(work, kind, tag, dict(values)), slot_depth, over)


def slot_depth_typed(text: str) -> Length | None:
    """The slot depth that the web is checked against; None where it was not given."""
    return parse_length(text, "slot depth") if text.strip() else None
