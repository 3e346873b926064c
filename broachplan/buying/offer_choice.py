"""Which lists of offers a station buys from, and what it leaves out of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OfferChoice:
    """As it was typed: the lists' paths, the offers taken out by name, the budget, and whether likely offers are admitted."""

    lists: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    budget: str = ""
    measure: bool = False
