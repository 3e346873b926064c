"""Milling the keyseat in a shaft: where the cutter is set, how deep it goes, and what the micrometer reads.

Plain geometry of the circle; the limits are the standard's or the user's own. How the edge is found and the cutter
touched off is common practice, no source.
"""

from __future__ import annotations

from math import pi

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.key import size_name
from broachplan.keyways.milling_card import (
    After,
    Card,
    CardRequest,
    CutterPath,
    Deviations,
    EdgeFinding,
    Ends,
    MillingPass,
    Over,
    Spindle,
    State,
    half,
)
from broachplan.keyways.milling_woodruff import cutter_remarks, woodruff_setup
from broachplan.lengths import Length, Limits, write_exact
from broachplan.quantities import Speed

MOST_PASSES = 100
LARGEST_FINDER = Length.inches(2)  # common practice, no source
RUB = Length.inches("0.001")  # a lighter cut rubs: common practice, no source
_BY_OWN_LIMITS = "limits of the reading given by the user"


def milling_card(joint: Joint, shaft: Limits, asked: CardRequest) -> Card:
    """The card for the shaft's side of ``joint``; ``shaft`` is its diameter, ``joint`` that of the nominal one.

    Raises
    ------
    InputError : a figure that cannot be: a finder, cutter, step, length or key that does not go with the seat,
        limits that leave no seat, a reading outside the possible, or one figure that needs another.
    """
    floor = _floor(joint, asked.own_limits)
    key_height = _key_height(joint, asked.key_height)
    depth, shaft_remark = _depth(joint, shaft, floor)
    after = _after(joint, shaft, floor, asked, key_height)
    passes, aim = _passes(depth, half(floor.lower + floor.upper), asked.step, after)
    stock = joint.clearances[0].stock if joint.clearances and asked.key_height is None else None
    woodruff = woodruff_setup(joint, joint.cutter, shaft, asked) if joint.cutter else None
    return Card(
        joint=joint,
        shaft=shaft,
        floor=floor,
        depth=depth,
        aim=aim,
        own_limits=asked.own_limits is not None,
        key_height=key_height,
        over_key=Limits(floor.nominal + key_height, floor.lower + key_height, floor.upper + key_height),
        over_key_stock=_over_stock(floor, key_height, stock.height) if stock else None,
        stock=stock.name if stock else None,
        cutter=woodruff.diameter if woodruff else asked.cutter,
        side_move=_side_move(joint, asked.cutter) if asked.cutter and not woodruff else None,
        from_end=asked.from_end,
        finding=_finding(shaft, asked.finder) if asked.finder and not woodruff else None,
        passes=passes,
        runs=() if woodruff else _runs(asked),
        woodruff=woodruff,
        spindle=_spindle(asked.speed, woodruff.diameter if woodruff else asked.cutter),
        after=after,
        source=f"{joint.source}; {_BY_OWN_LIMITS}" if asked.own_limits else joint.source,
        status=joint.status,
        remarks=(
            *joint.remarks,
            *shaft_remark,
            *(cutter_remarks(woodruff) if woodruff else ()),
            *_reading_remark(asked),
            *_pass_remark(passes),
        ),
    )


def spindle_rpm(speed: Speed, cutter: Length) -> float:
    """Revolutions a minute for a cutting speed at the rim of a cutter: speed / (pi x diameter)."""
    return speed.um_per_min / (pi * cutter.nm / 1000)


def _floor(joint: Joint, own: Deviations | None) -> Limits:
    reading = joint.shaft.reading
    if own is None:
        return reading
    floor = Limits(reading.nominal, reading.nominal + own.lower, reading.nominal + own.upper)
    highest, lowest = joint.diameter - joint.arc, joint.diameter - joint.arc - joint.key.height
    if not lowest < floor.lower <= floor.upper < highest:
        raise InputError(
            "depth limits",
            f"the floor's reading would be {write_exact(floor.lower)} to {write_exact(floor.upper)}; it must be more than {write_exact(lowest)} and less than {write_exact(highest)}, so that the seat holds a key",
        )
    return floor


def _depth(joint: Joint, shaft: Limits, floor: Limits) -> tuple[Limits, tuple[str, ...]]:
    """Depths below the top of the arc for the floor's limits, and what to say where the shaft's own are too wide."""
    nominal = joint.shaft.depth
    lower, upper = shaft.upper - floor.upper, shaft.lower - floor.lower
    if not joint.arc < lower < joint.arc + joint.key.height:
        raise InputError(
            "shaft",
            f"its limits, {write_exact(shaft.lower)} to {write_exact(shaft.upper)}, are too far from {size_name(shaft.nominal)}, which the keyseat is reckoned for; type the size as measured",
        )
    if lower <= upper:
        return Limits(nominal, lower, upper), ()
    remark = (
        f"the shaft's limits, {write_exact(shaft.lower)} to {write_exact(shaft.upper)}, are wider than the reading's: "
        "the depths are for the nominal shaft; measure the shaft and type its size"
    )
    return Limits(nominal, shaft.nominal - floor.upper, shaft.nominal - floor.lower), (remark,)


def _key_height(joint: Joint, measured: Length | None) -> Length:
    nominal = joint.key_on_size
    if measured is not None and abs(measured - nominal) * 4 > nominal:
        raise InputError(
            "key height",
            f"it must be near the key's {size_name(nominal)}, a quarter up or down at most",
            shown=write_exact(measured),
        )
    return measured or nominal


