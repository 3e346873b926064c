"""What to buy: the lines of a basket, what it costs, which jobs it readies, and what it leaves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from types import MappingProxyType
from typing import NamedTuple

from broachplan.buying.limits import HowSure
from broachplan.buying.offers import Offer
from broachplan.buying.own_webs import OwnWebs
from broachplan.buying.verdicts import Verdict

Intervals = tuple[tuple[int, int], ...]


class BasketStatus(StrEnum):
    """What is known of a basket."""

    OPTIMAL = "optimal"
    NOTHING_NEEDED = "nothing_needed"
    IMPOSSIBLE = "impossible"
    NOT_PROVEN = "not_proven"


class Shipment(NamedTuple):
    """What a supplier takes beside the prices: shipping, and what its lines are short of its least order."""

    supplier: str
    amount: int
    short: int


class StillOut(NamedTuple):
    """A job that is not ready after, and why."""

    number: str
    text: str


class SellerQuestion(NamedTuple):
    """An offer that could not be judged, and the figures to ask its seller for, by their names.

    ``values`` are those with which it would do for a job that is not ready, in nm by figure, where that is known.
    """

    offer: str
    figures: tuple[str, ...]
    values: Mapping[str, Intervals] = MappingProxyType({})


class More(NamedTuple):
    """What so much more than the total would add: the numbers of further jobs."""

    amount: int
    adds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BasketLine:
    """So many of one offer, and the jobs that would not be ready with one fewer.

    ``values`` are the values, in nm by figure, with which a bought piece would do; only where that is not sure. ``likely_by``
    are the shop's own bushings that say which web is likely, ``shims_cut`` how many shims are cut to measure for its pieces.
    """

    offer: Offer
    quantity: int
    expected: date
    serves: tuple[str, ...] = ()
    certainty: HowSure = HowSure.SURE
    values: Mapping[str, Intervals] = field(default_factory=dict)
    likely_by: OwnWebs | None = None
    shims_cut: int = 0

    @property
    def amount(self) -> int:
        """The price of all of them, in hundredths."""
        return self.offer.price * self.quantity


@dataclass(frozen=True, slots=True)
class Basket:
    """The cheapest basket, amounts in hundredths.

    ``cutting`` is what shims that are cut to measure cost together. ``lower_bound`` is below what any basket as good can cost; only where it is not proven that none is cheaper.
    ``assignment_proven``: no other basket within the budget readies more jobs, or earlier ones.
    """

    status: BasketStatus
    currency: str
    total: int = 0
    lines: tuple[BasketLine, ...] = ()
    shipping: tuple[Shipment, ...] = ()
    after: tuple[tuple[str, Verdict], ...] = ()
    still: tuple[StillOut, ...] = ()
    not_judged: tuple[SellerQuestion, ...] = ()
    more: tuple[More, ...] = ()
    lower_bound: int | None = None
    assignment_proven: bool = True
    budget: int | None = None
    cutting: int = 0


@dataclass(frozen=True, slots=True)
class Found:
    """The units of each offer in a basket, and the jobs that it readies in the order of rank."""

    basket: Mapping[str, int]
    ready: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BasketOutcome:
    """What was found: a basket and the jobs that it readies.

    ``proven``: no other is better. Otherwise no basket that readies these jobs costs less than ``bound``; it is not proven
    either that no more jobs can be readied, unless ``ready_proven``.
    """

    found: Found
    proven: bool = True
    ready_proven: bool = True
    bound: int = 0
    more: tuple[More, ...] = ()
