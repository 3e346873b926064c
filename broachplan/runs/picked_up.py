"""What is picked up at the press in either order of cutting the loads, counted by things taken in hand.

A hub is put on and taken off, a bushing put in and taken out, the broach is taken up for every push, and a shim is
handled each time it goes in or comes out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from broachplan.runs.run import Order
from broachplan.runs.steps import Stack


@dataclass(frozen=True, slots=True)
class PickedUp:
    """Things picked up: each load whole, and all loads through one pass after another."""

    loads: int
    passes: int

    @property
    def proposed(self) -> Order:
        """The order with fewer; each load whole where they are equal."""
        return Order.LOADS if self.loads <= self.passes else Order.PASSES


def shims_moved(stacks: Sequence[Stack]) -> int:
    """Shims that go in or come out over the passes, from an empty slot to an empty slot."""
    return sum(len(set(one) ^ set(other)) for one, other in pairwise(((), *stacks, ())))


def picked_up(hubs: int, loads: int, stacks: Sequence[Stack]) -> PickedUp:
    """Things picked up for a number of hubs in a number of loads, all cut with the same passes."""
    passes, moved = len(stacks), shims_moved(stacks)
    return PickedUp(
        loads=2 * hubs + 2 * loads + loads * passes + loads * moved,
        passes=passes * (2 * hubs + 2 * loads) + loads * passes + moved,
    )