def _over_stock(floor: Limits, key_height: Length, stock: Limits) -> Limits:
    return Limits(floor.nominal + key_height, floor.lower + stock.lower, floor.upper + stock.upper)


def _finding(shaft: Limits, finder: Length) -> EdgeFinding:
    if finder > LARGEST_FINDER:
        raise InputError(
            "finder",
            f"it is the diameter of an edge finder, {size_name(LARGEST_FINDER)} at most",
            shown=write_exact(finder),
        )
    return EdgeFinding(finder, half(finder), half(shaft.nominal))


def _side_move(joint: Joint, cutter: Length) -> Limits | None:
    width = joint.shaft.width
    if cutter > width.upper:
        raise InputError(
            "cutter",
            f"it must not be wider than the keyseat, {write_exact(width.lower)} to {write_exact(width.upper)}",
            shown=write_exact(cutter),
        )
    if cutter >= width.lower:
        return None
    lower, upper = half(width.lower - cutter), half(width.upper - cutter)
    return Limits(half(lower + upper), lower, upper)


def _passes(
    depth: Limits, floor: Length, step: Length | None, after: After | None
) -> tuple[tuple[MillingPass, ...], Length]:
    """The cuts, none deeper than ``step``, and the depth of the last: the aim, where the floor reads ``floor``, or close to it."""
    aim = half(depth.lower + depth.upper)
    if step is None:
        return (), aim
    left = after.to_aim if after else aim
    if after and after.state is not State.SHORT:
        return (), aim
    count = -(-left.nm // step.nm)
    if count > MOST_PASSES:
        raise InputError(
            "step", f"that would be {count} passes, and {MOST_PASSES} are enough", shown=write_exact(step)
        )
    cuts = [step] * (count - 1)
    last = left - step * (count - 1)
    needed = after.least if after else depth.lower
    if last >= RUB or left - last < needed:
        cuts.append(last)
    at, passes = aim - left, []
    for number, cut in enumerate(cuts, start=1):
        at += cut
        passes.append(MillingPass(number, cut, at, floor + aim - at))
    return tuple(passes), at


def _runs(asked: CardRequest) -> tuple[CutterPath, ...]:
    if asked.length is None:
        if asked.from_end is not None:
            raise InputError("from", "it goes with the length of the key; give --length too")
        return ()
    if asked.cutter is None:
        raise InputError(
            "length", "the position of the cutter's centre depends on its radius; give the cutter too"
        )
    radius, length = half(asked.cutter), asked.length
    shortest = asked.cutter if asked.from_end else radius
    if length < shortest:
        raise InputError(
            "length",
            f"with a cutter of {write_exact(asked.cutter)} the seat is at least {write_exact(shortest)} long",
            shown=write_exact(length),
        )
    if asked.from_end is None:
        outside = -radius
        return (
            CutterPath(Ends.ROUND, length, length - radius, outside, length - radius),
            CutterPath(Ends.SQUARE, length + radius, length, outside, length),
        )
    near, far = asked.from_end, asked.from_end + length
    return (
        CutterPath(Ends.ROUND, length, length - radius * 2, near + radius, far - radius),
        CutterPath(Ends.SQUARE, length + radius * 2, length, near, far),
    )


def _spindle(speed: Speed | None, cutter: Length | None) -> Spindle | None:
    if speed is None:
        return None
    if cutter is None:
        raise InputError("speed", "the spindle's speed depends on the cutter's diameter; give the cutter too")
    return Spindle(speed, cutter, spindle_rpm(speed, cutter))


def _after(
    joint: Joint, shaft: Limits, floor: Limits, asked: CardRequest, key_height: Length
) -> After | None:
    measured = asked.measured
    if measured is None:
        return None
    over_key = measured.over is Over.KEY
    at_floor = measured.size - key_height if over_key else measured.size
    highest = shaft.upper
    lowest = joint.diameter - joint.arc - joint.key.height
    if not lowest < at_floor <= highest:
        added = key_height if over_key else Length(0)
        raise InputError(
            "measured",
            f"it must be more than {write_exact(lowest + added)} and not over {write_exact(highest + added)}",
            shown=f"{write_exact(measured.size)} over the {measured.over}",
        )
    key_on_size = over_key and asked.key_height is None
    state = _state(at_floor, floor, key_on_size=key_on_size)
    middle = half(floor.lower + floor.upper)
    return After(
        measured,
        at_floor,
        state,
        at_floor - middle,
        at_floor - floor.upper,
        at_floor - floor.lower,
        key_on_size,
    )


def _state(at_floor: Length, floor: Limits, *, key_on_size: bool) -> State:
    """The floor against its limits; too deep only where that is certain, since a key taken on size may be a low one."""
    if at_floor in floor:
        return State.WITHIN
    if at_floor > floor.upper:
        return State.SHORT
    return State.UNSURE if key_on_size else State.PAST


def _reading_remark(asked: CardRequest) -> tuple[str, ...]:
    if asked.measured and asked.measured.over is Over.KEY and asked.key_height is None:
        return ("the reading over the key is taken with a key on size; measure the key and give its height",)
    return ()


def _pass_remark(passes: tuple[MillingPass, ...]) -> tuple[str, ...]:
    if passes and passes[-1].cut < RUB:
        return (f"the last pass takes {write_exact(passes[-1].cut)} and may rub: take another step",)
    return ()
