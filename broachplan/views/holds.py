"""What is held: for which work, on which days."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from broachplan.crib.status_words import days_words
from broachplan.questions.reads import HoldsRequest
from broachplan.sheets.listing import ListAct, ListOf
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field
from broachplan.shown import numbered
from broachplan.views.today import today

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from broachplan.crib.holds import Hold


def _total(holds: Sequence[Hold]) -> str:
    on = today(holds).on
    return f"{numbered(len(holds), 'hold')}, {sum(_for(hold, on) for hold in holds)} for today"


def _for(hold: Hold, on: date) -> bool:
    return hold.first <= on <= hold.last


def _let_go(hold: Hold | None) -> Mapping[str, str]:
    if hold is None:
        return {}
    return {"first": str(hold.first), "last": "" if hold.last == hold.first else str(hold.last)}


HOLDS: ListOf[Sequence[Hold], Hold] = ListOf(
    heading="HOLDS",
    hint="scan or type a tag, a job, a day, or today",
    nothing="Nothing is held from today on: F2 holds a piece.",
    schema="broachplan.holds/1",
    key="holds",
    order=("tag", "kind", "for", "first", "last"),
    fields=(
        Field(Column(""), lambda _: None, words=lambda hold, view: "today" * _for(hold, view.on)),
        Field(Column("days"), lambda hold: hold.first, "first", lambda hold, _: days_words(hold.first, hold.last)),
        Field(None, lambda hold: hold.last, "last"),
        Field(TAG, lambda hold: hold.tag, "tag"),
        Field(Column("kind", drops=1), lambda hold: hold.kind, "kind"),
        Field(Column("for", least=16), lambda hold: hold.for_what, "for"),
    ),
    request=HoldsRequest,
    view=today,
    total=_total,
    tag=lambda hold: hold.tag,
    acts=(
        ListAct("f2", "hold", "hold", "Hold a piece or a set for named work, by the day", lambda hold: {"for_what": hold.for_what if hold else ""}, tag=False),
        ListAct("f3", "release", "release", "Release the chosen piece on these days, or on some of them", _let_go),
    ),
)  # fmt: skip
