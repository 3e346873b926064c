"""The pieces of the crib, and those that somebody looked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from broachplan.questions.reads import FindRequest, ListRequest
from broachplan.sheets.listing import ListOf
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field, of_part
from broachplan.shown import numbered
from broachplan.views.piece import size_words
from broachplan.views.piece_json import entry
from broachplan.views.today import today

if TYPE_CHECKING:
    from broachplan.crib.records import Record
    from broachplan.desks.attendant.find_pieces import SearchHit, SearchResult
    from broachplan.desks.attendant.list_pieces import CribPiece, PieceList


class Listed(Protocol):
    """A piece and its state in words."""

    @property
    def record(self) -> Record: ...
    @property
    def state(self) -> str: ...


FIELDS: tuple[Field[Listed], ...] = (
    Field(TAG, lambda kept: kept.record.piece.tag),
    Field(Column("kind"), lambda kept: kept.record.piece.kind),
    Field(Column("size", least=17), lambda _: None, words=lambda kept, view: size_words(kept.record.piece, view.units)),
    Field(Column("home", least=7, drops=1), lambda kept: kept.record.home),
    Field(Column("state", least=19), lambda kept: kept.state),
)  # fmt: skip


def _kept(found: SearchHit) -> CribPiece:
    return found.kept


def _total(listed: PieceList) -> str:
    pieces = numbered(listed.total, "piece")
    return f"page {listed.page} of {listed.pages}; {pieces} in total" if listed.pages > 1 else pieces


PIECES: ListOf[PieceList, CribPiece] = ListOf(
    heading="PIECES",
    hint="scan or type a tag, words, a size; fits 30 mm; cuts 3/8 in",
    nothing="The crib is empty: ctrl+f takes the first tools in, step by step; F6 adds one piece.",
    schema="broachplan.crib/1",
    key="pieces",
    fields=FIELDS,
    request=ListRequest,
    items=lambda listed: listed.pieces,
    view=lambda listed: today(listed)._replace(units=listed.units),
    head=lambda listed: {"total": listed.total, "page": listed.page, "pages": listed.pages},
    dict_of=entry,
    total=_total,
)
FOUND: ListOf[SearchResult, SearchHit] = ListOf(
    heading="FOUND",
    hint=PIECES.hint,
    nothing="No piece has all this.",
    schema="broachplan.found/1",
    key="pieces",
    fields=(
        *(of_part(field, _kept) for field in FIELDS),
        Field(Column("found by", least=10), lambda found: ", ".join(found.by)),
    ),
    request=FindRequest,
    items=lambda listed: listed.pieces,
    view=lambda listed: today(listed)._replace(units=listed.units),
    dict_of=lambda found: {**entry(found.kept), "found_by": list(found.by)},
    total=lambda listed: f"{numbered(len(listed.pieces), 'piece')} found",
)
