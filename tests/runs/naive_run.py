"""What was done at the press, kept in plain lists; what follows is counted again each time it is asked for."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from broachplan.runs.run import Order
from tests.runs.scenes import RICH

THICK = {shim.tag: shim.thickness.nm for shim in RICH.shims if shim.thickness}
BARE, LOWER, UPPER, FIRST_METAL = 25_200_000, 28_050_000, 28_150_000, 24_500_000
# Height over the last tooth less that over the first, and one rise.
ADVANCE = 1_250_000


@dataclass
class Push:
    """A pass as the model keeps it."""

    stack: tuple[str, ...]
    hubs: tuple[int, ...]
    due: set[int]
    was_last: bool
    read: dict[int, tuple[int, int]] = field(default_factory=dict)
    skipped: set[int] = field(default_factory=set)


class NaiveRun:
    """A run as a clerk would keep it on paper."""

    def begin(
        self, quantity: int, size: int, each: int, order: Order, plan: tuple[tuple[str, ...], ...]
    ) -> None:
        self.quantity, self.size, self.each, self.order = quantity, size, each, order
        loads = range(1, quantity // size + 1)
        self.todo = {load: list(plan) for load in loads}
        self.pushes: dict[int, list[Push]] = {load: [] for load in loads}
        self.first: set[int] = set()
        self.after_park: set[int] = set()
        self.fates: dict[int, str] = {}
        self.flags: set[str] = set()
        self.closed = ""
        self.fresh = False
        self.wear = 0
        self.dropped: set[str] = set()
        self.disputed: set[int] = set()
        self.blocked: dict[int, bool] = {}

    def hubs(self, load: int) -> list[int]:
        every = range((load - 1) * self.size + 1, load * self.size + 1)
        return [hub for hub in every if hub not in self.fates]

    def reading(self, hub: int) -> int | None:
        pushes = self.pushes[(hub - 1) // self.size + 1]
        return pushes[-1].read[hub][0] if pushes and hub in pushes[-1].read else None

    def unfinished(self, load: int) -> bool:
        short = any(self.says(hub) == "short" for hub in self.hubs(load))
        at_the_end = self.pushes[load] and not self.todo[load] and not self.blocked.get(load)
        return bool(self.hubs(load)) and not (at_the_end and not short)

    def through(self, load: int) -> bool:
        pushes = self.pushes[load]
        return bool(pushes) and not self.todo[load] and (pushes[-1].was_last or not self.blocked.get(load))

    def stuck_for_shims(self) -> bool:
        load = self.current()
        if load is None or self.pending()[0]:
            return False
        wanted = {tag for stack in self.todo[load] for tag in stack}
        return not self.todo[load] or bool(wanted & self.dropped)

    def current(self) -> int | None:
        loads = [load for load in self.todo if self.unfinished(load)]
        if self.order is Order.PASSES:
            loads.sort(key=lambda load: len(self.pushes[load]))
        return loads[0] if loads else None

    def says(self, hub: int) -> str:
        t = self.reading(hub)
        if t is not None and hub in self.disputed:
            return "disputed"
        return "none" if t is None else "past" if t > UPPER else "short" if t < LOWER else "within"

    def pending(self) -> tuple[int, list[int]]:
        for load, pushes in self.pushes.items():
            if not pushes:
                continue
            last = pushes[-1]
            wanted = set(last.due)
            if any(t > UPPER and hub not in self.disputed for hub, (t, _) in last.read.items()):
                wanted |= set(range(1, self.quantity + 1))
            if self.through(load) and not last.was_last and last.read:
                wanted |= {hub for hub in self.hubs(load) if self.asked(hub)}
            left = [hub for hub in self.hubs(load) if hub in wanted - last.skipped - set(last.read)]
            if left:
                return load, left
        return 0, []

    def asked(self, hub: int) -> bool:
        return hub in (1, self.quantity) or hub % self.each == 0

    def to_read(self) -> set[int]:
        found = set()
        for hub in range(1, self.quantity + 1):
            pushes = self.pushes[(hub - 1) // self.size + 1]
            if self.reading(hub) is None:
                continue
            if self.says(hub) == "past" or (self.says(hub) == "short" and pushes[-1].was_last):
                at = pushes[-1].read[hub][1]
                for other in range(hub - 1, 0, -1):
                    load = (other - 1) // self.size + 1
                    if self.says(other) == "within" and self.pushes[load][-1].read[other][1] < at:
                        break
                    if self.through(load) and self.reading(other) is None and other not in self.fates:
                        found.add(other)
        return found

    def waits(self) -> str:
        if self.closed:
            return "nothing"
        if self.flags or self.undecided():
            return "decision"
        if self.pending()[0]:
            return "reading"
        load = self.current()
        if load is not None:
            return "decision" if self.stuck_for_shims() else "push"
        return "reading" if self.to_read() else "end"

    def undecided(self) -> bool:
        return any(self.says(hub) in ("past", "disputed") for load in self.todo for hub in self.hubs(load))

    def plain(self, stack: tuple[str, ...]) -> int:
        return BARE + sum(THICK[tag] for tag in stack)

    def offset(self) -> int:
        found = []
        for load, pushes in self.pushes.items():
            if self.through(load):
                found += [
                    (at, t - self.plain(pushes[-1].stack))
                    for hub, (t, at) in pushes[-1].read.items()
                    if hub not in self.disputed
                ]
        last = [e for _, e in sorted(found)[-5:]]
        return round(Fraction(sum(last), len(last))) if last else 0

    def book_push(self, load: int, stack: tuple[str, ...], planned: tuple[str, ...]) -> None:
        """Work out what is to be gauged and write the push down."""
        self.wear += len(self.hubs(load))
        if not self.pushes[load]:
            if not [one for one in self.first if self.pushes[one] and not self.gave_up(one)]:
                self.first.add(load)
            else:
                self.first.discard(load)
        if self.fresh:
            self.after_park.add(load)
        self.fresh = False
        left, hubs, due = len(self.todo[load]), self.hubs(load), set()
        if left == 0:
            due = {hub for hub in hubs if self.asked(hub)}
            short_before = any(push.was_last and push.read for push in self.pushes[load])
            if load in self.first or load in self.after_park or short_before:
                due.add(hubs[0])
        elif left == 1 and load in self.first:
            due = {hubs[0]}
        if set(stack) != set(planned) and not due:
            due = {hubs[0]}
        self.pushes[load].append(Push(stack, tuple(hubs), due, left == 0))

    def every(self, load: int) -> range:
        return range((load - 1) * self.size + 1, load * self.size + 1)

    def is_refused(self, hub: int, t: int, earlier: list[Push]) -> bool:
        """A push takes metal away, and the gauge is off by 0.01 mm at most, each time."""
        before = [push.read[hub][0] for push in earlier if hub in push.read]
        return bool(before) and t < before[-1] - 20_000

    def second_push_due(self) -> bool:
        """Whether the stack that is due was in at the pass before, too."""
        load = self.current()
        if not load or not self.pushes[load] or not self.todo[load]:
            return False
        return set(self.todo[load][0]) == set(self.pushes[load][-1].stack)

    def gave_up(self, load: int) -> bool:
        decided = not self.hubs(load)
        last = self.pushes[load][-1] if self.pushes[load] else None
        return decided and not (last and last.was_last and last.read)

    def due_anew(self, load: int, push: Push, planned: tuple[str, ...]) -> set[int]:
        if self.plain(push.stack) <= 25_000_000:
            return set()
        left, hubs, due = len(self.todo[load]), self.hubs(load), set()
        if left == 0:
            due = {hub for hub in hubs if self.asked(hub)}
            short_before = any(one.was_last and one.read for one in self.pushes[load])
            if load in self.first or load in self.after_park or short_before:
                due.add(hubs[0])
        elif left == 1 and load in self.first:
            due = {hubs[0]}
        return due or ({hubs[0]} if set(push.stack) != set(planned) else set())
