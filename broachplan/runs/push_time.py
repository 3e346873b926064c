"""How long a push takes in this shop, from when pushes were booked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from itertools import groupby, pairwise
from statistics import median
from typing import NamedTuple

# After a longer wait something else was done in between: common practice, no source.
_LONGEST = timedelta(minutes=30)
# Of fewer pushes nothing is said.
_FEWEST = 10


class PushTime(NamedTuple):
    """Seconds from one push to the next at the median, gauging and loading between them included; and of how many pushes."""

    seconds: float
    pushes: int


def push_time(booked: Iterable[tuple[int, datetime]]) -> PushTime | None:
    """From pushes in the order in which they were booked, each with the number of its run; None where there are too few.

    Pushes that were booked in one go share the time since those before them.
    """
    seconds = [each for _, run in groupby(booked, key=lambda push: push[0]) for each in _between(run)]
    return PushTime(median(seconds), len(seconds)) if len(seconds) >= _FEWEST else None


def _between(run: Iterable[tuple[int, datetime]]) -> Iterator[float]:
    moments = [(at, len(list(together))) for at, together in groupby(run, key=lambda push: push[1])]
    for (before, _), (at, count) in pairwise(moments):
        if timedelta(0) < at - before <= _LONGEST:
            yield from [(at - before).total_seconds() / count] * count
