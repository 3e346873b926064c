"""A joint for other programs: lengths in whole nanometres."""

from __future__ import annotations

from typing import Any

from broachplan.keyways.joint import MEMORY, Clearance, Cutter, Joint, Position, Seat, Stepped
from broachplan.keyways.key import Key
from broachplan.lengths import Limits
from broachplan.standards.corners import Corners
from broachplan.standards.named import Standard


def as_dict(joint: Joint) -> dict[str, Any]:
    """The answer as one object; figures that only Woodruff keys have are left out for others."""
    over = joint.over_key_limits
    return {
        "schema": "broachplan.key/1",
        "standard": joint.standard.value,
        "shape": joint.key.shape.value,
        "fit": joint.fit.value if joint.fit else None,
        "key": _key(joint.key),
        "stocks": [_stock(clearance) for clearance in joint.clearances],
        "arc_nm": joint.arc.nm,
        "shaft": {**_seat(joint.shaft), "depth_from_top_nm": joint.shaft.depth.nm},
        "hub": {**_seat(joint.hub), "depth_at_wall_nm": joint.hub.depth.nm},
        "over_key_nm": joint.over_key.nm,
        "over_key_lower_nm": over.lower.nm,
        "over_key_upper_nm": over.upper.nm,
        "corners": _corners(joint.corners) if joint.corners else None,
        "position": _position(joint.position) if joint.position else None,
        "stepped": _stepped(joint.stepped) if joint.stepped else None,
        **(_woodruff(joint.standard, joint.cutter) if joint.cutter else {}),
        "source": joint.source,
        "status": joint.status,
        "remarks": list(joint.remarks),
    }


def _key(key: Key) -> dict[str, Any]:
    diameter = {"diameter_nm": key.diameter.nm} if key.diameter else {}
    return {"name": key.name, "width_nm": key.width.nm, "height_nm": key.height.nm, **diameter}


def _seat(seat: Seat) -> dict[str, int]:
    return {
        **_limits("reading", seat.reading),
        **_limits("width", seat.width),
        "depth_at_edge_nm": seat.at_edge.nm,
    }


def _stock(fit: Clearance) -> dict[str, Any]:
    return {
        "name": fit.stock.name,
        **_ends("width", fit.stock.width),
        **_ends("height", fit.stock.height),
        "status": fit.stock.status,
        "clearance": {
            **_ends("shaft_side", fit.shaft_side),
            **_ends("hub_side", fit.hub_side),
            **_ends("top", fit.top),
        },
    }


def _corners(corners: Corners) -> dict[str, Any]:
    least, most = corners.radius
    chamfer = corners.chamfer or (None, None)
    return {
        "fillet_radius_lower_nm": least.nm,
        "fillet_radius_upper_nm": most.nm,
        "key_chamfer_lower_nm": chamfer[0].nm if chamfer[0] else None,
        "key_chamfer_upper_nm": chamfer[1].nm if chamfer[1] else None,
        "source": corners.source,
        "status": corners.status,
    }


def _position(position: Position) -> dict[str, Any]:
    return {
        "offset_nm": position.offset.nm,
        "length_nm": position.length.nm if position.length else None,
        "lead_nm": position.lead.nm if position.lead else None,
        "source": position.source,
        "status": position.status,
    }


def _stepped(stepped: Stepped) -> dict[str, Any]:
    return {
        "hub_key": _key(stepped.hub_key),
        **_limits("shaft_width", stepped.shaft_width),
        **_limits("hub_width", stepped.hub_width),
        **_limits("height", stepped.height),
        **_limits("height_in_shaft", stepped.in_shaft),
        "step_nm": stepped.step.nm,
    }


def _woodruff(standard: Standard, cutter: Cutter) -> dict[str, Any]:
    limits = cutter.diameter_limits
    at_edge = standard is Standard.WOODRUFF
    return {
        "cutter": {
            "number": cutter.number,
            **_limits("width", cutter.width),
            "diameter_nm": cutter.diameter.nm,
            "diameter_lower_nm": limits.lower.nm if limits else None,
            "diameter_upper_nm": limits.upper.nm if limits else None,
            "status": cutter.status,
        },
        "depths": {
            "datum": "edge" if at_edge else "centre",
            "status": MEMORY if at_edge else cutter.status,
        },
    }


def _limits(name: str, limits: Limits) -> dict[str, int]:
    return {f"{name}_nm": limits.nominal.nm, **_ends(name, limits)}


def _ends(name: str, limits: Limits) -> dict[str, int]:
    return {f"{name}_lower_nm": limits.lower.nm, f"{name}_upper_nm": limits.upper.nm}
