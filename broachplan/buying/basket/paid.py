"""Who judges jobs by a crib beside a basket: a shim that is cut to measure counts only where it is paid for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from broachplan.buying.coming import ComingJob
from broachplan.buying.fitting import FittingPair
from broachplan.buying.limits import Trust
from broachplan.buying.offered import Stocked
from broachplan.buying.serving import NOTHING, Serving
from broachplan.buying.verdicts import Judge

if TYPE_CHECKING:
    from broachplan.buying.basket.supply import Supply


class PaidJudge(Judge):
    """A judge over a crib beside a basket.

    Parameters
    ----------
    paid : the basket, shims that are cut among it; None: every shim that can be cut in time is.
    """

    def __init__(self, stock: Stocked, trust: Trust, supply: Supply, paid: Mapping[str, int] | None) -> None:
        super().__init__(stock.crib, supply.settings, supply.today, supply.sharing, trust, supply.check)
        self._stock, self._supply, self._paid = stock, supply, paid
        self._not_paid: dict[Serving, frozenset[str]] = {}

    def off(
        self, job: ComingJob, days: tuple[date, ...] | None = None, *, loose: bool = False
    ) -> frozenset[str]:
        """The same, and the shims that nobody paid for."""
        self._supply.check()
        off = super().off(job, days, loose=loose)
        if self.trust.cut is None or self._paid is None:
            return off
        serving = self.serving(job)
        if serving not in self._not_paid:
            cuts = [fit for fit in serving.fits if fit.cut]
            paid = frozenset(self._paid_for(serving, cuts))
            self._not_paid[serving] = frozenset(fit.cut for fit in cuts) - paid
        return off | self._not_paid.get(serving, NOTHING)

    def _paid_for(self, serving: Serving, cuts: Sequence[FittingPair]) -> Iterator[str]:
        """Of the shims for alike pairs as many as are paid for, those for different pieces first."""
        assert self._paid is not None
        alike: dict[str, list[FittingPair]] = {}
        for fit in cuts:
            name = self._supply.cut_for(serving.asked, fit, self._stock).name
            alike.setdefault(name, []).append(fit)
        for name, some in alike.items():
            place: dict[str, int] = {}
            for side in (0, 1):
                place |= {tag: at for at, tag in enumerate(sorted({fit.tags[side] for fit in some}))}
            some.sort(key=lambda fit, at=place: (abs(at[fit.tags[0]] - at[fit.tags[1]]), fit.tags))  # type: ignore[misc]
            yield from (fit.cut for fit in some[: self._paid.get(name, 0)])
