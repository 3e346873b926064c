"""The band of a pass of a run: before anything was read, and after a reading on this hub or on the hubs before it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

from broachplan.cut.budget import Budget
from broachplan.cut.how_measured import within
from broachplan.cut.play import Span
from broachplan.planner.after import GaugeBands
from broachplan.planner.certainty import Certainty, PriorReading, Setup
from broachplan.runs.offsets import metal_of, offset_of
from broachplan.runs.run import RunPiece
from broachplan.runs.state import LoadState, Pushed, RunState
from broachplan.runs.steps import ToDo
from broachplan.tooling.pieces import Shim


def budget_ahead(state: RunState, load: LoadState, tags: Iterable[str]) -> Budget:
    """The band of a stack on a load, with the pair that is to cut it; all in nm.

    A second push of the stack that was in may read anything from what was read to the plain reading.
    """
    to_do, tags = load.to_do, tuple(tags)
    setup = Setup(state.broach(to_do.broach), state.bushing(to_do.bushing), state.stack(tags))
    budget = certainty_of(state, load).budget(setup, gauged_before(state, load))
    return replace(budget, high=max(budget.high, setup.plain.nm)) if is_second_push(load, tags) else budget


def is_second_push(load: LoadState, tags: Iterable[str]) -> bool:
    """Whether a stack is the one that the pass pushed last had in, with the same broach and bushing."""
    push = load.last_push
    same_pair = push is not None and (push.broach, push.bushing) == (load.to_do.broach, load.to_do.bushing)
    return push is not None and same_pair and set(push.shims) == set(tags)


def certainty_of(state: RunState, load: LoadState) -> Certainty:
    """How well all that a reading on a load hangs on is known."""
    measured = {tag: kept.measured for tag, kept in state.pieces.items()}
    hub = state.run.hub_of(max(1, len(state.in_work(load))))
    return Certainty(hub, state.run.settings, measured)


def gauged_before(state: RunState, load: LoadState) -> PriorReading | None:
    """What the passes to come on a load are compared with: the stack read last on it, else on the hubs before it."""
    read = _read_with(state, load, (load.to_do.broach, load.to_do.bushing))
    if read is None:
        return None
    push, doubtful = read
    return PriorReading(state.stack(push.shims), offset_of(state, load).mean, doubtful)


def budget_of_push(state: RunState, load: LoadState, tags: Iterable[str]) -> Budget:
    """The band that a reading after the pass pushed last is held to: with a stack in, and as if it was not read."""
    push = load.passes[-1]
    unread = replace(load, passes=(*load.passes[:-1], replace(push, readings=())))
    to_do = ToDo(push.broach, push.bushing, push.press, (push.shims,))
    before = replace(load, passes=load.passes[:-1], to_do=to_do)
    return budget_ahead(replace(state, begun={**state.begun, load.number: unread}), before, tags)


def gauge_bands(
    state: RunState, load: LoadState, taken: Callable[[Shim], RunPiece], shims: Iterable[Shim]
) -> GaugeBands:
    """What a reading after the pass pushed last is compared with, also for stacks of ``shims`` that the run does not have.

    ``taken`` says how one of these was measured.
    """
    new = [taken(shim) for shim in shims if shim.tag not in state.pieces]
    known, run = state.with_pieces(new), state.run
    push, film, error = load.passes[-1], run.settings.joint_film.nm, run.settings.error_reading.nm

    @cache
    def usual(stack: tuple[Shim, ...]) -> Span:
        budget = budget_of_push(known, load, [shim.tag for shim in stack])
        return Span(budget.low, budget.high)

    def widest(count: int) -> Span:
        # Every piece off as far as it may be, both stacks full of oil, all the play, and the offset.
        most = run.settings.stack_most
        about = budget_of_push(known, load, push.shims)
        offset = abs(about.expected - known.plain_of(push).nm)
        off = max(_within(known, kept) for kept in known.pieces.values()) * (2 + count + most)
        far = offset + off + film * (count + most + 2) + error + about.gap.width
        return Span(-far, far)

    return GaugeBands(usual, widest, error, run.hub.widest_bore.nm)


def _read_with(state: RunState, load: LoadState, pair: tuple[str, str]) -> tuple[Pushed, bool] | None:
    """The pass read last with these two pieces, on this load or else at the end of one before, and whether it is off its band."""
    metal = metal_of(state, load)
    if metal is not None:
        same = (metal.push.broach, metal.push.bushing) == pair
        return (metal.push, _doubtful(state, metal.push)) if same else None
    if any((push.broach, push.bushing) != pair for push in load.passes):
        return None
    found = []
    for other in state.begun.values():
        push = other.last_push
        if push and other.through and (push.broach, push.bushing) == pair:
            steps = [one.step for one in push.readings if one.whole and not one.disputed]
            found += [(max(steps), push)] if steps else []
    if not found:
        return None
    _, latest = max(found, key=lambda one: one[0])
    return latest, _doubtful(state, latest)


def _doubtful(state: RunState, push: Pushed) -> bool:
    return any(state.steps[gauged.step - 1].doubtful for one in push.readings for gauged in one.ends)


def _within(state: RunState, kept: RunPiece) -> int:
    """How far the figures of a piece may be off, in nm."""
    return within(kept.measured.with_what, kept.measured.to, state.run.settings).nm
