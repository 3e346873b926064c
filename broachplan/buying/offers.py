"""Offers: a price, a number available and one or more pieces without tag, some of whose figures have limits.

A figure with limits may have any value between them, and nobody knows which. Copies bought of one offer are different
pieces.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from broachplan.errors import InputError
from broachplan.money import read_currency
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import MAKERS
from broachplan.tooling.pieces import FIGURES, PIECES, Piece, figure_named

# No plan asks for a pin or a ring, and with no press in the crib no press rule applies: a first one could block a job.
OFFERED_KINDS = (Kind.BROACH, Kind.BUSHING, Kind.SHIM)
MOST_AVAILABLE = 99
LONGEST_LEAD = 999
MOST_PIECES = 1000


@dataclass(frozen=True, slots=True, order=True)
class Between:
    """All values that a figure may have, in the whole numbers that it is kept in; exact where the ends are equal."""

    lower: int
    upper: int

    def __post_init__(self) -> None:
        if self.lower > self.upper:
            raise ValueError("the lower end must not be above the upper end")

    @property
    def exact(self) -> bool:
        """Whether there is one value."""
        return self.lower == self.upper

    @property
    def middle(self) -> int:
        """The value in the middle, rounded down."""
        return (self.lower + self.upper) // 2

    @property
    def width(self) -> int:
        """The upper end less the lower end."""
        return self.upper - self.lower


@dataclass(frozen=True, slots=True)
class OfferedPiece:
    """A piece without tag: its kind, and each figure that the seller gives with all values that it may have.

    Whatever values it turns out to have, they are figures that such a piece can have.

    Raises
    ------
    FigureError : the figures cannot be those of a piece.
    """

    kind: Kind
    figures: tuple[tuple[str, Between], ...] = ()

    def __post_init__(self) -> None:
        if self.kind not in OFFERED_KINDS:
            raise InputError("kind", f"there are: {', '.join(OFFERED_KINDS)}", shown=self.kind)
        given = dict(self.figures)
        for ends in _worst(self.kind, given):
            _piece(self.kind, "x", ends)

    @classmethod
    def of(cls, kind: Kind, figures: Mapping[str, Between]) -> OfferedPiece:
        """The same of figures by name, in any order."""
        known = [figure.name for figure in FIGURES[kind]]
        return cls(kind, tuple((name, figures[name]) for name in known if name in figures))

    def span(self, name: str) -> Between | None:
        """The values that a figure may have; None where the seller does not give it."""
        return next((span for each, span in self.figures if each == name), None)

    @property
    def exact(self) -> bool:
        """Whether each figure that is given has one value."""
        return all(span.exact for _, span in self.figures)

    @property
    def not_given(self) -> tuple[str, ...]:
        """Names of the figures that a plan needs and the seller does not give."""
        given = dict(self.figures)
        return tuple(each.name for each in FIGURES[self.kind] if each.needed and each.name not in given)

    def piece(self, tag: str) -> Piece:
        """An ordinary piece of these figures, each in the middle of its limits."""
        return _piece(self.kind, tag, {name: span.middle for name, span in self.figures})

    def with_figure(self, name: str, span: Between) -> OfferedPiece:
        """The same with a figure put in place."""
        return OfferedPiece.of(self.kind, {**dict(self.figures), name: span})


@dataclass(frozen=True, slots=True)
class Offer:
    """What is sold together for one price (in hundredths), at most ``available`` times, ``lead_days`` after it is ordered.

    ``supplier`` is empty where none is named.

    Raises
    ------
    InputError : a figure of it is outside what an offer may have.
    """

    name: str
    pieces: tuple[OfferedPiece, ...]
    price: int
    lead_days: int
    available: int = 1
    supplier: str = ""

    def __post_init__(self) -> None:
        if not self.name:
            raise InputError("offer", "it must have a name")
        if not 1 <= len(self.pieces) <= MOST_PIECES:
            raise InputError("pieces", f"an offer has 1 to {MOST_PIECES} pieces", shown=len(self.pieces))
        if self.price < 0:
            raise InputError("price", "it must not be below zero", shown=self.price)
        if not 0 <= self.lead_days <= LONGEST_LEAD:
            raise InputError("lead_days", f"write 0 to {LONGEST_LEAD}", shown=self.lead_days)
        if not 0 <= self.available <= MOST_AVAILABLE:
            raise InputError("available", f"write 0 to {MOST_AVAILABLE}", shown=self.available)

    @property
    def not_given(self) -> tuple[tuple[Kind, str], ...]:
        """What to ask the seller: figures that a plan needs and the list does not give, each once."""
        asked = ((piece.kind, name) for piece in self.pieces for name in piece.not_given)
        return tuple(dict.fromkeys(asked))


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who sells: the shipping of one order and the least order, in hundredths."""

    name: str
    shipping: int = 0
    minimum: int = 0

    def __post_init__(self) -> None:
        if not self.name or self.shipping < 0 or self.minimum < 0:
            raise InputError("supplier", "it has a name, and amounts not below zero", shown=self.name)


@dataclass(frozen=True)
class OfferBook:
    """All offers of some lists, by name, in one currency; where there is no offer it may have none.

    Raises
    ------
    InputError : a name is there twice, a supplier is not among ``suppliers``, or the currency is no currency.
    """

    offers: tuple[Offer, ...] = ()
    suppliers: tuple[Supplier, ...] = ()
    currency: str = field(default="", kw_only=True)

    def __post_init__(self) -> None:
        if self.offers or self.currency:
            read_currency(self.currency, "currency")
        for what, names in (
            ("offer", [each.name for each in self.offers]),
            ("supplier", [each.name for each in self.suppliers]),
        ):
            if twice := [name for name, times in Counter(names).items() if times > 1]:
                raise InputError(what, "the name is there twice", shown=twice[0])
        for offer in self.offers:
            if offer.supplier and offer.supplier not in self.by_supplier:
                raise InputError("supplier", "it is not among the suppliers", shown=offer.supplier)

    @cached_property
    def by_name(self) -> Mapping[str, Offer]:
        """The offers by name."""
        return {offer.name: offer for offer in self.offers}

    @cached_property
    def by_supplier(self) -> Mapping[str, Supplier]:
        """The suppliers by name."""
        return {each.name: each for each in self.suppliers}


def _worst(kind: Kind, given: Mapping[str, Between]) -> Iterator[dict[str, int]]:
    """Values at which figures that must be in some order come nearest to it, and those in the middle."""
    yield {name: span.middle for name, span in given.items()}
    for figure in FIGURES[kind]:
        if figure.below and figure.name in given and figure.below in given:
            yield {figure.name: given[figure.name].upper, figure.below: given[figure.below].lower}
    # What the teeth and the front take together is most at the upper ends, the room for it least at the lower.
    if "overall_length" in given:
        most = {name: span.upper for name, span in given.items() if name in _ALONG_BROACH}
        yield {**most, "overall_length": given["overall_length"].lower}


_ALONG_BROACH = ("front_length", "tooth_pitch", "rising_teeth", "finishing_teeth")


def _piece(kind: Kind, tag: str, numbers: Mapping[str, int]) -> Piece:
    figures: dict[str, Any] = {
        name: MAKERS[figure_named(kind, name).quantity](number) for name, number in numbers.items()
    }
    return PIECES[kind](tag=tag, **figures)
