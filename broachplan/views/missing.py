"""What the counts did not find, and nobody has found since: no plan uses it, and it is not lent."""

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

    from broachplan.crib.homes import Placed


MISSING: ListOf[Sequence[Placed], Placed] = ListOf(
    heading="MISSING",
    hint="scan or type a tag, a kind, a home, a set, or a day",
    nothing="Nothing is missing.",
    schema="broachplan.missing/1",
    key="pieces",
    order=("tag", "kind", "set", "home", "since"),
    fields=(
        Field(TAG, lambda piece: piece.tag, "tag"),
        Field(Column("kind", drops=1), lambda piece: piece.status.kind, "kind"),
        Field(Column("missing since"), lambda piece: piece.status.missing_since, "since"),
        Field(Column("home", least=8), lambda piece: piece.home, "home", lambda piece, _: piece.home or "no home"),
        Field(Column("set", least=6, drops=2), lambda piece: piece.set_name, "set"),
    ),
    request=MissingRequest,
    view=today,
    total=lambda pieces: f"{numbered(len(pieces), 'piece')} missing, the longest missing first",
    tag=lambda piece: piece.tag,
    acts=(ListAct("f2", "found", "found", "The chosen piece, or another that is missing, was found"),),
)  # fmt: skip
