"""Counts for another program; moments in universal time, as in a piece's history."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from broachplan.crib.counts import ComparedLine
    from broachplan.crib.homes import Placed
    from broachplan.desks.attendant.count_drawer import Counted
    from broachplan.desks.attendant.list_counts import CountList, Head, ShownCount

COUNT_SCHEMA = "broachplan.count/1"
COUNTS_SCHEMA = "broachplan.counts/1"
MISSING_SCHEMA = "broachplan.missing/1"


def count_as_dict(shown: ShownCount) -> dict[str, Any]:
    """A count with its lines by tag."""
    count = shown.count
    return {
        "schema": COUNT_SCHEMA,
        "number": count.number,
        "drawer": str(count.drawer),
        "at": _moment(count.at),
        "by": count.by,
        "settled": _moment(count.settled),
        "lines": [_line(each) for each in shown.seen],
    }


def counted_as_dict(counted: Counted) -> dict[str, Any]:
    """A count just taken, and the tags that were given more than once."""
    return {**count_as_dict(counted), "twice": list(counted.twice)}


def counts_as_dict(listed: CountList) -> dict[str, Any]:
    """All counts, the latest first, and the drawers, the longest not counted first."""
    return {
        "schema": COUNTS_SCHEMA,
        "counts": [_head(head) for head in listed.counts],
        "drawers": [
            {
                "drawer": str(each.drawer),
                "pieces": each.drawer.pieces,
                "last_count": each.last.number if each.last else None,
                "last_counted": _moment(each.last.at) if each.last else None,
            }
            for each in listed.drawers
        ],
        "homeless": listed.homeless,
    }


def missing_as_dict(pieces: Sequence[Placed]) -> dict[str, Any]:
    """What is missing, the longest missing first."""
    return {
        "schema": MISSING_SCHEMA,
        "pieces": [
            {
                "tag": piece.tag,
                "kind": piece.status.kind.value,
                "set": piece.set_name,
                "home": piece.home,
                "since": str(piece.status.missing_since),
            }
            for piece in pieces
        ],
    }


def _line(each: ComparedLine) -> dict[str, Any]:
    line = each.line
    return {
        "tag": line.tag,
        "expected": line.expected,
        "found": line.found,
        "difference": line.mismatch.value or None,
        "cause": line.cause,
        "changed": each.changed,
        "nearest": list(each.nearest),
    }


def _head(head: Head) -> dict[str, Any]:
    return {
        "number": head.number,
        "drawer": str(head.drawer),
        "at": _moment(head.at),
        "by": head.by,
        "settled": _moment(head.settled),
        "tags": head.tags,
        "differences": head.differences,
    }


def _moment(at: datetime | None) -> str | None:
    return at.strftime("%Y-%m-%dT%H:%M:%SZ") if at else None
