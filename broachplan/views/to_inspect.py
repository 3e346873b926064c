"""What is back and not yet inspected: no plan uses it, and it is not lent, until somebody looks at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.questions.reads import ToInspectRequest
from broachplan.sheets.listing import ListAct, ListOf
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Sequence

    from broachplan.desks.attendant.list_to_inspect import Waiting


TO_INSPECT: ListOf[Sequence[Waiting], Waiting] = ListOf(
    heading="TO INSPECT",
    hint="scan or type a tag, a kind, a home, a name, or a day",
    nothing="Nothing waits for its inspection.",
    schema="broachplan.to_inspect/1",
    key="pieces",
    order=("tag", "kind", "back", "from", "sent", "home"),
    fields=(
        Field(TAG, lambda piece: piece.tag, "tag"),
        Field(Column("kind", drops=1), lambda piece: piece.kind, "kind"),
        Field(Column("back since"), lambda piece: piece.back, "back"),
        Field(Column("from", least=8), lambda piece: piece.came_from, "from"),
        Field(Column("sent out", drops=3), lambda piece: piece.was_sent, "sent", lambda piece, _: "sent out" * piece.was_sent),
        Field(Column("home", least=8, drops=2), lambda piece: piece.home, "home", lambda piece, _: piece.home or "no home"),
    ),
    request=ToInspectRequest,
    view=today,
    total=lambda pieces: f"{numbered(len(pieces), 'piece')} back and not yet inspected, the longest waiting first",
    tag=lambda piece: piece.tag,
    acts=(ListAct("f2", "inspect", "inspect", "Note what the inspection of the chosen piece, or of another, found"),),
)  # fmt: skip
