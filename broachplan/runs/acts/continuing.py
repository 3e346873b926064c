"""How a load continues after new facts: with the planned stacks while they hold, else with a new plan.

A shop leaves what is in and adds one; nobody chases tenths. So a stack is changed only where the last reading, or its
band, would not lie within the limits any more, or another rule breaks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from broachplan.lengths import Length
from broachplan.planner.answer import Answer, Rule
from broachplan.runs.acts.acting import next_step
from broachplan.runs.ahead import OnHand, plan_left, shelf_for, to_do_of, worked_out
from broachplan.runs.fold import after
from broachplan.runs.offsets import offset_of
from broachplan.runs.run import RunPiece
from broachplan.runs.state import LoadState, Outcome, RunState
from broachplan.runs.steps import RunAct, Step, ToDo


@dataclass(frozen=True, slots=True)
class WayOn:
    """What a load, or each of those not begun, is to do from now on.

    ``to_do`` None: as before. ``other`` is what could be done instead, ``pieces`` those the run takes for it, ``answer``
    what the planner said.
    """

    to_do: ToDo | None = None
    other: ToDo | None = None
    pieces: tuple[RunPiece, ...] = ()
    answer: Answer | None = None


def way_on(state: RunState, load: LoadState, on_hand: OnHand, *, any_pair: bool = False) -> WayOn:
    """How a load continues: as planned while that holds, else by a new plan, else not at all."""
    kept = load.to_do
    ahead = worked_out(state, load) if state.can_go_on(load) and not kept.blocked else None
    answer = plan_left(state, load, on_hand, any_pair=any_pair)
    found = to_do_of(answer.plans[0]) if answer.ready else None
    if ahead is not None and not ahead.broken:
        if found is None or found.cuts_like(kept):
            return WayOn(answer=answer)
        if ahead.holds:
            return WayOn(other=found, answer=answer)
    if found is None:
        return WayOn(replace(kept, stacks=(), blocked=True), answer=answer)
    return WayOn(
        found,
        kept if ahead is not None and not ahead.broken else None,
        taken_for(state, on_hand, found),
        answer,
    )


def way_of_new_hubs(
    state: RunState, on_hand: OnHand, *, any_pair: bool = False, pair: ToDo | None = None
) -> WayOn:
    """How the loads not begun are cut, with the offset as it is known now.

    As planned while that holds, else as the load begun last was, else by a new plan, else as planned all the same. ``pair``: the broach and the
    bushing that are tried first, where other ones than planned have to serve.
    """
    number = next((one for one in range(1, len(state.loads) + 1) if one not in state.begun), None)
    if number is None:
        return WayOn()
    load = state.load(number)
    if pair is not None and any_pair:
        way = way_on(state, replace(load, to_do=replace(pair, stacks=())), on_hand)
        if way.to_do is not None and way.to_do.stacks:
            return way
    way = _at_least_as_planned(state, load, way_on(state, load, on_hand, any_pair=any_pair))
    was_cut = _as_cut_last(state)
    if (
        way.to_do is None
        or was_cut is None
        or was_cut.cuts_like(state.new_hubs)
        or was_cut.tags & state.dropped
    ):
        return way
    ahead = worked_out(state, replace(load, to_do=was_cut))
    if ahead is None or not ahead.holds:
        return way
    return replace(way, to_do=was_cut, other=way.to_do if way.to_do.stacks else None, pieces=())


def _at_least_as_planned(state: RunState, load: LoadState, way: WayOn) -> WayOn:
    """A load not begun stays as planned where nothing but what other hubs taught leads past the limits, and no other shims help.

    A chip under one hub's shims says nothing of the next one; its passes say what they should read.
    """
    if way.to_do is None or not way.to_do.blocked or not state.can_go_on(load):
        return way
    ahead = worked_out(state, load)
    learnt = offset_of(state, load).mean != Length(0)
    if ahead is None or not learnt or {reason.rule for reason in ahead.broken} != {Rule.READING}:
        return way
    return replace(way, to_do=None)


def with_to_do(step: Step, load: int, way: WayOn) -> Step:
    """A step with what its load is to do from now on."""
    return replace(step, load=load, to_do=way.to_do, pieces=_joined(step.pieces, way.pieces))


def with_new_hubs(step: Step, way: WayOn) -> Step:
    """A step with what each load not begun is to do from now on."""
    return replace(step, new_hubs=way.to_do, pieces=_joined(step.pieces, way.pieces))


def _joined(taken: tuple[RunPiece, ...], more: tuple[RunPiece, ...]) -> tuple[RunPiece, ...]:
    tags = {one.tag for one in taken}
    return (*taken, *(one for one in more if one.tag not in tags))


def others_replanned(state: RunState, number: int, on_hand: OnHand, by: str) -> Iterator[Step]:
    """A step for each other load in work whose stacks do not hold any more, where all loads go through a pass in turn."""
    why = "the plan does not hold with what was learnt"
    for other in sorted(state.begun):
        load = state.begun[other]
        if other == number or state.finished(load) or not load.to_do.stacks or _undecided(state, load):
            continue
        way = way_on(state, load, on_hand)
        if way.to_do is not None:
            step = next_step(
                state, RunAct.REPLANNED, by, load=other, to_do=way.to_do, pieces=way.pieces, why=why
            )
            state = after(state, step)
            yield step


def _undecided(state: RunState, load: LoadState) -> bool:
    """Whether a reading of a load waits for a decision, so that nothing is planned from it."""
    return any(state.outcome(hub) in (Outcome.PAST, Outcome.DISPUTED) for hub in state.in_work(load))


def taken_for(state: RunState, on_hand: OnHand, to_do: ToDo) -> tuple[RunPiece, ...]:
    """The pieces that a plan needs and that are not with the run yet."""
    shelf = shelf_for(state, on_hand)
    there = {piece.tag: piece for piece in (*shelf.broaches, *shelf.bushings, *shelf.shims, *shelf.presses)}
    return tuple(on_hand.taken(there[tag]) for tag in sorted(to_do.tags) if tag not in state.held)


def _as_cut_last(state: RunState) -> ToDo | None:
    """What was planned, pass by pass, for the load that was begun last and is through."""
    through = [load for load in state.begun.values() if load.through]
    if not through:
        return None
    load = max(through, key=lambda one: one.passes[-1].step)
    stacks, pair = [], load.to_do
    for push in load.passes:
        # A second push of the same stack was for that hub alone.
        if (push.broach, push.bushing) == (pair.broach, pair.bushing) and push.planned not in stacks:
            stacks.append(push.planned)
    return replace(pair, stacks=tuple(stacks))
