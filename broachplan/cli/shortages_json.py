"""What becomes of the coming jobs, for another program: whole nanometres, days as they are written, no clock."""

from __future__ import annotations

from typing import Any

from broachplan.buying.missing import MissingPiece
from broachplan.buying.start_by import StartBy
from broachplan.cli.basket_json import basket_entry
from broachplan.cli.plan_json import plan_entry
from broachplan.desks.buyer.shortages import JobShortage, OnItsWay, Shortages

SCHEMA = "broachplan.shortages/1"


def as_dict(found: Shortages) -> dict[str, Any]:
    """The open jobs in their order. ``buy`` is null where no offers were given."""
    return {
        "schema": SCHEMA,
        "on": found.on.isoformat(),
        "assignment": "optimal" if found.proven else "not_proven",
        "jobs": [_job(one) for one in found.jobs],
        "start_by": [_begin(each) for each in found.to_begin],
        "on_its_way": [_coming(each) for each in found.on_its_way],
        "buy": basket_entry(found.buy) if found.buy else None,
    }


def _job(one: JobShortage) -> dict[str, Any]:
    judged, why, days = one.judged, one.judged.why, one.days
    return {
        "number": one.job.number,
        "due": one.job.due.isoformat(),
        "state": one.job.state.value,
        "days": [days.days[0].isoformat(), days.days[-1].isoformat()],
        "late": days.late,
        "verdict": judged.verdict.value,
        "plan": plan_entry(one.made) if one.made else None,
        "reason": {"rule": why.rule.value, "text": why.text, "cure": why.cure} if why else None,
        "waits_for": list(judged.waits_for),
        "clashes_with": list(judged.clashes_with),
        "in_use": [{"tag": each.tag, "by": each.number} for each in one.in_use],
        "run_as_one_with": list(judged.alike),
        "free_days": [[day.isoformat() for day in one.free]] if one.free else [],
        "missing": None if one.missing is None else [_missing(piece) for piece in one.missing.pieces],
        "advice": [advice.text for advice in one.missing.advice] if one.missing else [],
        "instead": list(one.missing.instead) if one.missing else [],
    }


def _begin(each: StartBy) -> dict[str, Any]:
    return {
        "number": each.number,
        "kinds": [kind.value for kind in each.kinds],
        "days": each.days,
        "day": each.day.isoformat() if each.day else None,
        "wanted": each.wanted.isoformat(),
        "late": each.late,
    }


def _coming(each: OnItsWay) -> dict[str, Any]:
    return {
        "tag": each.tag,
        "day": each.day.isoformat(),
        "with": each.borrower or None,
        "late": each.late,
        "jobs": list(each.jobs),
    }


def _missing(piece: MissingPiece) -> dict[str, Any]:
    limits: dict[str, Any] = {
        f"{name}_nm": [end.nm if end is not None else None for end in ends]
        for name, ends in piece.limits.items()
    }
    if piece.force is not None:
        limits["rated_force_n"] = [piece.force.newtons, None]
    return {
        "kind": piece.kind.value,
        "limits": limits,
        "intervals": {
            f"{name}_nm": [list(interval) for interval in some] for name, some in piece.intervals.items()
        },
        "way": piece.text,
        "sizes": [
            {"size_nm": size.size.nm, "name": size.name, "source": size.source, "status": size.status}
            for size in piece.sizes
        ],
    }
