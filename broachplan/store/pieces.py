"""Pieces put into the crib: their rows, and the rows of their figures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import select

from broachplan.store.records_read import in_lots
from broachplan.store.tables import FIGURES_OF, PIECE
from broachplan.store.work import Work
from broachplan.tooling.figures import Kind


def add(work: Work, kind: Kind, pieces: Sequence[tuple[dict[str, Any], dict[str, Any]]]) -> list[int]:
    """Insert pieces of one kind, each as the values of its row and those of its figures; their ids, in that order."""
    if not pieces:
        return []
    work.connection.execute(PIECE.insert(), [piece for piece, _ in pieces])
    ids: dict[str, int] = {}
    for tags in in_lots(piece["tag"] for piece, _ in pieces):
        query = select(PIECE.c.tag, PIECE.c.id).where(PIECE.c.tag.in_(tags))
        ids.update((tag, id) for tag, id in work.connection.execute(query))
    rows = [{"piece_id": ids[piece["tag"]], **figures} for piece, figures in pieces]
    work.connection.execute(FIGURES_OF[kind].insert(), rows)
    return [row["piece_id"] for row in rows]
