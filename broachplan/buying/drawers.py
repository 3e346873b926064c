"""The shims of a crib by slot, and their totals: a few of them first, and all."""

from __future__ import annotations

from collections.abc import Container

from broachplan.buying.fitting import FittingPair
from broachplan.buying.piece_index import PieceIndex
from broachplan.planner.stacks import FewTotals, Totals, totals_of
from broachplan.tooling.pieces import Shim

# So many shims, spread over all that fit, are tried before the whole drawer.
_A_FEW = 10


class Drawers:
    """The shims of a crib by the place of a slot among their widths, and the totals that the exact ones make."""

    def __init__(self, index: PieceIndex, stack_most: int, limits: Container[str] = ()) -> None:
        self._shims = index.shims.pieces
        self._stack_most = stack_most
        self._limits = limits
        self._tags: dict[tuple[int, int], frozenset[str]] = {}
        self._few: dict[tuple[int, int, frozenset[str]], FewTotals] = {}
        self._all: dict[tuple[int, int, frozenset[str]], Totals] = {}

    def tags(self, fit: FittingPair) -> frozenset[str]:
        """The shims that fit the slot."""
        found = self._tags.get((fit.start, fit.end))
        if found is None:
            found = frozenset(shim.tag for shim in self._shims[fit.start : fit.end])
            self._tags[fit.start, fit.end] = found
        return found

    def pieces(self, fit: FittingPair) -> list[Shim]:
        """The same shims, the narrowest first."""
        return self._shims[fit.start : fit.end]

    def few(self, fit: FittingPair, off: frozenset[str], most_nm: int) -> Totals | None:
        """Totals of a few of the shims, at least up to ``most_nm``; None where that is no less than all of them."""
        if fit.end - fit.start <= _A_FEW:
            return None
        key = fit.start, fit.end, off
        found = self._few.get(key)
        if found is None or found.most_nm < most_nm:
            usable = sorted(self._usable(fit, off, most_nm), key=lambda one: (_thick(one), one.tag))
            if len(usable) <= _A_FEW:
                return None
            some = [usable[at * (len(usable) - 1) // (_A_FEW - 1)] for at in range(_A_FEW)]
            found = FewTotals(some, [_thick(one) for one in some], self._stack_most, most_nm)
            self._few[key] = found
        return found

    def all(self, fit: FittingPair, off: frozenset[str], most_nm: int) -> Totals:
        """Totals of all the shims that may be used, at least up to ``most_nm``."""
        key = fit.start, fit.end, off
        found = self._all.get(key)
        if found is None or found.most_nm < most_nm:
            found = totals_of(self._usable(fit, off, most_nm), self._stack_most, most_nm)
            self._all[key] = found
        return found

    def _usable(self, fit: FittingPair, off: frozenset[str], most_nm: int) -> list[Shim]:
        shims = self._shims[fit.start : fit.end]
        usable = [one for one in shims if one.tag not in off and _thick(one) <= most_nm]
        return [one for one in usable if one.tag not in self._limits] if self._limits else usable


def _thick(shim: Shim) -> int:
    assert shim.thickness is not None
    return shim.thickness.nm
