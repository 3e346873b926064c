"""A milling card for other programs: lengths in whole nanometres."""

from __future__ import annotations

from typing import Any

from broachplan.keyways.milling_card import (
    After,
    Card,
    CutterPath,
    EdgeFinding,
    MillingPass,
    Spindle,
    WoodruffSetup,
)
from broachplan.lengths import Length, Limits


def as_dict(card: Card) -> dict[str, Any]:
    """The card as one object; what was not asked for is null or an empty list."""
    joint = card.joint
    return {
        "schema": "broachplan.keyseat/1",
        "standard": joint.standard.value,
        "shape": joint.key.shape.value,
        "fit": joint.fit.value if joint.fit else None,
        "shaft": _limits("diameter", card.shaft),
        "key": {
            "name": joint.key.name,
            "width_nm": joint.key.width.nm,
            "height_nm": joint.key.height.nm,
            "used_height_nm": card.key_height.nm,
        },
        "seat": {
            **_limits("width", joint.shaft.width),
            **_limits("floor", card.floor),
            "arc_nm": joint.arc.nm,
            "own_limits": card.own_limits,
        },
        "depth_from_top": {**_limits("depth", card.depth), "aim_nm": card.aim.nm},
        "over_key": _over_key(card),
        "centre": _finding(card.finding) if card.finding else None,
        "cutter_nm": _nm(card.cutter),
        "side_move_nm": [card.side_move.lower.nm, card.side_move.upper.nm] if card.side_move else None,
        "passes": [_pass(each) for each in card.passes],
        "from_end_nm": _nm(card.from_end),
        "runs": [_run(run) for run in card.runs],
        "woodruff": _woodruff(card.woodruff) if card.woodruff else None,
        "spindle": _spindle(card.spindle) if card.spindle else None,
        "after_reading": _after(card.after) if card.after else None,
        "source": card.source,
        "status": card.status,
        "remarks": list(card.remarks),
    }


def _over_key(card: Card) -> dict[str, Any]:
    stock = card.over_key_stock
    return {
        **_limits("reading", card.over_key),
        "stock": card.stock,
        "stock_lower_nm": _nm(stock.lower if stock else None),
        "stock_upper_nm": _nm(stock.upper if stock else None),
    }


def _pass(each: MillingPass) -> dict[str, int]:
    return {
        "number": each.number,
        "cut_nm": each.cut.nm,
        "depth_nm": each.depth.nm,
        "floor_nm": each.floor.nm,
    }


def _finding(finding: EdgeFinding) -> dict[str, int]:
    return {
        "finder_nm": finding.finder.nm,
        "half_finder_nm": finding.half_finder.nm,
        "half_shaft_nm": finding.half_shaft.nm,
        "move_nm": finding.move.nm,
    }


def _run(run: CutterPath) -> dict[str, Any]:
    return {
        "ends": run.ends.value,
        "over_all_nm": run.over_all.nm,
        "full_width_nm": run.full_width.nm,
        "centre_start_nm": run.start.nm,
        "centre_end_nm": run.end.nm,
    }


def _woodruff(setup: WoodruffSetup) -> dict[str, Any]:
    limits = setup.cutter.diameter_limits
    return {
        "number": setup.cutter.number,
        **_limits("cutter_width", setup.cutter.width),
        "cutter_diameter_nm": setup.diameter.nm,
        "cutter_diameter_lower_nm": _nm(limits.lower if limits else None),
        "cutter_diameter_upper_nm": _nm(limits.upper if limits else None),
        "cutter_status": setup.cutter.status,
        "half_cutter_nm": setup.half_cutter.nm,
        "half_shaft_nm": setup.half_shaft.nm,
        "height_nm": setup.height.nm,
        "from_rim_nm": _nm(setup.from_rim),
        "from_finder_nm": _nm(setup.from_finder),
        "seat_length_nm": setup.seat_length.nm,
        "depth_at_edge_nm": setup.at_edge.nm,
    }


def _spindle(spindle: Spindle) -> dict[str, Any]:
    return {
        "cutting_speed_mm_per_min": spindle.speed.um_per_min / 1000,
        "cutter_nm": spindle.cutter.nm,
        "rpm": round(spindle.rpm, 1),
    }


def _after(after: After) -> dict[str, Any]:
    return {
        "over": after.measured.over.value,
        "measured_nm": after.measured.size.nm,
        "floor_nm": after.floor.nm,
        "state": after.state.value,
        "to_aim_nm": after.to_aim.nm,
        "least_nm": after.least.nm,
        "most_nm": after.most.nm,
    }


def _limits(name: str, limits: Limits) -> dict[str, int]:
    return {
        f"{name}_nm": limits.nominal.nm,
        f"{name}_lower_nm": limits.lower.nm,
        f"{name}_upper_nm": limits.upper.nm,
    }


def _nm(length: Length | None) -> int | None:
    return None if length is None else length.nm
