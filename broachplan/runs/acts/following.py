"""What follows from a step: on its own load, on the others in work, and on those not begun."""

from __future__ import annotations

from dataclasses import replace

from broachplan.planner.answer import Answer
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.continuing import (
    WayOn,
    others_replanned,
    way_of_new_hubs,
    way_on,
    with_new_hubs,
    with_to_do,
)
from broachplan.runs.ahead import OnHand
from broachplan.runs.fold import after
from broachplan.runs.state import Cause, LoadState, Outcome, RunState
from broachplan.runs.steps import Step


def went_on(
    before: RunState, steps: tuple[Step, ...], on_hand: OnHand, by: str, answer: Answer | None = None
) -> Acted:
    """Steps of which the last one is a reading or a correction, with what follows from it."""
    last = steps[-1]
    number = last.load
    assert number is not None
    now = after(before, *steps)
    load = now.load(number)
    if now.closed or {Cause.PAST, Cause.DISPUTED} & _of_load(now, load):
        return Acted(before, steps, answer=answer)
    way = _own_way(now, load, on_hand)
    if way.to_do is not None:
        last = with_to_do(last, number, way)
        now = after(before, *steps[:-1], last)
    other = way.other
    if now.finished(now.load(number)):
        new = way_of_new_hubs(now, on_hand)
        other = other or new.other
        if new.to_do is not None:
            last = with_new_hubs(last, new)
            now = after(before, *steps[:-1], last)
    follow = tuple(others_replanned(now, number, on_hand, by))
    return Acted(before, (*steps[:-1], last, *follow), other, answer or way.answer)


def _own_way(state: RunState, load: LoadState, on_hand: OnHand) -> WayOn:
    """What the load that was read does next: nothing where it reads within its limits, else as planned or with a new plan."""
    outcomes = {state.outcome(hub) for hub in state.in_work(load)}
    to_do = load.to_do
    left = bool(to_do.stacks) or to_do.blocked
    if Outcome.SHORT in outcomes:
        return way_on(state, load, on_hand)
    if not outcomes or not left:
        return WayOn()
    if Outcome.WITHIN in outcomes:
        return WayOn(replace(to_do, stacks=(), blocked=False))
    return way_on(state, load, on_hand)


def _of_load(state: RunState, load: LoadState) -> set[Cause]:
    outcomes = {state.outcome(hub) for hub in state.in_work(load)}
    found = {Outcome.PAST: Cause.PAST, Outcome.DISPUTED: Cause.DISPUTED}
    return {found[outcome] for outcome in outcomes if outcome in found}


def followed(before: RunState, step: Step, on_hand: OnHand, by: str, *, any_pair: bool = False) -> Acted:
    """A step that changes what the run has, with what follows for the load that is due, for those in work and for the others."""
    now, other, answer = after(before, step), None, None
    load = now.current
    undecided = {Cause.PAST, Cause.DISPUTED} & set(now.causes)
    if load is not None and load.passes and not undecided:
        way = way_on(now, load, on_hand, any_pair=any_pair)
        other, answer = way.other, way.answer
        if way.to_do is not None:
            step = with_to_do(step, load.number, way)
            now = after(before, step)
    new = way_of_new_hubs(now, on_hand, any_pair=any_pair, pair=step.to_do)
    if new.to_do is not None:
        step = with_new_hubs(step, new)
        now = after(before, step)
    follow = tuple(others_replanned(now, load.number if load else 0, on_hand, by))
    return Acted(before, (step, *follow), other or new.other, answer or new.answer)
