"""What is lost or was not found by a count, and nobody has found since: no plan uses it, and it is not lent."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.questions.reads import MissingRequest
from broachplan.sheets.listing import ListAct, ListOf
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Sequence

    from broachplan.desks.attendant.list_missing import GonePiece


MISSING: ListOf[Sequence[GonePiece], GonePiece] = ListOf(
    heading="MISSING",
    hint="scan or type a tag, a kind, a home, a set, or a day",
    nothing="Nothing is missing.",
    schema="broachplan.missing/1",
    key="pieces",
    order=("tag", "kind", "set", "home", "since", "last_with", "job"),
    fields=(
        Field(TAG, lambda missing: missing.piece.tag, "tag"),
        Field(Column("kind", drops=1), lambda missing: missing.piece.status.kind, "kind"),
        Field(Column("missing since"), lambda missing: missing.piece.status.missing_since, "since"),
        Field(Column("last with", least=8, drops=3), lambda missing: missing.last_with, "last_with"),
        Field(Column("job", least=4, drops=4), lambda missing: missing.job, "job"),
        Field(Column("home", least=8), lambda missing: missing.piece.home, "home", lambda missing, _: missing.piece.home or "no home"),
        Field(Column("set", least=6, drops=2), lambda missing: missing.piece.set_name, "set"),
    ),
    request=MissingRequest,
    view=today,
    total=lambda pieces: f"{numbered(len(pieces), 'piece')} missing, the longest missing first",
    tag=lambda missing: missing.piece.tag,
    acts=(ListAct("f2", "found", "found", "The chosen piece, or another that is missing, was found"),),
)  # fmt: skip
