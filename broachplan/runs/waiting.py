"""What a run waits for, in one sentence: what a refusal says, and what is asked after a break."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from broachplan.runs.band import is_second_push
from broachplan.runs.state import Cause, LoadState, Outcome, RunState, Waits

_OF_EVENTS = {
    Cause.PARKED: "its tools are in the crib; resume takes them again",
    Cause.PART_WAY: "a push stopped part way; resume once the broach is free, or decide on the hub",
    Cause.BROKEN: "a broach broke; resume continues with another pair if there is one",
    Cause.GONE: "a shim is missing; resume continues with what is on hand",
    Cause.STOPPED: "it was stopped; resume continues",
}


def hubs_in_words(hubs: Sequence[int]) -> str:
    """Hubs by their numbers: ``hub 3``, ``hubs 1 to 3``, ``hubs 2, 5``."""
    if len(hubs) == 1:
        return f"hub {hubs[0]}"
    if len(hubs) > 2 and list(hubs) == list(range(hubs[0], hubs[-1] + 1)):
        return f"hubs {hubs[0]} to {hubs[-1]}"
    return f"hubs {', '.join(map(str, hubs))}"


def waits_for(state: RunState) -> str:
    """What a run waits for, as the end of “the run waits for ...”."""
    if state.closed:
        return f"nothing: it is {state.closed}"
    if state.causes:
        return _decision(state, state.causes[0])
    if state.waits is Waits.READING:
        return f"the reading of {_to_read(state)}"
    if state.waits is Waits.END:
        return "its end"
    assert state.current is not None
    return pass_due(state, state.current)


def pass_due(state: RunState, load: LoadState) -> str:
    """The pass that is due on a load: ``pass 2 of hub 3``, or ``the second push of pass 2 of hub 3``."""
    hubs = hubs_in_words(state.in_work(load))
    if load.to_do.stacks and is_second_push(load, load.to_do.stacks[0]):
        return f"the second push of pass {len(load.passes)} of {hubs}"
    return f"pass {len(load.passes) + 1} of {hubs}"


def asked_after_a_break(state: RunState) -> str:
    """What is asked after a crash or a power cut, where a push may have been made and not booked; else nothing."""
    if state.waits is not Waits.PUSH or state.current is None:
        return ""
    return f"{pass_due(state, state.current)}: pushed, part way, or not yet?"


def _to_read(state: RunState) -> str:
    number, hubs = state.to_gauge
    if not hubs:
        return hubs_in_words(sorted(state.to_read))
    push = state.load(number).last_push
    assert push is not None
    return f"pass {push.number} of {hubs_in_words(hubs)}"


def _decision(state: RunState, cause: Cause) -> str:
    if cause in _OF_EVENTS:
        return f"a decision: {_OF_EVENTS[cause]}"
    if cause is Cause.BLOCKED:
        assert state.current is not None
        hubs = hubs_in_words(state.in_work(state.current))
        return f"a decision on {hubs}: {lacking(state)}"
    outcome = Outcome.PAST if cause is Cause.PAST else Outcome.DISPUTED
    hubs = hubs_in_words(sorted(_hubs(state, outcome)))
    if cause is Cause.PAST:
        return f"a decision on {hubs}, past the limit: set it aside, scrap it or accept it"
    return f"a decision on {hubs}: the reading is off its band; read again, correct the shims, or say that it is sure"


def lacking(state: RunState) -> str:
    """What a run lacks that cannot continue with what is on hand."""
    if _pair_is_gone(state):
        return "no other broach on hand can continue"
    return "no shims on hand lead to the limits"


def _pair_is_gone(state: RunState) -> bool:
    return state.current is not None and state.current.to_do.broach in state.dropped


def _hubs(state: RunState, outcome: Outcome) -> Iterator[int]:
    for load in state.begun.values():
        for hub in state.in_work(load):
            if state.outcome(hub) is outcome:
                yield hub
