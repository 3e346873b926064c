"""Coming jobs as the buyer's questions need them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from broachplan.crib.sharing import Sharing
from broachplan.keyways.keyway import Keyway
from broachplan.tooling.hub import Hub

Rank = tuple[int, date, str]


@dataclass(frozen=True, slots=True)
class ComingJob:
    """A job that is to be cut.

    ``days`` are all its days at the press, in order; ``rank`` is its priority, due day and number. ``after`` is the
    number of the job that it follows, whose pieces it may use on the same days. ``holds`` are the pieces that a started
    job has; None: it is not started.
    """

    number: str
    hub: Hub
    keyway: Keyway
    days: tuple[date, ...]
    rank: Rank
    press: str | None = None
    after: str | None = None
    holds: frozenset[str] | None = None


def sharing_among(jobs: Iterable[ComingJob]) -> Sharing:
    """The marks between these jobs, where no other job has a part in them, and what the started ones use."""
    jobs = list(jobs)
    return Sharing(
        {job.number: job.after for job in jobs if job.after},
        uses=((job.number, job.holds, job.days) for job in jobs if job.holds is not None),
    )
