"""Which desk's function does what a request asks, found by the request's name and loaded when it is first needed."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

_ATTENDANT, _MACHINIST = "broachplan.desks.attendant", "broachplan.desks.machinist"
# What changes the crib: whatever shows it looks again.
CHANGES: dict[str, str] = {
    "BookRequest": f"{_ATTENDANT}.book_cuts:book",
    "FoundRequest": f"{_ATTENDANT}.found_piece:note_found",
    "HoldRequest": f"{_ATTENDANT}.hold_piece:hold",
    "InspectRequest": f"{_ATTENDANT}.inspect_piece:inspect",
    "JoinRequest": f"{_ATTENDANT}.change_set:join",
    "LendRequest": f"{_ATTENDANT}.lend_piece:lend",
    "ReleaseRequest": f"{_ATTENDANT}.hold_piece:release",
    "RetireRequest": f"{_ATTENDANT}.retire_piece:retire",
    "ReturnRequest": f"{_ATTENDANT}.return_piece:take_back",
    "SplitRequest": f"{_ATTENDANT}.change_set:split",
}
# What reads the crib, or writes beside it.
READS: dict[str, str] = {
    "PlanRequest": f"{_MACHINIST}.plan_hub:plan_hub",
}


def desk_for(request: type) -> Callable[..., Any]:
    """The function that takes a database and such a request, and returns a result."""
    name = request.__name__
    module, _, function = (CHANGES.get(name) or READS[name]).partition(":")
    found: Callable[..., Any] = getattr(import_module(module), function)
    return found


def changes_crib(request: object) -> bool:
    """Whether what is asked changes the crib."""
    return type(request).__name__ in CHANGES
