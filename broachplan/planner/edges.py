"""How far one figure of a piece may move from its best value while a set-up still holds."""

from __future__ import annotations

from collections.abc import Callable

from broachplan.cut.load import largest_that
from broachplan.lengths import Length


def edges(best: int, low: int, high: int, holds: Callable[[int], bool]) -> tuple[Length, Length]:
    """The interval around ``best`` (nm), within low..high, at whose ends ``holds`` is still true."""
    upper = largest_that(holds, best, max(high, best))
    lower = -largest_that(lambda minus: holds(-minus), -best, max(-low, -best))
    return Length(min(lower, best)), Length(max(upper, best))
