"""A broach and a bushing that go together."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.buying.limits import LimitedPair
from broachplan.tooling.pieces import Broach, Bushing


@dataclass(frozen=True, slots=True)
class FittingPair:
    """A broach and a bushing that fit each other and the hub, and where the shims of the slot begin and end.

    ``limited`` is how the two are seen where one has limits; the shims are then those of all widths that the slot may
    have. ``cut`` is the tag of the shim that is cut to measure for them, where they are counted on with one.
    """

    broach: Broach
    bushing: Bushing
    start: int
    end: int
    limited: LimitedPair | None = None
    cut: str = ""

    @property
    def tags(self) -> tuple[str, ...]:
        """The two tags, and that of the shim that is cut."""
        pair = self.broach.tag, self.bushing.tag
        return (*pair, self.cut) if self.cut else pair
