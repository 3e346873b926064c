"""A strength advisory for other programs: lengths in whole nm, force in N, torque in N m, stress in MPa."""

from __future__ import annotations

from typing import Any

from broachplan.keyways.strength import ADVICE, SOURCE, STATUS, Check, Strength
from broachplan.lengths import Length


def as_dict(strength: Strength) -> dict[str, Any]:
    """The advisory as one object; what cannot be reckoned is null."""
    return {
        "schema": "broachplan.strength/1",
        "advice": ADVICE,
        "shaft_nm": strength.shaft.nm,
        "key": {
            "name": strength.key.name,
            "width_nm": strength.key.width.nm,
            "height_nm": strength.key.height.nm,
        },
        "load": {
            "by": strength.load_by.value if strength.load_by else None,
            "torque_newton_metres": _round(strength.torque),
            "power_watts": _round(strength.power.watts if strength.power else None),
            "rpm": _round(None if strength.rpm is None else float(strength.rpm)),
            "force_n": _round(strength.force),
        },
        "length_nm": _nm(strength.length),
        "safety": _round(None if strength.safety is None else float(strength.safety)),
        "length_needed_nm": _nm(strength.needed),
        "enough": strength.enough,
        "factor": _round(strength.factor),
        "weakest": strength.weakest.part.value,
        "carries_newton_metres": _round(strength.carries),
        "shaft_carries_newton_metres": _round(strength.shaft_carries),
        "parts": [_part(check) for check in strength.checks],
        "assumptions": list(strength.assumptions),
        "source": SOURCE,
        "status": STATUS,
        "remarks": list(strength.remarks),
    }


def _part(check: Check) -> dict[str, Any]:
    return {
        "part": check.part.value,
        "strength_mpa": _round(check.strength.mpa),
        "basis": check.basis,
        "breadth_nm": check.breadth.nm,
        "stress_mpa": _round(check.stress),
        "factor": _round(check.factor),
        "length_needed_nm": _nm(check.needed),
    }


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def _nm(length: Length | None) -> int | None:
    return None if length is None else length.nm
