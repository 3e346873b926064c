"""The history of a job: what was done to it, when, by whom, and what changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.entries import Change, Value
from broachplan.jobs.job import JobAct

PIECES, HELD_DAYS = "pieces", "held"
# What an act's name says already.
_IN_ITS_ACT = ("state", HELD_DAYS)


@dataclass(frozen=True, slots=True)
class JobEntry:
    """One line of a job's history; ``at`` is in universal time."""

    number: str
    act: JobAct
    at: datetime
    by: str = ""
    changes: tuple[Change, ...] = ()

    @property
    def differences(self) -> tuple[str, ...]:
        """What became different, each in words; of a job that was added nothing."""
        return () if self.act is JobAct.ADDED else tuple(difference_words(self.changes))


def difference_words(changes: Iterable[Change]) -> Iterator[str]:
    """What became different on a job, old and new."""
    for change in changes:
        if change.name == PIECES:
            yield f"holds {_listed(change.new)}" if change.new else f"frees {_listed(change.old)}"
        elif change.name not in _IN_ITS_ACT:
            yield f"{change.name.replace('_', ' ')} {_exact(change.old)} -> {_exact(change.new)}"


def _listed(value: Value) -> str:
    return str(value).strip("[]").replace('"', "").replace(",", ", ")


def _exact(value: Value) -> str:
    return "not given" if value is None else f"“{value}”" if isinstance(value, str) else str(value)
