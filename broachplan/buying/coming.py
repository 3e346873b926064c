"""Coming jobs as the buyer's questions need them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from broachplan.crib.loans import Asker
from broachplan.keyways.keyway import Keyway
from broachplan.tooling.hub import Hub

Rank = tuple[int, date, str]


@dataclass(frozen=True, slots=True)
class ComingJob:
    """A job that is to be cut.

    ``days`` are all its days at the press, in order; ``rank`` is its priority, due day and number. ``after`` is the
    number of the job that it follows, whose pieces it may use on the same days, ``shares`` those of the jobs that follow
    it. ``holds`` are the pieces that a started
    job has; None: it is not started.
    """

    number: str
    hub: Hub
    keyway: Keyway
    days: tuple[date, ...]
    rank: Rank
    press: str | None = None
    after: str | None = None
    shares: tuple[str, ...] = ()
    holds: frozenset[str] | None = None

    @property
    def asker(self) -> Asker:
        """The work whose loans and holds do not keep a piece from this job."""
        return Asker(work=self.number, shares=(*self.shares, self.after) if self.after else self.shares)
