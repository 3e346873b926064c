"""The band of a pass of a run: before anything was read, and after a reading on this hub or on the hubs before it."""

from __future__ import annotations

from collections.abc import Iterable

from broachplan.cut.budget import Budget, Known, Part, Reading, Stack, budget_after, budget_of
from broachplan.cut.how_measured import by_setting, within
from broachplan.cut.play import Play
from broachplan.runs.offsets import metal_of, offset_of
from broachplan.runs.state import LoadState, Pushed, RunState

_PARTS = {"broach": Part.BROACH, "bushing": Part.BUSHING, "shim": Part.SHIM}


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
    return budget_after(plain, stack, Reading(_known(state, push.shims), offset, gauge, doubtful))


def budget_of_push(state: RunState, load: LoadState, tags: Iterable[str]) -> Budget:
    """The band of a stack on a load as it was before the pass pushed last was read: what a reading of it is held to."""
    unread = LoadState(
        number=load.number,
        hubs=load.hubs,
        to_do=load.to_do,
        passes=tuple(push for push in load.passes[:-1]),
        first=load.first,
    )
    return budget_ahead(state, unread, tags)


def gauge_error(state: RunState) -> int:
    """How far the gauge may be off, in nm."""
    return state.run.settings.error_reading.nm


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


def _known(state: RunState, tags: Iterable[str]) -> tuple[Known, ...]:
    found = []
    for tag in tags:
        kept = state.pieces[tag]
        measured = within(kept.measured.with_what, kept.measured.to, state.run.settings)
        found.append(Known(_PARTS[kept.piece.kind.value], tag, measured))
    return tuple(found)
