"""What the shop's own bushings say of the web of one that is offered without: bushings of one kind share their slot depth.

Common practice, no source.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from broachplan.buying.offers import Between, OfferedPiece
from broachplan.errors import InputError
from broachplan.lengths import NM_PER_INCH
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Bushing

# So near must the slots be, and so many bushings there must be.
_NEAR_NM = 2 * NM_PER_INCH // 1000
_ENOUGH = 3


@dataclass(frozen=True, slots=True)
class OwnWebs:
    """Bushings of the crib whose slot is as wide as that of one that is offered; outside diameter less web, in nm."""

    tags: tuple[str, ...]
    least: int
    most: int


class OwnBushings:
    """The measured bushings of a crib by the width of their slot."""

    def __init__(self, bushings: Iterable[Bushing]) -> None:
        measured = (
            (one.slot_width.nm, one.tag, one.outside_diameter.nm - one.web.nm)
            for one in bushings
            if one.slot_width is not None and one.outside_diameter is not None and one.web is not None
        )
        self._by_slot = sorted(measured)
        self._slots = [slot for slot, _, _ in self._by_slot]
        self._like = cache(self._find)

    def stand_in(self, piece: OfferedPiece) -> tuple[OfferedPiece, OwnWebs] | None:
        """A bushing that is offered without its web with the webs that are likely; None where the crib says nothing of it."""
        od, slot = piece.span("outside_diameter"), piece.span("slot_width")
        if piece.kind is not Kind.BUSHING or piece.not_given != ("web",) or od is None or slot is None:
            return None
        found = self._like(slot)
        if found is None or od.lower <= found.most:
            return None
        try:
            likely = piece.with_figure("web", Between(od.lower - found.most, od.upper - found.least))
        except InputError:
            return None
        return likely, found

    def _find(self, slot: Between) -> OwnWebs | None:
        """The bushings whose slot is near enough whatever the offered one turns out to be."""
        start = bisect_left(self._slots, slot.upper - _NEAR_NM)
        end = bisect_right(self._slots, slot.lower + _NEAR_NM)
        like = self._by_slot[start:end]
        if len(like) < _ENOUGH:
            return None
        depths = [depth for _, _, depth in like]
        return OwnWebs(tuple(sorted(tag for _, tag, _ in like)), min(depths), max(depths))
