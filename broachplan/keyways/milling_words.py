"""The milling card from what people write: every figure as text, read once, refused in one sentence."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.errors import InputError, quoted
from broachplan.keyways.key import (
    KeySize,
    one_of,
    read_fit,
    read_key,
    read_number,
    read_shape,
    read_standard,
    standard_of,
)
from broachplan.keyways.keyway import Standard
from broachplan.keyways.milling import milling_card
from broachplan.keyways.milling_card import Asked, Card, Deviations, Measured, Over
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length, Limits, System, parse_length, read_limits
from broachplan.quantities import parse_speed

_WIDE = {System.INCH: "100 in", System.METRIC: "1000 mm"}
_LONGEST_DEVIATIONS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The questions of a milling card as they were typed; empty: not asked. See `Asked` for their meaning."""

    shaft: str
    standard: str = ""
    key: str = ""
    number: str = ""
    shape: str = ""
    fit: str = ""
    finder: str = ""
    cutter: str = ""
    length: str = ""
    from_end: str = ""
    step: str = ""
    depth_limits: str = ""
    speed: str = ""
    key_height: str = ""
    measured: str = ""
    measured_over: str = ""


def read_card(written: Written) -> Card:
    """Read the questions and answer them.

    Raises
    ------
    InputError : a figure that cannot be read or cannot be; see `milling_card` and `joint`.
    """
    shaft, system, _ = read_limits(written.shaft, "shaft")
    standard, key = _key(written, system)
    seat = joint(
        shaft.nominal,
        standard=standard,
        key=key,
        shape=read_shape(written.shape) if written.shape else None,
        fit=read_fit(written.fit) if written.fit else None,
    )
    return milling_card(seat, shaft, _asked(written, system))


def read_deviations(text: str, system: System) -> Deviations:
    """Read the user's own limits of the reading: ``+0.000 -0.010 in``; without a unit, inches or mm by ``system``.

    Raises
    ------
    InputError : not two deviations in one unit.
    """
    for size in (_WIDE[system], *_WIDE.values(), "100000 thou"):
        if len(text) <= _LONGEST_DEVIATIONS and (limits := _limits_round(size, text)):
            return Deviations(limits.lower - limits.nominal, limits.upper - limits.nominal)
    raise InputError(
        f"depth limits: read {quoted(text)}; write both deviations of the floor's reading, "
        "for example +0.000 -0.010 in: minus is deeper"
    )


def _key(written: Written, system: System) -> tuple[Standard, KeySize | None]:
    """The standard and key that are named; a number speaks of the inch Woodruff standard."""
    named = read_standard(written.standard) if written.standard else None
    if not written.number:
        standard = named or standard_of(system)
        return standard, read_key(written.key, standard) if written.key else None
    if written.key:
        raise InputError(
            f"key: read {quoted(written.key)} and the number {quoted(written.number)}; give one of them"
        )
    if named not in (None, Standard.WOODRUFF):
        raise InputError(
            f"key number: read {quoted(written.number)}; only inch Woodruff keys have numbers, not {named} ones"
        )
    return Standard.WOODRUFF, read_number(written.number)


def _limits_round(size: str, deviations: str) -> Limits | None:
    try:
        limits, _, toleranced = read_limits(f"{size} {deviations}")
    except InputError:
        return None
    return limits if toleranced else None


def _asked(written: Written, system: System) -> Asked:
    def length(text: str, what: str) -> Length | None:
        return parse_length(text, what) if text else None

    return Asked(
        finder=length(written.finder, "finder"),
        cutter=length(written.cutter, "cutter"),
        length=length(written.length, "length"),
        from_end=length(written.from_end, "from"),
        step=length(written.step, "step"),
        own_limits=read_deviations(written.depth_limits, system) if written.depth_limits else None,
        speed=parse_speed(written.speed, "speed") if written.speed else None,
        key_height=length(written.key_height, "key height"),
        measured=_measured(written.measured, written.measured_over),
    )


def _measured(size: str, over: str) -> Measured | None:
    if not size and not over:
        return None
    wanted = over.strip().lower()
    if wanted not in tuple(Over):
        said = f"read {quoted(over)}" if over else "nothing was given"
        raise InputError(f"measured over: {said}; write {one_of(tuple(Over))}")
    return Measured(Over(wanted), parse_length(size, "measured"))
