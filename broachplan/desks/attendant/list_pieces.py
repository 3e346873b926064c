"""The pieces of the crib as a list, filtered and page by page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from broachplan.crib.records import Record
from broachplan.lengths import Units
from broachplan.questions.reads import ListRequest
from broachplan.store.records_read import matching_tags
from broachplan.store.settings_store import load_settings
from broachplan.store.states import CribPiece, pieces_of_kind, pieces_with_tags
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind, read_kind

__all__ = ["CribPiece", "PieceList", "list_pieces"]


@dataclass(frozen=True, slots=True)
class PieceList:
    """One page of a list. ``total`` counts all that the filter lets through; ``units`` is how the shop shows lengths."""

    pieces: tuple[CribPiece, ...]
    total: int
    page: int
    pages: int
    units: Units

    @property
    def records(self) -> tuple[Record, ...]:
        """The pieces without their states."""
        return tuple(kept.record for kept in self.pieces)

    def __iter__(self) -> Iterator[CribPiece]:
        return iter(self.pieces)


def list_pieces(db: str | None, request: ListRequest) -> PieceList:
    """The pieces that are not retired, by kind and then tag.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    request : a page past the last is empty; without a limit all are on one.

    Raises
    ------
    InputError : no such kind.
    StorageError : the database cannot be used.
    """
    kinds = [read_kind(request.kind)] if request.kind else list(Kind)
    text, page, on = request.text.strip(), request.page, request.on
    with reading(db) as work:
        units = load_settings(work).shown_in
        if not text and request.limit is None and page == 1:
            every = tuple(kept for each in kinds for kept in pieces_of_kind(work, each, on))
            return PieceList(every, len(every), 1, 1, units)
        found = matching_tags(work, kinds, text)
        size = request.limit or max(len(found), 1)
        wanted = found[(page - 1) * size : page * size]
        pieces: list[CribPiece] = []
        for each in kinds:
            pieces += pieces_with_tags(work, each, [tag for its, tag in wanted if its is each], on)
    return PieceList(tuple(pieces), len(found), page, max(-(-len(found) // size), 1), units)
