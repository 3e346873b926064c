"""The band of a pass of a run: before anything was read, and after a reading on this hub or on the hubs before it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import cache

from broachplan.cut.budget import Budget, PieceWithin, Stack, StackPart, StackReading, budget_after, budget_of
from broachplan.cut.how_measured import Within, by_setting, within
from broachplan.cut.play import Play, Span
from broachplan.planner.after import GaugeBands
from broachplan.runs.offsets import metal_of, offset_of
from broachplan.runs.run import RunPiece
from broachplan.runs.state import LoadState, Pushed, RunState
from broachplan.runs.steps import ToDo
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Shim

_PARTS = {Kind.BROACH: StackPart.BROACH, Kind.BUSHING: StackPart.BUSHING, Kind.SHIM: StackPart.SHIM}


def budget_ahead(state: RunState, load: LoadState, tags: Iterable[str]) -> Budget:
    """The band of a stack on a load, with the pair that is to cut it; all in nm.

    The stack that was read last on this hub is compared with; on a hub not read yet, the one read last on the hubs before.
    """
    pair, tags = (load.to_do.broach, load.to_do.bushing), tuple(tags)
    stack = _stack(state, load, *pair, tags)
    plain = state.plain(*pair, tags).nm
    read = _read_with(state, load, pair)
    if read is None:
        return budget_of(plain, stack)
    push, doubtful = read
    offset = offset_of(state, load).mean.nm
    gauge = by_setting("error_reading", state.run.settings)
    return budget_after(plain, stack, StackReading(_known(state, push.shims), offset, gauge, doubtful))


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
        off = max(_within(known, tag).nm for tag in known.pieces) * (2 + count + most)
        far = offset + off + film * (count + most + 2) + error + about.gap.width
        return Span(-far, far)

    bore = run.bore_is or run.hub.bore.upper
    return GaugeBands(usual, widest, run.settings.error_reading.nm, bore.nm)


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
        if push and not other.to_do.stacks and (push.broach, push.bushing) == pair:
            steps = [one.step for one in push.readings if one.whole and not one.disputed]
            found += [(max(steps), push)] if steps else []
    if not found:
        return None
    _, latest = max(found, key=lambda one: one[0])
    return latest, _doubtful(state, latest)


def _doubtful(state: RunState, push: Pushed) -> bool:
    steps = {gauged.step for one in push.readings for gauged in one.ends}
    return any(step.doubtful for step in state.steps if step.step in steps)


def _stack(state: RunState, load: LoadState, broach: str, bushing: str, tags: Iterable[str]) -> Stack:
    run = state.run
    guide = state.bushing(bushing)
    assert guide.outside_diameter is not None
    bore = run.bore_is or run.hub.bore.upper
    length = run.hub.length.nm * max(1, len(state.in_work(load)))
    play = Play.of(
        max(0, (bore - guide.outside_diameter).nm), length, guide.length.nm if guide.length else None
    )
    return Stack(
        _known(state, (broach, bushing)), _known(state, tags), play, by_setting("joint_film", run.settings)
    )


def _known(state: RunState, tags: Iterable[str]) -> tuple[PieceWithin, ...]:
    return tuple(PieceWithin(_PARTS[state.pieces[tag].piece.kind], tag, _within(state, tag)) for tag in tags)


def _within(state: RunState, tag: str) -> Within:
    """How far the figure of a piece of the run may be off."""
    measured = state.pieces[tag].measured
    return within(measured.with_what, measured.to, state.run.settings)
