"""The offset: how much deeper the gauge reads than the plain reading, on this hub and carried on to the next ones.

It is always taken against the plain reading, never against a figure that holds an offset already, so that a later
reading replaces an earlier one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from broachplan.lengths import Length
from broachplan.runs.state import LoadState, Pushed, Reading, RunState

HUBS_AVERAGED = 5


@dataclass(frozen=True, slots=True)
class Offset:
    """The offset at the deeper and at the shallower end; both the same where one reading was taken."""

    deep: Length = Length(0)
    shallow: Length = Length(0)

    @property
    def mean(self) -> Length:
        """Their mean, half-even."""
        return Length(round(Fraction(self.deep.nm + self.shallow.nm, 2)))


@dataclass(frozen=True, slots=True)
class Metal:
    """What was read on a load: after which pass, and the deepest and the shallowest reading of its hubs in work."""

    push: Pushed
    deep: Length
    shallow: Length
    two: bool


def metal_of(state: RunState, load: LoadState) -> Metal | None:
    """The latest pass of a load after which a hub in work was read; the hubs stacked in it are read as one long hub."""
    hubs = state.in_work(load)
    for push in reversed(load.passes):
        found = [one for one in push.readings if one.hub in hubs and one.whole]
        if found:
            deep, shallow = max(one.deepest for one in found), min(one.shallowest for one in found)
            return Metal(push, deep, shallow, sum(len(one.ends) for one in found) > 1)
    return None


def offset_of(state: RunState, load: LoadState) -> Offset:
    """The offset of the passes to come on a load: of its own reading, else what the hubs before it taught.

    With another broach or bushing than was read with it is none.
    """
    pair = (load.to_do.broach, load.to_do.bushing)
    metal = metal_of(state, load)
    if metal is None:
        if load.passes and any((push.broach, push.bushing) != pair for push in load.passes):
            return Offset()
        learnt = learnt_offset(state, *pair)
        return Offset(learnt, learnt)
    if (metal.push.broach, metal.push.bushing) != pair:
        return Offset()
    plain = state.plain_of(metal.push)
    return Offset(metal.deep - plain, metal.shallow - plain)


def learnt_offset(state: RunState, broach: str, bushing: str) -> Length:
    """The offset for the next hub: the mean, half-even, of those at the last pass of the last five hubs read.

    Only hubs that were read with these two pieces count; none read: no offset.
    """
    found = [offset for _, offset in sorted(last_offsets(state, broach, bushing))][-HUBS_AVERAGED:]
    return Length(round(sum(found, Fraction(0)) / len(found))) if found else Length(0)


def last_offsets(state: RunState, broach: str, bushing: str) -> Iterator[tuple[int, Fraction]]:
    """Each hub read after its last pass with these two pieces: the step that read it, and its offset in nm."""
    for load in state.begun.values():
        push = load.last_push
        if push is None or not load.through or (push.broach, push.bushing) != (broach, bushing):
            continue
        plain = state.plain_of(push)
        for reading in push.readings:
            if reading.whole and not reading.disputed:
                yield reading.step, _of(reading, plain)


def _of(reading: Reading, plain: Length) -> Fraction:
    return Fraction(sum(gauged.t.nm - plain.nm for gauged in reading.ends), len(reading.ends))
