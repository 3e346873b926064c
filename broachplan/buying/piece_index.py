"""The pieces of a crib in the order of the figure that decides whom they can serve: width, outside diameter, slot."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Generic, TypeVar

from broachplan.crib.shelf import Beyond, Shelf
from broachplan.lengths import Length
from broachplan.planner.bounds import Bounds
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim

_P = TypeVar("_P", bound=Piece)
_NEAREST = 3


class _Ordered(Generic[_P]):
    """Pieces by one figure; those whose figure is not known are kept separately."""

    def __init__(self, pieces: Iterable[_P], figure: Callable[[_P], Length | None]) -> None:
        sized = [(size.nm, piece) for piece in pieces if (size := figure(piece)) is not None]
        sized.sort(key=lambda one: (one[0], one[1].tag))
        self.sizes = [nm for nm, _ in sized]
        self.pieces = [piece for _, piece in sized]
        self.unknown = tuple(piece for piece in pieces if figure(piece) is None)

    def span(self, low: Length, high: Length) -> tuple[int, int]:
        """Where the pieces from ``low`` to ``high`` begin and end."""
        return bisect_left(self.sizes, low.nm), bisect_right(self.sizes, high.nm)

    def within(self, low: Length, high: Length) -> list[_P]:
        """The pieces from ``low`` to ``high``, both included."""
        start, end = self.span(low, high)
        return self.pieces[start:end]

    def nearest_outside(self, low: Length, high: Length) -> tuple[_P, ...]:
        """The few pieces least far outside; ties by tag."""
        start, end = self.span(low, high)
        first = bisect_left(self.sizes, self.sizes[max(start - _NEAREST, 0)]) if start else 0
        last = end + _NEAREST
        last = bisect_right(self.sizes, self.sizes[last - 1]) if last < len(self.sizes) else len(self.sizes)
        around = [*range(first, start), *range(end, last)]

        def off(at: int) -> tuple[int, str]:
            return max(low.nm - self.sizes[at], self.sizes[at] - high.nm), self.pieces[at].tag

        return tuple(self.pieces[at] for at in sorted(around, key=off)[:_NEAREST])


class PieceIndex:
    """A crib indexed once for all jobs: pieces by keyway width, outside diameter and width of the shim."""

    def __init__(self, stock: Shelf) -> None:
        self.stock = stock
        self.broaches = _Ordered(stock.broaches, lambda piece: piece.keyway_width)
        self.bushings = _Ordered(stock.bushings, lambda piece: piece.outside_diameter)
        self.shims = _Ordered([shim for shim in stock.shims if not shim.missing], lambda piece: piece.width)
        self.unmeasured_shims = tuple(shim for shim in stock.shims if shim.missing)

    def shelf(self, bounds: Bounds) -> Shelf:
        """What a plan within ``bounds`` may choose from; the pieces beyond are counted, and the nearest of them kept."""
        broaches = (*self.broaches.within(*bounds.width), *self.broaches.unknown)
        bushings = (*self.bushings.within(*bounds.bushing_od), *self.bushings.unknown)
        return replace(
            self.stock,
            broaches=broaches,
            bushings=bushings,
            shims=self._shims_for(bounds, broaches, bushings),
            broaches_beyond=Beyond(
                len(self.stock.broaches) - len(broaches),
                nearest_broaches=self.broaches.nearest_outside(*bounds.width),
            ),
            bushings_beyond=Beyond(
                len(self.stock.bushings) - len(bushings),
                nearest_bushings=self.bushings.nearest_outside(*bounds.bushing_od),
            ),
        )

    def _shims_for(
        self, bounds: Bounds, broaches: Sequence[Broach], bushings: Sequence[Bushing]
    ) -> tuple[Shim, ...]:
        """Shims for the slots of these bushings and for any that could be cut for these broaches or for the keyway."""
        ranges = [bounds.shim_width(one.slot_width) for one in bushings if one.slot_width is not None]
        for broach in broaches:
            widths = [one for one in (broach.keyway_width, broach.body_width) if one is not None]
            ranges += [bounds.shim_width_beside(max(widths))] if widths else []
        ranges.append(bounds.shim_width_for_keyway)
        places: set[int] = set()
        for low, high in ranges:
            places.update(range(*self.shims.span(low, high)))
        return (*(self.shims.pieces[at] for at in sorted(places)), *self.unmeasured_shims)
