"""Coming jobs as the buyer's questions need them, and when each piece of the crib can be used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from broachplan.crib.holds import same_work
from broachplan.keyways.keyway import Keyway
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim

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

    @property
    def works(self) -> tuple[str, ...]:
        """The work whose holds do not keep a piece from this job."""
        return (self.number, self.after) if self.after else (self.number,)


@dataclass(frozen=True, slots=True)
class Presence:
    """When one piece can be used, where that is not always.

    ``from_day`` is the first day on which it is there: the day after it is due back or expected; None: it is not known
    to come. ``why`` says what keeps it away until then, and is empty where nothing does. ``held`` is the work that it is
    held for, by the day.
    """

    from_day: date | None = date.min
    why: str = ""
    held: Mapping[date, str] = field(default_factory=dict)

    def why_not(self, days: tuple[date, ...], works: Iterable[str]) -> str:
        """Why the piece does not serve some work on all of these days; empty where it does."""
        if self.from_day is None or days[0] < self.from_day:
            return self.why
        for day in days if self.held else ():
            held = self.held.get(day)
            if held is not None and not any(same_work(held, work) for work in works):
                return f"held on {day} for {held}"
        return ""


@dataclass(frozen=True, slots=True)
class CribAhead:
    """All pieces of a crib that are not retired. A tag without a ``presence`` is there on every day."""

    broaches: tuple[Broach, ...] = ()
    bushings: tuple[Bushing, ...] = ()
    shims: tuple[Shim, ...] = ()
    presses: tuple[Press, ...] = ()
    presence: Mapping[str, Presence] = field(default_factory=dict)
    homes: Mapping[str, str] = field(default_factory=dict)
