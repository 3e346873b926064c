"""Acts in any order on a run, beside a naive model that keeps what was done in plain lists and counts it again each time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Length
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.correcting import again, corrected_reading, corrected_shims
from broachplan.runs.acts.deciding import accepted, aside, scrapped
from broachplan.runs.acts.pushing import not_pushed, pushed
from broachplan.runs.acts.reading import not_read, read
from broachplan.runs.acts.stopping import abandoned, ended, parked, resumed, stopped
from broachplan.runs.acts.trouble import gone
from broachplan.runs.counts import counts_of
from broachplan.runs.fold import state_of
from broachplan.runs.next import next_of
from broachplan.runs.offsets import learnt_offset
from broachplan.runs.run import Order
from broachplan.runs.state import RunState
from broachplan.runs.steps import RunAct, cuts_of
from tests.runs.scenes import MM, RICH, begun, on_hand

THICK = {shim.tag: shim.thickness.nm for shim in RICH.shims if shim.thickness}
BARE, LOWER, UPPER, FIRST_METAL = 25_200_000, 28_050_000, 28_150_000, 24_500_000
# Height over the last tooth less that over the first, and one rise.
ADVANCE = 1_250_000
HAND = on_hand()
TYPED = st.sampled_from([-60_000, -12_000, 0, 7_000, 21_000, 60_000])


@dataclass
class Push:
    """A pass as the model keeps it."""

    stack: tuple[str, ...]
    hubs: tuple[int, ...]
    due: set[int]
    was_last: bool
    read: dict[int, tuple[int, int]] = field(default_factory=dict)
    skipped: set[int] = field(default_factory=set)


class RunMachine(RuleBasedStateMachine):
    """The run and its model side by side."""

    @initialize(
        hubs=st.integers(1, 4),
        stack=st.sampled_from([1, 1, 2]),
        each=st.sampled_from([1, 2, 9]),
        order=st.sampled_from(Order),
    )
    def start(self, hubs: int, stack: int, each: int, order: Order) -> None:
        setup = RICH.but(hub={"stack": stack, "length": MM(17)})
        self.quantity, self.size, self.each, self.order = hubs * stack, stack, each, order
        self.state = begun(setup, quantity=self.quantity, read_each=each, order=order)
        plan = self.state.new_hubs.stacks
        self.todo = {n: list(plan) for n in range(1, hubs + 1)}
        self.pushes: dict[int, list[Push]] = {n: [] for n in range(1, hubs + 1)}
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

    # -- the model ----------------------------------------------------------------------------------------------

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

    # -- acts ---------------------------------------------------------------------------------------------------

    def take(self, acted: Acted) -> None:
        """The run continues; the model takes over what the planner chose, and an invariant checks it."""
        for step in acted.steps:
            if step.new_hubs is not None:
                for load in self.todo:
                    if not self.pushes[load] and load not in self.begun_before(acted.before):
                        self.todo[load] = list(step.new_hubs.stacks)
                        self.blocked[load] = step.new_hubs.blocked
            if step.to_do is not None and step.load is not None:
                self.todo[step.load] = list(step.to_do.stacks)
                self.blocked[step.load] = step.to_do.blocked
            self.dropped -= {piece.tag for piece in step.pieces}
        self.state = acted.state

    def begun_before(self, state: RunState) -> set[int]:
        return set(state.begun)

    def refuses(self, act: Callable[[], object]) -> None:
        with pytest.raises(CribStateError, match=r"the run waits for .+|it is (done|abandoned)"):
            act()

    @rule()
    def push(self) -> None:
        if self.waits() != "push":
            self.refuses(lambda: pushed(self.state, HAND))
            return
        load = self.current()
        assert load is not None
        planned = self.todo[load].pop(0)
        self.book_push(load, planned, planned)
        self.take(pushed(self.state, HAND))

    @rule()
    @precondition(lambda self: self.waits() == "push")
    def push_all(self) -> None:
        load = self.current()
        assert load is not None
        through = len(self.pushes[load]) + len(self.todo[load])
        while self.todo[load]:
            planned = self.todo[load].pop(0)
            self.book_push(load, planned, planned)
        acted = pushed(self.state, HAND, through=through)
        assert [step.act for step in acted.steps] == [RunAct.PUSHED] * len(acted.steps)
        self.take(acted)

    @rule(offset=TYPED, place=st.integers(0, 3))
    @precondition(lambda self: self.pending()[0] and not self.flags and not self.closed)
    def gauge(self, offset: int, place: int) -> None:
        load, hubs = self.pending()
        hub = hubs[place % len(hubs)]
        t = self.plain(self.pushes[load][-1].stack) + offset
        before = [push.read[hub][0] for push in self.pushes[load][:-1] if hub in push.read]
        if before and t < before[-1] - 20_000:
            # A push takes metal away, and the gauge is off by 0.01 mm at most, each time.
            with pytest.raises(InputError, match="a push takes metal away"):
                read(self.state, HAND, [Length(t)], hub=hub, sure=True)
            return
        acted = read(self.state, HAND, [Length(t)], hub=hub, sure=True)
        (step, *_) = acted.steps
        self.pushes[load][-1].read[hub] = (t, step.step)
        self.disputed.discard(hub)
        assert (step.hub, step.t, step.plain) == (hub, Length(t), Length(t - offset))
        self.take(acted)

    @rule(offset=TYPED)
    @precondition(lambda self: self.waits() == "push")
    def gauge_and_book(self, offset: int) -> None:
        """A reading that comes before its push was booked: of the pass due, or of a later hub's last one."""
        load = self.current()
        assert load is not None
        hub = self.hubs(load)[0]
        others = [one for one in self.first if one != load and self.pushes[one] and not self.gave_up(one)]
        first = load in self.first if self.pushes[load] else not others
        passes = 1 if first or self.order is Order.PASSES else len(self.todo[load])
        t = self.plain(self.todo[load][passes - 1]) + offset
        if self.is_refused(load, hub, t):
            with pytest.raises(InputError, match="a push takes metal away"):
                read(self.state, HAND, [Length(t)], books=True, sure=True)
            return
        acted = read(self.state, HAND, [Length(t)], books=True, sure=True)
        assert [step.act for step in acted.steps][: passes + 1] == [RunAct.PUSHED] * passes + [RunAct.READ]
        for _ in range(passes):
            planned = self.todo[load].pop(0)
            self.book_push(load, planned, planned)
        self.pushes[load][-1].read[hub] = (t, acted.steps[passes].step)
        self.disputed.discard(hub)
        self.take(acted)

    def is_refused(self, load: int, hub: int, t: int) -> bool:
        """A push takes metal away, and the gauge is off by 0.01 mm at most, each time."""
        before = [push.read[hub][0] for push in self.pushes[load] if hub in push.read]
        return bool(before) and t < before[-1] - 20_000

    def gave_up(self, load: int) -> bool:
        decided = not self.hubs(load) and all(self.fates[hub] != "accepted" for hub in self.every(load))
        last = self.pushes[load][-1] if self.pushes[load] else None
        return decided and not (last and last.was_last and last.read)

    @rule()
    def leave_out(self) -> None:
        load, hubs = self.pending()
        if self.closed or not hubs or "parked" in self.flags:
            self.refuses(lambda: not_read(self.state))
            return
        self.pushes[load][-1].skipped |= set(hubs)
        self.take(not_read(self.state))

    @rule()
    @precondition(lambda self: self.waits() == "push")
    def stuck(self) -> None:
        load = self.current()
        assert load is not None
        self.wear += len(self.hubs(load))
        self.flags.add("part way")
        self.take(pushed(self.state, HAND, part_way=True))

    @rule()
    def stop(self) -> None:
        if self.waits() in ("decision", "nothing"):
            self.refuses(lambda: stopped(self.state, why="lunch"))
            return
        self.flags.add("stopped")
        self.take(stopped(self.state, why="lunch"))

    @rule()
    def park(self) -> None:
        if self.closed or self.flags & {"parked", "part way"}:
            self.refuses(lambda: parked(self.state))
            return
        self.flags.add("parked")
        self.take(parked(self.state))

    @rule()
    def resume(self) -> None:
        past = self.undecided()
        if self.closed or not (self.flags or self.stuck_for_shims()):
            self.refuses(lambda: resumed(self.state, HAND))
            return
        self.fresh = self.fresh or "parked" in self.flags
        self.flags.clear()
        acted = resumed(self.state, HAND)
        assert not past or acted.is_no
        self.take(acted)

    @rule(hub=st.integers(1, 4), fate=st.sampled_from(["aside", "scrapped", "accepted"]))
    def decide(self, hub: int, fate: str) -> None:
        hub = min(hub, self.quantity)
        act = {"aside": aside, "scrapped": scrapped, "accepted": accepted}[fate]
        was = self.fates.get(hub)
        load = (hub - 1) // self.size + 1
        bare = fate == "accepted" and not self.pushes[load]
        good = fate == "accepted" and was is None and self.says(hub) == "within" and self.through(load)
        late = (
            self.closed == "abandoned" or (self.closed and was is None) or (self.closed and fate == "aside")
        )
        if (was and (was != "aside" or fate == "aside")) or bare or good or late:
            self.refuses(lambda: act(self.state, HAND, hub, why="seen", by="Kim"))
            return
        self.fates[hub] = fate
        self.take(act(self.state, HAND, hub, why="seen", by="Kim"))

    @rule(place=st.integers(0, 5))
    @precondition(lambda self: not self.closed)
    def lose_a_shim(self, place: int) -> None:
        mine = sorted(set(self.state.pieces) & set(THICK) - self.dropped)
        if not mine or len(self.dropped) > 1:
            return
        tag = mine[place % len(mine)]
        self.dropped.add(tag)
        self.flags.add("gone")
        self.take(gone(self.state, HAND, tag))

    @rule()
    def push_again(self) -> None:
        load = self.current()
        last = self.pushes[load][-1] if load and self.pushes[load] else None
        blocked = self.stuck_for_shims()
        past = self.undecided()
        full = last and any(
            t >= self.plain(last.stack) for hub, (t, _) in last.read.items() if hub in self.hubs(load or 0)
        )
        waits = self.waits()
        if last is None or self.flags or past or not (waits == "push" or blocked) or full or self.closed:
            self.refuses(lambda: again(self.state))
            return
        self.take(again(self.state))

    @rule(stack=st.sampled_from([("a",), ("a", "b"), ("a", "b", "e"), ("b", "c"), ()]))
    @precondition(lambda self: not self.closed and any(self.pushes.values()))
    def set_right(self, stack: tuple[str, ...]) -> None:
        """The last push was made with other shims; the reading that was taken stays."""
        steps = [step for step in self.state.steps if step.act is RunAct.PUSHED]
        booked = {push.step for load in self.state.begun.values() for push in load.passes}
        at = [step for step in steps if step.step in booked][-1]
        assert at.load is not None
        push = self.pushes[at.load][-1]
        if not self.hubs(at.load):
            return
        planned = self.state.load(at.load).passes[-1].planned
        push.stack, push.skipped = stack, set()
        push.due = self.due_anew(at.load, push, planned)
        acted = corrected_shims(self.state, HAND, at.step, stack, why="wrong shim")
        # Whether what was read is off the band of what was in, the bands' own tests say.
        self.disputed -= set(push.read)
        self.disputed |= set(push.read) if acted.steps[0].doubtful else set()
        self.take(acted)

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

    @rule()
    def take_back(self) -> None:
        """The last push was booked and never made."""
        pushes = [p for load in self.state.begun.values() for p in load.passes]
        if self.closed or not pushes:
            return
        last = max(pushes, key=lambda one: one.step)
        if last.readings:
            self.refuses(lambda: not_pushed(self.state, takes_back=last.step))
            return
        step = self.state.steps[last.step - 1]
        assert step.load is not None
        gone_push = self.pushes[step.load].pop()
        self.wear -= len(gone_push.hubs)
        self.todo[step.load] = [last.planned, *self.todo[step.load]]
        self.take(not_pushed(self.state, takes_back=last.step))

    @rule(offset=TYPED)
    def read_otherwise(self, offset: int) -> None:
        """A reading of the last pass of some load was typed wrong."""
        found = [
            (load, hub, at)
            for load, pushes in self.pushes.items()
            if pushes
            for hub, (_, at) in pushes[-1].read.items()
        ]
        if not found or self.closed:
            return
        load, hub, at = found[-1]
        t = self.plain(self.pushes[load][-1].stack) + offset
        self.pushes[load][-1].read[hub] = (t, at)
        self.disputed.discard(hub)
        self.take(corrected_reading(self.state, HAND, at, Length(t), why="typed wrong", by="Kim"))

    @rule()
    def end(self) -> None:
        if self.waits() != "end":
            self.refuses(lambda: ended(self.state))
            return
        self.take(ended(self.state))
        self.closed = "done"

    @rule(really=st.integers(0, 9))
    def abandon(self, really: int) -> None:
        if self.closed:
            self.refuses(lambda: abandoned(self.state, why="no more hubs"))
        elif really == 0:
            self.take(abandoned(self.state, why="no more hubs"))
            self.closed = "abandoned"

    # -- what always holds --------------------------------------------------------------------------------------

    @invariant()
    def the_same(self) -> None:
        state, waits = self.state, self.waits()
        assert state.waits == waits
        assert state.status == (self.closed or ("stopped" if waits == "decision" else "running"))
        assert state.to_read == self.to_read()
        assert learnt_offset(state, "K", "G").nm == self.offset()
        counts = counts_of(state)
        fates = list(self.fates.values())
        assert (counts.scrapped, counts.accepted, counts.aside) == (
            fates.count("scrapped"),
            fates.count("accepted"),
            fates.count("aside"),
        )
        assert counts.asked == counts.done + counts.scrapped + counts.accepted + counts.left
        waiting = set(self.pending()[1])
        through = [
            hub
            for load in self.todo
            if not self.unfinished(load)
            for hub in self.hubs(load)
            if hub not in waiting
        ]
        assert counts.done == sum(self.says(hub) in ("within", "none") for hub in through)
        assert counts.not_measured == sum(self.says(hub) == "none" for hub in through)

    @invariant()
    def wear_equals_pushes(self) -> None:
        assert sum(cuts_of(step, self.state.steps)[1] for step in self.state.steps) == self.wear

    @invariant()
    def folding_every_step_anew_gives_the_same(self) -> None:
        assert state_of(self.state.run, self.state.steps) == self.state
        assert [step.step for step in self.state.steps] == list(range(1, self.state.step + 1))

    @invariant()
    def what_is_due_is_lawful(self) -> None:
        """Steps go up by at most an advance, and the last pass is expected within the limits."""
        if self.waits() != "push" or self.state.steps[-1].act in (RunAct.AGAIN, RunAct.NOT_PUSHED):
            return
        due = next_of(self.state)
        assert due is not None
        totals = [self.plain(one.shims) for one in due.ahead.passes]
        assert (due.load, due.hubs) == (self.current(), tuple(self.hubs(due.load)))
        assert due.pass_number == len(self.pushes[due.load]) + 1
        assert due.expected.nm - due.plain.nm == due.offset.nm
        if not self.pushes[due.load]:
            assert totals[0] > FIRST_METAL
        if not due.ahead.broken:
            assert all(0 < b - a <= ADVANCE for a, b in pairwise(totals))
            assert LOWER <= totals[-1] + due.offset.nm <= UPPER


TestRunMachine = RunMachine.TestCase
TestRunMachine.settings = settings(max_examples=25, stateful_step_count=25, deadline=None)
