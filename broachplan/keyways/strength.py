"""Key strength, an advisory: shear and bearing under a torque, the length needed, and the weakest part.

Formulas as machine-design textbooks have them (Shigley, Mott), from memory: the force F = 2 T / D acts at the shaft's
surface; a key shears over width x length and is pressed over half its height x length in the shaft and in the hub;
the yield in shear is taken as half the yield (maximum-shear theory), which is stricter than Shigley's 0.577 of it
(distortion energy). Lengths in mm, forces in N, stresses in N/mm2.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil, pi

from broachplan.errors import InputError
from broachplan.keyways.joint import MEMORY
from broachplan.keyways.key import Key, size_name
from broachplan.keyways.keyway import chord_square
from broachplan.lengths import NM_PER_MM, Length
from broachplan.quantities import Power, Pressure, Torque
from broachplan.standards.constants import KEY_SHEAR_SHARE

SOURCE = (
    "Shigley's Mechanical Engineering Design, keys and pins, and Mott's Machine Elements, keys; "
    "the shear yield by maximum-shear theory, stricter than Shigley's"
)
STATUS = MEMORY
ADVICE = (
    "Advisory only, never a release for use: the engineer or the person responsible in your shop decides "
    "what may run."
)
LONGEST_IN_DIAMETERS = Fraction(3, 2)  # common practice, no source
_HALF_YIELD, _YIELD, _GIVEN = "half the yield", "the yield", "given"


class FailureMode(StrEnum):
    """What can give way along a key."""

    KEY_SHEAR = "key in shear"
    KEY_BEARING = "key in bearing"
    SHAFT_BEARING = "shaft in bearing"
    HUB_BEARING = "hub in bearing"


class LoadBy(StrEnum):
    """Where the torque comes from."""

    TORQUE = "given"
    POWER = "from power and speed"
    SHAFT = "what the shaft itself carries"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strengths:
    """What the parts bear before the safety factor; None: not known, and then not checked.

    ``key_shear`` and ``key_bearing`` override what follows from ``key_yield``.
    """

    key_yield: Pressure | None = None
    key_shear: Pressure | None = None
    key_bearing: Pressure | None = None
    shaft_yield: Pressure | None = None
    hub_yield: Pressure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The torque to carry: itself, or a power at a speed in revolutions a minute."""

    torque: Torque | None = None
    power: Power | None = None
    rpm: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One part: its strength and where that is from, and whether it bears the load.

    ``breadth`` times the length is the area that bears. ``stress`` in N/mm2 and ``factor`` are at the length given,
    ``needed`` is the length for the load at the safety factor; None: nothing to reckon it from.
    """

    part: FailureMode
    strength: Pressure
    basis: str
    breadth: Length
    stress: float | None
    factor: float | None
    needed: Length | None

    @property
    def bears(self) -> int:
        """Strength times breadth, in Pa nm: the least of all parts is the weakest."""
        return self.strength.pa * self.breadth.nm


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """The advisory.

    ``weakest`` is the part that gives way first along the key; ``needed`` its length for the load, rounded up to 1 nm;
    ``factor`` the safety factor that the length given reaches; ``carries`` the torque in N m for that length and
    safety; ``shaft_carries`` the torque in N m at which a plain shaft yields.
    """

    shaft: Length
    key: Key
    load_by: LoadBy | None
    torque: float | None
    power: Power | None
    rpm: Fraction | None
    force: float | None
    length: Length | None
    safety: Fraction | None
    checks: tuple[Check, ...]
    weakest: Check
    carries: float | None
    shaft_carries: float | None
    assumptions: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def needed(self) -> Length | None:
        """The length that the weakest part needs."""
        return self.weakest.needed

    @property
    def factor(self) -> float | None:
        """The safety factor of the weakest part at the length given."""
        return self.weakest.factor

    @property
    def enough(self) -> bool | None:
        """Whether the length given is what is needed at least; None where one of the two is not known."""
        if self.length is None or self.needed is None:
            return None
        return self.length >= self.needed


def key_strength(
    shaft: Length,
    key: Key,
    strengths: Strengths,
    load: Load,
    *,
    length: Length | None = None,
    safety: Fraction | None = None,
    remarks: tuple[str, ...] = (),
) -> Strength:
    """Whether a key bears a load; without one, what the shaft itself carries, or what the key can carry.

    ``length`` is the key's bearing length, ``safety`` the factor by which every strength is divided, chosen by the user.

    Raises
    ------
    InputError : a key that does not go into the shaft, no strength, a load given twice or in part, a safety factor
        under one, or too little to reckon anything from.
    """
    _refuse(shaft, key, load, length, safety)
    shaft_yields = shaft_torque(shaft, strengths.shaft_yield) if strengths.shaft_yield else None
    torque, load_by = _torque(load, shaft_yields, safety)
    if torque is None and not (length and safety):
        raise InputError(
            "load", "give the torque, or the power and the speed; or the shaft's yield and a safety factor"
        )
    force = torque * 2000 / shaft.in_mm if torque else None
    checks = _checks(key, strengths, force, length, safety)
    weakest = min(checks, key=lambda check: check.bears)
    return Strength(
        shaft=shaft,
        key=key,
        load_by=load_by,
        torque=torque,
        power=load.power,
        rpm=load.rpm,
        force=force,
        length=length,
        safety=safety,
        checks=checks,
        weakest=weakest,
        carries=_carries(shaft, weakest, length, safety),
        shaft_carries=shaft_yields,
        assumptions=_assumptions(checks, shaft_yields),
        remarks=(*remarks, *_remarks(shaft, checks, weakest, torque, shaft_yields, safety)),
    )


def shaft_torque(shaft: Length, shaft_yield: Pressure) -> float:
    """The torque in N m at which a plain solid shaft yields: pi D^3 / 16 x half the yield (maximum shear)."""
    return pi * shaft.in_mm**3 / 16 * shaft_yield.mpa / 2 / 1000


def torque_of(power: Power, rpm: Fraction) -> float:
    """The torque in N m of a power at revolutions a minute: 60 P / (2 pi n)."""
    return power.watts * 60 / (2 * pi * float(rpm))


def _refuse(shaft: Length, key: Key, load: Load, length: Length | None, safety: Fraction | None) -> None:
    chord_square(shaft, key.width)
    if key.height >= shaft:
        raise InputError(f"key {key.name}", f"too high for a shaft of {size_name(shaft)}")
    if load.torque and (load.power or load.rpm):
        raise InputError("load", "give the torque, or the power and the speed, not both")
    if bool(load.power) != bool(load.rpm):
        raise InputError("load", "power and speed go together; give both, for example --power and --rpm")
    if safety is not None and safety < 1:
        raise InputError("safety", "it must be 1 or more")
    if length is None and safety is None:
        raise InputError("strength", "give the key's length, or the safety factor that you choose, or both")


def _torque(
    load: Load, shaft_yields: float | None, safety: Fraction | None
) -> tuple[float | None, LoadBy | None]:
    if load.torque:
        return load.torque.newton_metres, LoadBy.TORQUE
    if load.power and load.rpm:
        return torque_of(load.power, load.rpm), LoadBy.POWER
    if shaft_yields and safety:
        return shaft_yields / float(safety), LoadBy.SHAFT
    return None, None


def _parts(key: Key, known: Strengths) -> list[tuple[FailureMode, Pressure, str, Length]]:
    half_height = Length(round(Fraction(key.height.nm, 2)))
    if not half_height:
        raise InputError(f"key {key.name}", "too small; half its height must be 1 nm or more")
    half_yield = (
        Pressure(round(Fraction(KEY_SHEAR_SHARE.value) * known.key_yield.pa)) if known.key_yield else None
    )
    if half_yield and not half_yield.pa:
        raise InputError("key yield", "too small; half of it must be 1 Pa or more")
    shear = known.key_shear or half_yield
    bearing = known.key_bearing or known.key_yield
    parts = [
        (FailureMode.KEY_SHEAR, shear, _GIVEN if known.key_shear else _HALF_YIELD, key.width),
        (FailureMode.KEY_BEARING, bearing, _GIVEN if known.key_bearing else _YIELD, half_height),
        (FailureMode.SHAFT_BEARING, known.shaft_yield, _YIELD, half_height),
        (FailureMode.HUB_BEARING, known.hub_yield, _YIELD, half_height),
    ]
    return [(part, strength, basis, breadth) for part, strength, basis, breadth in parts if strength]


def _checks(
    key: Key, strengths: Strengths, force: float | None, length: Length | None, safety: Fraction | None
) -> tuple[Check, ...]:
    checks = tuple(
        _check(part, strength, basis, breadth, force, length, safety)
        for part, strength, basis, breadth in _parts(key, strengths)
    )
    if not checks:
        raise InputError(
            "strength", "give the key's yield, or its shear or bearing strength, or the yield of shaft or hub"
        )
    return checks


def _check(
    part: FailureMode,
    strength: Pressure,
    basis: str,
    breadth: Length,
    force: float | None,
    length: Length | None,
    safety: Fraction | None,
) -> Check:
    stress = force / (breadth.in_mm * length.in_mm) if force and length else None
    needed = (
        Length(ceil(force * float(safety) / (breadth.in_mm * strength.mpa) * NM_PER_MM))
        if force and safety
        else None
    )
    return Check(
        part=part,
        strength=strength,
        basis=basis,
        breadth=breadth,
        stress=stress,
        factor=strength.mpa / stress if stress else None,
        needed=needed,
    )


def _carries(shaft: Length, weakest: Check, length: Length | None, safety: Fraction | None) -> float | None:
    if length is None or safety is None:
        return None
    force = weakest.strength.mpa / float(safety) * weakest.breadth.in_mm * length.in_mm
    return force * shaft.in_mm / 2000


def _assumptions(checks: tuple[Check, ...], shaft_yields: float | None) -> tuple[str, ...]:
    said = [
        "the force is 2 x torque / shaft diameter, at the shaft's surface",
        "the torque is steady and spread evenly over the key's length; shock, reversals and fatigue are not counted",
        "shear acts on width x length, bearing on half the key's height x length in shaft and in hub; chamfers "
        "and round ends are left out: the length is the straight one",
        "a press fit or a set screw carries nothing",
    ]
    if any(check.basis == _HALF_YIELD for check in checks) or shaft_yields:
        said.append(
            "the yield in shear is half the yield (maximum-shear theory); Shigley uses 0.577 of it (distortion energy), "
            "and half is the stricter choice of this program"
        )
    if shaft_yields:
        said.append("the shaft is solid, and what its keyseat takes from its strength is not counted")
    return tuple(said)


def _remarks(
    shaft: Length,
    checks: tuple[Check, ...],
    weakest: Check,
    torque: float | None,
    shaft_yields: float | None,
    safety: Fraction | None,
) -> tuple[str, ...]:
    said = []
    parts = {check.part for check in checks}
    if missing := [part for part in FailureMode if part not in parts]:
        said.append(f"not checked, for no strength was given: {', '.join(missing)}")
    if weakest.needed and weakest.needed.nm > shaft.nm * LONGEST_IN_DIAMETERS:
        said.append(
            "the length needed is over 1.5 shaft diameters; a key that long bears unevenly (common practice, no source)"
        )
    if torque and shaft_yields and torque * float(safety or 1) > shaft_yields * (1 + 1e-12):
        at = f" at safety {float(safety):g}" if safety else ""
        said.append(f"the shaft itself does not carry this torque{at}")
    return tuple(said)
