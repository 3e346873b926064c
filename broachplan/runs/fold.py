"""The fold: what a run is now, from its steps alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from broachplan.runs.gauging import can_be_gauged, is_first, read_short, to_be_gauged
from broachplan.runs.plain import plain_reading
from broachplan.runs.run import Run, RunPiece, read_each_of
from broachplan.runs.state import (
    Cause,
    Fate,
    GaugedEnd,
    LoadState,
    Outcome,
    Pushed,
    Reading,
    RunState,
    Status,
)
from broachplan.runs.steps import End, RunAct, Step, ToDo

_FATES = {RunAct.ASIDE: Fate.ASIDE, RunAct.SCRAPPED: Fate.SCRAPPED, RunAct.ACCEPTED: Fate.ACCEPTED}
# What may be written of a run that is done: what becomes of a hub, and what was really read on it.
AFTER_THE_END = frozenset({RunAct.SCRAPPED, RunAct.ACCEPTED, RunAct.CORRECTED})


class FoldError(ValueError):
    """Steps that no run can have; the text names the step."""


def state_of(run: Run, steps: Iterable[Step]) -> RunState:
    """What a run is after its steps.

    Raises
    ------
    FoldError : the steps have a gap, do not begin with the start, or one of them cannot follow those before it.
    """
    folding = _Folding(run)
    for step in steps:
        folding.add(step)
    return folding.state()


def after(state: RunState, *steps: Step) -> RunState:
    """What a run is after further steps."""
    return state_of(state.run, (*state.steps, *steps))


class _Folding:
    """A run while its steps are added one by one."""

    def __init__(self, run: Run) -> None:
        self.run = run
        self.steps: list[Step] = []
        self.pieces: dict[str, RunPiece] = {}
        self.dropped: set[str] = set()
        self.held: set[str] = set()
        self.new_hubs: ToDo | None = None
        self.begun: dict[int, LoadState] = {}
        self.fates: dict[int, tuple[Fate, str]] = {}
        self.events: dict[Cause, str] = {}
        self.gauge_next = False
        self.as_asked = run
        self.closed: Status | None = None
        self.closed_why = ""
        self._loads = run.loads

    def add(self, step: Step) -> None:
        """One more step."""
        self._check_place(step)
        self.steps.append(step)
        for piece in step.pieces:
            self.pieces[piece.tag] = piece
            self.held.add(piece.tag)
            self.dropped.discard(piece.tag)
        if step.new_hubs is not None:
            self.new_hubs = step.new_hubs
        if handler := _HANDLERS.get(step.act):
            handler(self, step)
        if step.to_do is not None and step.load is not None:
            self._load(step, step.load, to_do=step.to_do)

    def state(self) -> RunState:
        """What the run is now."""
        if self.new_hubs is None:
            raise FoldError("the run has no start")
        bare = RunState(
            run=self.run,
            steps=tuple(self.steps),
            pieces=dict(self.pieces),
            held=frozenset(self.held),
            dropped=frozenset(self.dropped),
            new_hubs=self.new_hubs,
            begun=dict(self.begun),
            fates=dict(self.fates),
            events=dict(self.events),
            to_read=frozenset(),
            gauge_next=self.gauge_next,
            read_each=None if self.as_asked is self.run else self.as_asked.read_each,
            closed=self.closed,
            closed_why=self.closed_why,
        )
        return replace(bare, to_read=hubs_to_read(bare))

    # -- the steps one by one -----------------------------------------------------------------------------------

    def started(self, step: Step) -> None:
        if step.new_hubs is None:
            raise FoldError(f"step {step.step}: a start without a plan")

    def pushed(self, step: Step) -> None:
        load = self._named(step)
        if not load.to_do.stacks or step.pass_number != len(load.passes) + 1:
            raise FoldError(f"step {step.step}: pass {step.pass_number} of load {load.number} is not due")
        planned, *left = load.to_do.stacks
        shims = planned if step.shims is None else step.shims
        if unknown := [tag for tag in shims if tag not in self.pieces]:
            raise FoldError(f"step {step.step}: {unknown[0]} is no piece of the run")
        first = is_first(load, self.begun, self.fates)
        gauged, self.gauge_next = load.gauged or self.gauge_next, False
        load = replace(load, first=first, gauged=gauged)
        push = Pushed(
            number=step.pass_number,
            step=step.step,
            broach=load.to_do.broach,
            bushing=load.to_do.bushing,
            press=load.to_do.press,
            planned=planned,
            shims=shims,
            last=not left,
        )
        self._check_push(step, load, push)
        push = replace(push, gauge=self._gauge(load, push, len(left)))
        passes, to_do = (*load.passes, push), replace(load.to_do, stacks=tuple(left))
        self.begun[load.number] = replace(load, passes=passes, to_do=to_do)

    def part_way(self, step: Step) -> None:
        self._named(step)
        self.events[Cause.PART_WAY] = ""

    def not_pushed(self, step: Step) -> None:
        if step.corrects is None:
            self.events.pop(Cause.PART_WAY, None)
            return
        load, push = self._push_at(step)
        if load.passes[-1] is not push or push.readings:
            raise FoldError(f"step {step.step}: step {step.corrects} is not the push made last")
        left = load.to_do.stacks if load.to_do.broach == push.broach else ()
        to_do = ToDo(push.broach, push.bushing, push.press, (push.planned, *left), load.to_do.blocked)
        self.begun[load.number] = replace(load, passes=load.passes[:-1], to_do=to_do)

    def read(self, step: Step) -> None:
        if step.hub is None or step.t is None:
            raise FoldError(f"step {step.step}: a reading without its hub or its figure")
        load, push = self._last_push(step)
        gauged = GaugedEnd(step.step, step.end, step.t, step.doubtful and not step.sure)
        before = next((one for one in push.readings if one.hub == step.hub), None)
        # The lower end completes what the upper end began; anything else replaces what was read before.
        ends: tuple[GaugedEnd, ...] = (gauged,)
        if step.end is End.BOTTOM and before and before.ends[0].end is End.TOP:
            ends = (before.ends[0], gauged)
        readings = (*(one for one in push.readings if one.hub != step.hub), Reading(step.hub, ends))
        self._change(load, replace(push, readings=readings))

    def not_read(self, step: Step) -> None:
        load, push = self._last_push(step)
        left = tuple(one for one in push.readings if one.whole)
        self._change(load, replace(push, readings=left, skipped=(*push.skipped, *step.hubs)))

    def corrected(self, step: Step) -> None:
        origin = self._origin(step)
        if origin.act is RunAct.PUSHED:
            load, push = self._push_at(step)
            if step.shims is None:
                raise FoldError(f"step {step.step}: a push is corrected by what was in")
            push = replace(push, shims=step.shims, readings=_held_to(push.readings, step.doubtful))
            if load.passes[-1].step == push.step:
                left = len(load.to_do.stacks)
                push = replace(push, gauge=self._gauge(load, push, left), skipped=())
            self._change(load, push)
            return
        for load in self.begun.values():
            for push in load.passes:
                if any(gauged.step == origin.step for one in push.readings for gauged in one.ends):
                    self._change(load, _corrected(push, origin, step))
                    return
        raise FoldError(f"step {step.step}: the reading of step {step.corrects} was replaced since")

    def dropped_piece(self, step: Step) -> None:
        if step.piece not in self.pieces:
            raise FoldError(f"step {step.step}: {step.piece} is no piece of the run")
        self.dropped.add(step.piece)
        self.held.discard(step.piece)
        self.events[Cause.GONE if step.act is RunAct.GONE else Cause.BROKEN] = ""

    def decided(self, step: Step) -> None:
        if step.hub is None or not 1 <= step.hub <= self.run.quantity:
            raise FoldError(f"step {step.step}: no hub {step.hub}")
        self.fates[step.hub] = (_FATES[step.act], step.why)

    def stopped(self, step: Step) -> None:
        self.events[Cause.STOPPED] = step.why

    def parked(self, _: Step) -> None:
        self.events[Cause.PARKED] = ""
        self.held.clear()

    def resumed(self, _: Step) -> None:
        self.gauge_next = self.gauge_next or Cause.PARKED in self.events
        self.events.clear()

    def gauging(self, step: Step) -> None:
        each = read_each_of(step.typed, self.run.quantity)
        self.as_asked = replace(self.run, read_each=each)

    def ended(self, step: Step) -> None:
        self.closed = Status.DONE if step.act is RunAct.ENDED else Status.ABANDONED
        self.closed_why = step.why
        self.held.clear()

    # -- what they have in common -------------------------------------------------------------------------------

    def _check_place(self, step: Step) -> None:
        if step.step != len(self.steps) + 1:
            raise FoldError(f"step {step.step} comes after step {len(self.steps)}")
        if (step.act is RunAct.STARTED) != (step.step == 1):
            raise FoldError(f"step {step.step}: a run starts with its first step and with no other")
        closed = self.closed
        if closed and (closed is Status.ABANDONED or step.act not in AFTER_THE_END):
            raise FoldError(f"step {step.step}: the run was {closed} before")

    def _named(self, step: Step) -> LoadState:
        number = step.load
        if number is None or not 1 <= number <= len(self._loads):
            raise FoldError(f"step {step.step}: no load {number}")
        assert self.new_hubs is not None
        begun = self.begun.get(number)
        return begun or LoadState(number=number, hubs=self._loads[number - 1], to_do=self.new_hubs)

    def _load(self, step: Step, number: int, *, to_do: ToDo) -> None:
        self.begun[number] = replace(self._named(step), to_do=to_do)

    def _last_push(self, step: Step) -> tuple[LoadState, Pushed]:
        load = self._named(step)
        if not load.passes or load.passes[-1].number != step.pass_number:
            raise FoldError(
                f"step {step.step}: pass {step.pass_number} of load {load.number} is not the one pushed last"
            )
        return load, load.passes[-1]

    def _origin(self, step: Step) -> Step:
        """The push or reading that a correction is about, also where it corrects a correction."""
        number = step.corrects
        if number is None or not 1 <= number < step.step:
            raise FoldError(f"step {step.step}: no step {number} to correct")
        found = self.steps[number - 1]
        if found.act is RunAct.CORRECTED:
            return self._origin(found)
        if found.act not in (RunAct.PUSHED, RunAct.READ):
            raise FoldError(f"step {step.step}: step {number} is neither a push nor a reading")
        return found

    def _push_at(self, step: Step) -> tuple[LoadState, Pushed]:
        origin = self._origin(step)
        for load in self.begun.values():
            for push in load.passes:
                if push.step == origin.step:
                    return load, push
        raise FoldError(f"step {step.step}: the push of step {origin.step} was taken back")

    def _change(self, load: LoadState, push: Pushed) -> None:
        passes = tuple(push if one.step == push.step else one for one in load.passes)
        self.begun[load.number] = replace(load, passes=passes)

    def _check_push(self, step: Step, load: LoadState, push: Pushed) -> None:
        """A push is of the hubs of its load that are in work, and its plain reading is that of what was in."""
        if step.hubs != tuple(hub for hub in load.hubs if hub not in self.fates):
            raise FoldError(f"step {step.step}: hubs {step.hubs} are not those of load {load.number} in work")
        plain = plain_reading(self.pieces, push.broach, push.bushing, push.shims)
        if step.plain != plain:
            raise FoldError(f"step {step.step}: its plain reading does not follow from its pieces")

    def _gauge(self, load: LoadState, push: Pushed, left: int) -> tuple[int, ...]:
        plain = plain_reading(self.pieces, push.broach, push.bushing, push.shims)
        if not can_be_gauged(self.run, plain):
            return ()
        hubs = tuple(hub for hub in load.hubs if hub not in self.fates)
        wrong = set(push.shims) != set(push.planned)
        anyway = load.gauged or read_short(load)
        found = to_be_gauged(self.as_asked, hubs, left, first=load.first, anyway=anyway)
        return found or (hubs[:1] if wrong else ())


_HANDLERS: dict[RunAct, Callable[[_Folding, Step], None]] = {
    RunAct.STARTED: _Folding.started,
    RunAct.PUSHED: _Folding.pushed,
    RunAct.PART_WAY: _Folding.part_way,
    RunAct.NOT_PUSHED: _Folding.not_pushed,
    RunAct.READ: _Folding.read,
    RunAct.NOT_READ: _Folding.not_read,
    RunAct.CORRECTED: _Folding.corrected,
    RunAct.GONE: _Folding.dropped_piece,
    RunAct.BROKEN: _Folding.dropped_piece,
    RunAct.SCRAPPED: _Folding.decided,
    RunAct.ACCEPTED: _Folding.decided,
    RunAct.ASIDE: _Folding.decided,
    RunAct.STOPPED: _Folding.stopped,
    RunAct.PARKED: _Folding.parked,
    RunAct.RESUMED: _Folding.resumed,
    RunAct.ENDED: _Folding.ended,
    RunAct.ABANDONED: _Folding.ended,
    RunAct.GAUGING: _Folding.gauging,
}


def _corrected(push: Pushed, origin: Step, step: Step) -> Pushed:
    """A pass with its readings as a correction leaves them: another figure at that end, or none for that hub."""
    assert origin.hub is not None
    others = tuple(one for one in push.readings if one.hub != origin.hub)
    if step.t is None:
        return replace(push, readings=others, skipped=(*push.skipped, origin.hub))
    reading = next(one for one in push.readings if one.hub == origin.hub)
    ends = tuple(
        GaugedEnd(one.step, one.end, step.t, False) if one.step == origin.step else one
        for one in reading.ends
    )
    return replace(push, readings=(*others, replace(reading, ends=ends)))


def _held_to(readings: tuple[Reading, ...], doubtful: bool) -> tuple[Reading, ...]:
    """Readings held to the stack that was really in: off its band they are disputed, on it no longer."""
    return tuple(
        replace(one, ends=tuple(replace(gauged, disputed=doubtful) for gauged in one.ends))
        for one in readings
    )


def hubs_to_read(state: RunState) -> frozenset[int]:
    """The hubs that nobody read and that must be, because one after them reads past a limit.

    These are all since the last hub that read well before it; a later reading frees the hub that it is of, and no other.
    """
    found: set[int] = set()
    for hub in range(1, state.run.quantity + 1):
        push = state.load_of(hub).last_push
        reading = push.read_of(hub) if push else None
        if push is None or reading is None:
            continue
        outcome = state.outcome_of(reading)
        if outcome is Outcome.PAST or (outcome is Outcome.SHORT and push.last):
            found.update(_unread_before(state, hub, reading.step))
    return frozenset(found)


def _unread_before(state: RunState, hub: int, step: int) -> Iterable[int]:
    for other in range(hub - 1, 0, -1):
        push = state.load_of(other).last_push
        reading = push.read_of(other) if push else None
        if reading is not None and state.outcome_of(reading) is Outcome.WITHIN and reading.step < step:
            return
        if state.load_of(other).through and reading is None and other not in state.fates:
            yield other
