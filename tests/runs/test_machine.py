"""Acts in any order on a run, beside a naive model that keeps what was done in plain lists and counts it again each time."""

from __future__ import annotations

from collections.abc import Callable
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
from tests.runs.naive_run import ADVANCE, FIRST_METAL, LOWER, THICK, UPPER, NaiveRun
from tests.runs.scenes import MM, RICH, begun, on_hand

HAND = on_hand()
TYPED = st.sampled_from([-60_000, -12_000, 0, 7_000, 21_000, 60_000])


class RunMachine(NaiveRun, RuleBasedStateMachine):
    """The run and its model side by side."""

    @initialize(
        hubs=st.integers(1, 4),
        stack=st.sampled_from([1, 1, 2]),
        each=st.sampled_from([1, 2, 9]),
        order=st.sampled_from(Order),
    )
    def start(self, hubs: int, stack: int, each: int, order: Order) -> None:
        setup = RICH.but(hub={"stack": stack, "length": MM(17)})
        self.state = begun(setup, quantity=hubs * stack, read_each=each, order=order)
        self.begin(hubs * stack, stack, each, order, self.state.new_hubs.stacks)

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
        if self.is_refused(hub, t, self.pushes[load][:-1]):
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
        if self.is_refused(hub, t, self.pushes[load]):
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
        # A second push that is due already is asked for once.
        no_second = last is None or self.second_push_due() or full
        if no_second or self.flags or past or not (self.waits() == "push" or blocked) or self.closed:
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

        def put_right() -> Acted:
            return corrected_reading(self.state, HAND, at, Length(t), why="typed wrong", by="Kim")

        if self.is_refused(hub, t, self.pushes[load][:-1]):
            with pytest.raises(InputError, match="a push takes metal away"):
                put_right()
            return
        self.pushes[load][-1].read[hub] = (t, at)
        self.disputed.discard(hub)
        self.take(put_right())

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
        """Steps go up by at most an advance, and the last pass is expected within the limits.

        Not while a second push is next: it was asked for as it is, and what is left is planned anew after it.
        """
        if self.waits() != "push" or self.second_push_due() or self.state.steps[-1].act is RunAct.NOT_PUSHED:
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
TestRunMachine.settings = settings(max_examples=15, stateful_step_count=25, deadline=None)


class ManyRuns(RunMachine):
    """The same for a whole night."""


TestManyRuns = pytest.mark.nightly(ManyRuns.TestCase)
TestManyRuns.settings = settings(max_examples=1_000, stateful_step_count=40, deadline=None)
