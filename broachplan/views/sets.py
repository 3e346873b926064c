"""The marked boxes: complete, or what each lacks; and the pieces of each."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.status_words import lacks, state_words
from broachplan.questions.reads import SetsRequest
from broachplan.sheets.listing import ListAct, ListOf, ListPart
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Sequence

    from broachplan.crib.loans import PieceStatus
    from broachplan.crib.sets import ToolSet

MEMBERS: tuple[Field[PieceStatus], ...] = (
    Field(TAG, lambda piece: piece.tag),
    Field(Column("kind"), lambda piece: piece.kind),
    Field(
        Column("state", least=20),
        lambda piece: piece.condition,
        words=lambda piece, view: state_words(piece, view.on),
    ),
)


def _tags(pieces: Sequence[PieceStatus]) -> list[str]:
    return [piece.tag for piece in pieces]


SETS: ListOf[Sequence[ToolSet], ToolSet] = ListOf(
    heading="SETS",
    hint="type the name of a set, a tag that it lacks, or complete",
    nothing="No piece belongs to a set.",
    schema="broachplan.sets/1",
    key="sets",
    order=("name", "complete", "without_broach", "pieces", "out", "missing", "not_fit"),
    fields=(
        Field(Column("set", least=10), lambda box: box.name, "name"),
        Field(Column("pieces", right=True, drops=1), lambda box: _tags(box.pieces), "pieces", lambda box, _: str(len(box.pieces))),
        Field(Column("state", least=20), lambda box: box.complete, "complete", lambda box, view: lacks(box, view.on)),
        Field(None, lambda box: box.without_broach, "without_broach"),
        Field(None, lambda box: _tags(box.out), "out"),
        Field(None, lambda box: _tags(box.lost), "missing"),
        Field(None, lambda box: _tags(box.not_fit), "not_fit"),
    ),
    request=SetsRequest,
    view=today,
    total=lambda sets: f"{numbered(len(sets), 'set')}, {sum(box.complete for box in sets)} complete",
    tag=lambda box: box.name,
    part=ListPart(lambda box: f"The pieces of {box.name}", MEMBERS, lambda box: box.pieces),
    acts=(
        ListAct("f2", "join", "put in", "Put pieces, or another set, into the chosen set or a new one", lambda box: {"into": box.name if box else ""}, tag=False),
        ListAct("f3", "split", "take out", "Take the chosen piece out of the chosen set, or all of it", lambda box: {"out_of": box.name if box else ""}),
    ),
)  # fmt: skip
