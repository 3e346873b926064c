"""How many hubs of a run are done, scrapped, accepted, and so on."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.runs.state import Fate, Outcome, RunState


@dataclass(frozen=True, slots=True)
class HubCounts:
    """The hubs of a run in numbers: asked = done + scrapped + accepted + left.

    ``done`` counts those that are through and read within their limits, or were not read; of these ``not_measured`` were
    not read, and ``to_read`` must be. ``aside`` of those ``left`` wait for a decision.
    """

    asked: int
    done: int
    scrapped: int
    accepted: int
    aside: int
    to_read: int
    not_measured: int
    left: int


def counts_of(state: RunState) -> HubCounts:
    """The hubs of a run in numbers."""
    fates = [fate for fate, _ in state.fates.values()]
    unread = done = 0
    for load in state.begun.values():
        if not state.finished(load):
            continue
        for hub in set(state.in_work(load)) - set(state.to_gauge[1]):
            outcome = state.outcome(hub)
            done += outcome in (Outcome.WITHIN, Outcome.NOT_MEASURED)
            unread += outcome is Outcome.NOT_MEASURED
    asked, scrapped, accepted = state.run.quantity, fates.count(Fate.SCRAPPED), fates.count(Fate.ACCEPTED)
    return HubCounts(
        asked=asked,
        done=done,
        scrapped=scrapped,
        accepted=accepted,
        aside=fates.count(Fate.ASIDE),
        to_read=len(state.to_read),
        not_measured=unread,
        left=asked - done - scrapped - accepted,
    )
