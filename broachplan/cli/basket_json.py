"""What to buy, for another program: amounts as text with two decimals, values in whole nanometres."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from broachplan.buying.basket.result import Basket, BasketLine, Intervals
from broachplan.money import show_amount


def basket_entry(found: Basket) -> dict[str, Any]:
    """The entry ``buy``; ``lower_bound`` is there only where the total is not proven to be the least."""
    bound = {} if found.lower_bound is None else {"lower_bound": show_amount(found.lower_bound)}
    return {
        "status": found.status.value,
        "currency": found.currency,
        "total": show_amount(found.total),
        **bound,
        "assignment": "optimal" if found.assignment_proven else "not_proven",
        "cutting": show_amount(found.cutting),
        "shipping": [
            {"supplier": one.supplier, "amount": show_amount(one.amount), "short": show_amount(one.short)}
            for one in found.shipping
        ],
        "lines": [_line(one) for one in found.lines],
        "after": [{"number": number, "verdict": verdict.value} for number, verdict in found.after],
        "still": [{"number": one.number, "text": one.text} for one in found.still],
        "not_judged": [
            {"offer": one.offer, "ask": list(one.figures), "values": _values(one.values)}
            for one in found.not_judged
        ],
        "more": [{"amount": show_amount(one.amount), "adds": list(one.adds)} for one in found.more],
    }


def _line(one: BasketLine) -> dict[str, Any]:
    return {
        "offer": one.offer.name,
        "quantity": one.quantity,
        "certainty": one.certainty.value,
        "values": _values(one.values),
        "likely_by": list(one.likely_by.tags) if one.likely_by else [],
        "shims_cut": one.shims_cut,
        "expected": one.expected.isoformat(),
        "serves": list(one.serves),
    }


def _values(values: Mapping[str, Intervals]) -> dict[str, Any]:
    return {f"{name}_nm": [list(interval) for interval in some] for name, some in values.items()}
