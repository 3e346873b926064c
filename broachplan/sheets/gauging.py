"""How to gauge T with what is at hand: what each way should read after a pass, in a few lines."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.cut.gauge_ways import T_ITSELF, GaugedBore, GaugeWay, Way, gauge_way
from broachplan.lengths import Length, System, Units, show
from broachplan.planner.answer import Plan
from broachplan.tooling.hub import Hub

HEADING = "How to gauge"
# A flat anvil of a usual inside gauge, to show what it does: common practice, no source.
_ANVIL = {System.INCH: Length.inches("1/8"), System.METRIC: Length.mm("3")}


def gauge_points(plan: Plan, hub: Hub, units: Units, way: GaugeWay = T_ITSELF) -> list[str]:
    """What to gauge, when, and what the gauge should read; ``way`` is the one that was asked for."""
    gauged = [one for one in plan.passes if can_be_gauged(one.reading, hub)]
    last = plan.passes[-1].reading if plan.passes else plan.reading
    width = plan.broach.keyway_width
    bore = GaugedBore(hub.bore.nominal, hub.bore_measured if width else None, width or Length(0))
    points = [
        "T runs from the keyway floor to the opposite wall of the bore, in the middle of the keyway: at both ends of the "
        "hub, chips and burrs off."
    ]
    if len(gauged) < len(plan.passes):
        points.append(_too_early(len(plan.passes) - len(gauged)))
    if by_way := by_the_way(plan, hub, units, way):
        points.append(by_way)
    return [*points, *_ways(last, bore, hub, units)]


def by_the_way(plan: Plan, hub: Hub, units: Units, way: GaugeWay) -> str:
    """What the gauge reads pass by pass, by a way that does not read T itself; else empty."""
    gauged = [one for one in plan.passes if can_be_gauged(one.reading, hub)]
    if not way.less or not gauged:
        return ""
    shown = ", ".join(f"pass {one.number} {show(way.reads(one.reading), units)}" for one in gauged)
    return f"By the way {way.way} the gauge reads {_taken_off(way, units)}: {shown}."


def can_be_gauged(reading: Length, hub: Hub) -> bool:
    """Whether the keyway floor is past the bore: as measured, else the widest it may be."""
    return reading > hub.widest_bore


def _too_early(passes: int) -> str:
    which = "pass 1" if passes == 1 else f"passes 1 to {passes}"
    return f"Not yet after {which}: the floor is not past the bore, there is nothing to gauge; run the next pass."


def _taken_off(way: GaugeWay, units: Units) -> str:
    more_or_less = "less" if way.less > Length(0) else "more"
    return f"{show(abs(way.less), units)} {more_or_less} than T"


def _ways(last: Length, bore: GaugedBore, hub: Hub, units: Units) -> Iterator[str]:
    """Each way in one line, with what it reads after the last pass where that is known."""
    anvil = _ANVIL[hub.system]
    short = gauge_way(Way.INSIDE, bore, anvil=anvil).less if anvil < hub.bore.lower else None
    flat = (
        f" A flat anvil reads short in a round bore, {show(anvil, units)} wide by {show(short, units)}: type its width."
        if short
        else ""
    )
    yield f"Inside, with a ball or a knife edge: {show(last, units)} after the last pass.{flat}"
    yield "Over a block or key laid in the keyway: less by the height of the block."
    if bore.measured is None:
        yield "Depth at the side wall: only with the bore measured and typed; its whole tolerance would go into it."
    else:
        depth = gauge_way(Way.WALL, bore).reads(last)
        yield f"Depth at the side wall: {show(depth, units)}, with the bore as it was measured."
    yield "Floor to floor, where a keyway lies opposite: T of both less the bore as measured."
