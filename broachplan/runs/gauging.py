"""Which hubs are gauged after a pass, as far as nobody asks for more."""

from __future__ import annotations

from broachplan.lengths import Length
from broachplan.runs.run import Run


def can_be_gauged(run: Run, plain: Length) -> bool:
    """Whether an inside reading meets the keyway's floor: it lies past the bore as measured, else past its largest size."""
    return plain > (run.bore_is or run.hub.bore.upper)


def is_read(run: Run, hub: int) -> bool:
    """Whether a hub is one of those to be read: every one, or the first, each nth and the last."""
    return hub in (1, run.quantity) or hub % run.read_each == 0


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
    asked = {hub for hub in hubs if is_read(run, hub)}
    if first or anyway:
        asked.add(hubs[0])
    return tuple(sorted(asked))
