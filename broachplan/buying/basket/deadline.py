"""The time that a basket may take: the search ends before it, the rest of it and a little more are for the answer."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from broachplan.buying.basket.result import Found

# Of the time so much is kept for what follows the search.
_KEPT = 0.15
# Seconds beyond the end in which a basket is found where the search has none, and in which it is reported.
FOR_A_BASKET, FOR_THE_REPORT = 0.5, 1.0


class OutOfTime(Exception):
    """The time is over; handled in this room.

    No basket costs less than ``bound``, where that is known; ``found`` is one that costs no more than any other.
    """

    def __init__(self, bound: int | None = None, found: Found | None = None) -> None:
        super().__init__()
        self.bound, self.found = bound, found


class Deadline:
    """Says how long one may still search. ``left`` is how many seconds are left of the whole time."""

    def __init__(self, left: Callable[[], float]) -> None:
        self._left = left
        self._more = -_KEPT * max(left(), 0.0)

    def allow(self, seconds: float) -> None:
        """From now on go so many seconds beyond the end."""
        self._more = seconds

    def left(self) -> float:
        """Seconds that are left; nothing or less where the time is over."""
        return self._left() + self._more

    def check(self) -> None:
        """Raise `OutOfTime` where the time is over."""
        if self.left() <= 0:
            raise OutOfTime
