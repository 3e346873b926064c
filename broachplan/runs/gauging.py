"""Which hubs are gauged after a pass, unless somebody asks for more."""

from __future__ import annotations

from collections.abc import Mapping

from broachplan.lengths import Length
from broachplan.runs.run import Run
from broachplan.runs.state import Fate, LoadState


def can_be_gauged(run: Run, plain: Length) -> bool:
    """Whether an inside reading meets the keyway's floor: it lies past the bore as measured, else past its largest size."""
    return plain > run.hub.widest_bore


def to_be_gauged(
    run: Run, hubs: tuple[int, ...], passes_after: int, *, first: bool, anyway: bool
) -> tuple[int, ...]:
    """The hubs of a load to be gauged after a pass with ``passes_after`` passes to come.

    The first hub cut with a broach and a bushing is gauged after the pass before the last one and after the last one.
    ``anyway``: the load's first hub is gauged after its last pass, whatever was asked.
    """
    if not hubs or passes_after > 1:
        return ()
    if passes_after == 1:
        return hubs[:1] if first else ()
    asked = {hub for hub in hubs if run.reads(hub)}
    if first or anyway:
        asked.add(hubs[0])
    return tuple(sorted(asked))


def often_in_words(each: int) -> str:
    """How often hubs are gauged: ``every hub is gauged``; see `Run.read_each`."""
    return "every hub is gauged" if each == 1 else f"the first hub, the last and one in {each} are gauged"


def is_first(load: LoadState, begun: Mapping[int, LoadState], fates: Mapping[int, tuple[Fate, str]]) -> bool:
    """Whether a load is the first one cut with its broach and bushing.

    One that was decided on before its last pass was read taught nothing: the next one is the first then.
    """
    pair = (load.to_do.broach, load.to_do.bushing)
    if load.passes and (load.passes[-1].broach, load.passes[-1].bushing) == pair:
        return load.first
    for other in begun.values():
        push = other.last_push
        if (
            other.number == load.number
            or not other.first
            or push is None
            or (push.broach, push.bushing) != pair
        ):
            continue
        given_up = all(hub in fates for hub in other.hubs)
        if not given_up or (push.last and push.readings):
            return False
    return True


def read_short(load: LoadState) -> bool:
    """Whether a pass that was to be the last one was read and others follow: what takes its place is read too."""
    return any(push.last and push.readings for push in load.passes)
