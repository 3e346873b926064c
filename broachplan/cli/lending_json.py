"""Who has what, for another program."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from broachplan.crib.sets import ToolSet
    from broachplan.desks.attendant.list_out import OutList

OUT_SCHEMA = "broachplan.out/1"
SETS_SCHEMA = "broachplan.sets/1"


def out_as_dict(listed: OutList) -> dict[str, Any]:
    """What is out; ``on`` is the day that tells what is overdue."""
    return {
        "schema": OUT_SCHEMA,
        "on": listed.on.isoformat(),
        "pieces": [
            {
                "tag": piece.tag,
                "kind": piece.kind.value,
                "to": piece.loan.to,
                "since": piece.loan.since.isoformat(),
                "due": piece.loan.due.isoformat() if piece.loan.due else None,
                "job": piece.loan.job,
                "overdue": piece.overdue,
            }
            for piece in listed
        ],
    }


def sets_as_dict(listed: Sequence[ToolSet]) -> dict[str, Any]:
    """The sets, each with all its pieces and those that are out or not fit."""
    return {
        "schema": SETS_SCHEMA,
        "sets": [
            {
                "name": box.name,
                "complete": box.complete,
                "without_broach": box.without_broach,
                "pieces": [piece.tag for piece in box.pieces],
                "out": [piece.tag for piece in box.out],
                "missing": [piece.tag for piece in box.lost],
                "not_fit": [piece.tag for piece in box.not_fit],
            }
            for box in listed
        ],
    }
