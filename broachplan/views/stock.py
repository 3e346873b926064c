"""What was in the crib at the end of a past day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.crib.status_words import loan_words
from broachplan.questions.reads import StockRequest
from broachplan.sheets.listing import ListOf
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field, View
from broachplan.shown import numbered

if TYPE_CHECKING:
    from broachplan.crib.homes import Placed
    from broachplan.crib.loans import Loan
    from broachplan.crib.stock import Stock


def _state(piece: Placed, view: View) -> str:
    status = piece.status
    if status.retired:
        return "retired"
    parts = [f"missing since {status.missing_since}"] if status.missing_since else []
    parts += [loan_words(status.loan, view.on)] if status.loan else []
    parts += [status.condition.words] if status.condition.value != "fit" or not parts else []
    return "; ".join(parts)


def _loan(loan: Loan | None) -> dict[str, object] | None:
    if loan is None:
        return None
    due = str(loan.due) if loan.due else None
    return {"to": loan.to, "since": str(loan.since), "due": due, "job": loan.job}


def _total(stock: Stock) -> str:
    there = stock.there
    out = sum(piece.status.loan is not None for piece in there)
    missing = sum(piece.status.missing_since is not None for piece in there)
    return f"{numbered(len(there), 'piece')}, {out} out, {missing} missing, {len(stock.retired)} retired"


def _older(stock: Stock) -> tuple[str, ...]:
    """What the history cannot show."""
    begins = f"begins on {stock.begins}" if stock.begins else "has not begun"
    said = f"The history {begins}; older pieces are shown as having been there always."
    return (said,) if stock.older else ()


STOCK: ListOf[Stock, Placed] = ListOf(
    heading="STOCK",
    hint="type a day such as 2031-05-28 and enter; or words to narrow the list",
    nothing="Nothing was in the crib then.",
    schema="broachplan.stock/1",
    key="pieces",
    order=("tag", "kind", "set", "home", "condition", "retired", "missing_since", "lent"),
    fields=(
        Field(TAG, lambda piece: piece.tag, "tag"),
        Field(Column("kind"), lambda piece: piece.status.kind, "kind"),
        Field(Column("state", least=20), lambda piece: piece.status.condition, "condition", _state),
        Field(Column("home", least=8), lambda piece: piece.home, "home"),
        Field(Column("set", least=6, drops=1), lambda piece: piece.set_name, "set"),
        Field(None, lambda piece: piece.status.retired, "retired"),
        Field(None, lambda piece: piece.status.missing_since, "missing_since"),
        Field(None, lambda piece: _loan(piece.status.loan), "lent"),
    ),
    request=StockRequest,
    items=lambda stock: stock.pieces,
    view=lambda stock: View(stock.on),
    head=lambda stock: {
        "on": str(stock.on),
        "begins": str(stock.begins) if stock.begins else None,
        "older": stock.older,
    },
    total=lambda stock: f"end of {stock.on}: {_total(stock)}",
    notes=_older,
    tag=lambda piece: piece.tag,
    days=True,
)  # fmt: skip
