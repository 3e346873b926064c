"""A planner's answer for another program: whole nanometres, newtons, no ids and no clocks."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from broachplan.cut.gauge_ways import T_ITSELF, GaugeWay
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.planner.answer import (
    Advice,
    AfterReading,
    Answer,
    Band,
    Caution,
    Make,
    Plan,
    PlanBudget,
    Refusal,
)
from broachplan.planner.rests_on import all_notes
from broachplan.sheets.gauging import can_be_gauged
from broachplan.sheets.plans import PASSES
from broachplan.sheets.table import dicts_of
from broachplan.tooling.hub import Hub

SCHEMA = "broachplan.plan/1"


def as_dict(answer: Answer, way: GaugeWay = T_ITSELF) -> dict[str, Any]:
    """The answer as one JSON object: lengths in keys that end in ``_nm``, forces in newtons in ``_n``.

    ``way`` is how T is gauged.
    """
    return {
        "schema": SCHEMA,
        "verdict": "ready" if answer.ready else "blocked",
        "hub": hub_entry(answer.hub),
        "keyway": keyway_entry(answer.keyway),
        "plans": [plan_entry(plan) for plan in answer.plans],
        "more_pairs": answer.more_pairs,
        "refusals": [_refusal(refusal) for refusal in answer.refusals],
        "advice": [_advice(one) for one in answer.advice],
        "make": [_make(make) for make in answer.make],
        "notes": list(all_notes(answer)),
        "gauging": _gauging(answer, way),
        **({"after": after_entry(answer.after)} if answer.after else {}),
    }


def _gauging(answer: Answer, way: GaugeWay) -> dict[str, Any]:
    """From where on T can be gauged, and what the gauge should read after each pass of the best plan, null where it cannot."""
    passes = answer.plans[0].passes if answer.plans else ()
    return {
        "from_nm": answer.hub.widest_bore.nm,
        "way": way.way.value,
        "less_nm": way.less.nm,
        "reads_nm": [
            way.reads(one.reading).nm if can_be_gauged(one.reading, answer.hub) else None for one in passes
        ],
    }


def after_entry(after: AfterReading) -> dict[str, Any]:
    """What a reading means."""
    again = after.push_again
    return {
        "outcome": after.outcome.value,
        "shims": [shim.tag for shim in after.stack],
        "plain_nm": after.plain.nm,
        "top_nm": after.top.nm,
        "bottom_nm": after.bottom.nm,
        "offset_nm": after.offset.nm,
        "offset_top_nm": after.offset_top.nm,
        "offset_bottom_nm": after.offset_bottom.nm,
        "doubtful": after.doubtful,
        "reads_as": [[shim.tag for shim in stack] for stack in after.reads_as],
        "planned": [[shim.tag for shim in stack] for stack in after.planned],
        "push_again": {"from_nm": again[0].nm, "to_nm": again[1].nm} if again else None,
    }


def plan_entry(plan: Plan) -> dict[str, Any]:
    """One plan of a list of plans."""
    return {
        "broach": plan.broach.tag,
        "bushing": plan.bushing.tag,
        "press": plan.press.tag if plan.press else None,
        "reading_nm": plan.reading.nm,
        **_band(plan.band),
        "passes": dicts_of(PASSES, plan.passes),
        "cautions": caution_entries(plan.cautions),
        "budget": _budget(plan.budget) if plan.budget else None,
        "tip": plan.tip,
        "homes": dict(plan.homes),
    }


def caution_entries(cautions: Iterable[Caution]) -> list[dict[str, str]]:
    """Cautions, each with its rule and its words."""
    return [{"rule": caution.rule.value, "text": caution.text} for caution in cautions]


def hub_entry(hub: Hub) -> dict[str, Any]:
    """A hub, beside its plans."""
    return {
        "bore_nm": hub.bore.nominal.nm,
        "bore_lower_nm": hub.bore.lower.nm,
        "bore_upper_nm": hub.bore.upper.nm,
        "bore_measured_nm": _nm(hub.bore_measured),
        "length_nm": hub.length.nm,
        "stack": hub.stack,
        "material": hub.material.name if hub.material else None,
    }


def keyway_entry(keyway: Keyway) -> dict[str, Any]:
    """A keyway, beside its plans, with its source."""
    return {
        "standard": keyway.standard.value,
        "width_nm": keyway.width.nominal.nm,
        "width_lower_nm": keyway.width.lower.nm,
        "width_upper_nm": keyway.width.upper.nm,
        "arc_nm": keyway.arc.nm,
        "reading_nm": keyway.reading.nominal.nm,
        "reading_lower_nm": keyway.reading.lower.nm,
        "reading_upper_nm": keyway.reading.upper.nm,
        "aim_nm": keyway.aim.nm,
        "depth_at_wall_nm": keyway.depth_at_wall.nm,
        "source": keyway.source,
        "status": keyway.status,
        "remarks": [*([keyway.off_table] if keyway.off_table else []), *keyway.remarks],
    }


def _band(band: Band | None) -> dict[str, int | None]:
    return {
        "reading_low_nm": band.low.nm if band else None,
        "reading_high_nm": band.high.nm if band else None,
    }


def _budget(budget: PlanBudget) -> dict[str, Any]:
    first = budget.first
    return {
        "terms": [
            {
                "what": term.what.value,
                "tag": term.tag,
                "from_nm": term.from_nm,
                "to_nm": term.to_nm,
                "share": round(float(share), 6),
                "source": term.source,
            }
            for term, share in zip(budget.last.terms, budget.last.shares, strict=True)
        ],
        "play_nm": list(budget.last.gap),
        "play_ends_nm": [list(budget.last.top), list(budget.last.bottom)],
        "measure_first": first
        and {"what": first.what.value, "tag": first.tag, "width_nm": first.width, "then_nm": first.then},
        "ends_differ_nm": budget.ends_differ.nm,
        "off_centre_nm": budget.off_centre.nm,
        "off_centre_most_nm": _nm(budget.off_centre_most),
        "lead_nm": budget.lead.nm,
        "lead_most_nm": _nm(budget.lead_most),
    }


def _nm(length: Length | None) -> int | None:
    return None if length is None else length.nm


def _refusal(refusal: Refusal) -> dict[str, Any]:
    return {
        "rule": refusal.rule.value,
        "count": refusal.count,
        "nearest": [
            {"broach": near.broach, "bushing": near.bushing, "text": near.text} for near in refusal.nearest
        ],
    }


def _advice(advice: Advice) -> dict[str, Any]:
    return {
        "what": advice.what.value,
        "tags": list(advice.tags),
        "hubs": advice.hubs,
        "slug_nm": advice.length.nm if advice.length else None,
        "way": advice.way,
        "text": advice.text,
    }


def _make(make: Make) -> dict[str, Any]:
    return {
        "kind": make.kind.value,
        "limits": {f"{name}_nm": [low.nm, high.nm] for name, (low, high) in make.limits.items()},
        "best": {f"{name}_nm": value.nm for name, value in make.best.items()},
        "way": make.way,
        "rising_teeth": make.rising_teeth,
        "text": make.text,
    }
