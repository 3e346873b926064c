"""Jobs of one hub and many readings that need the same shims of one width, and offers of more of everything; seeded."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random

from broachplan.buying.coming import ComingJob
from broachplan.buying.offers import Between, Offer, OfferBook, OfferedPiece, Supplier
from broachplan.crib.ahead import Snapshot
from broachplan.lengths import Length, Limits
from broachplan.settings import Settings
from broachplan.tooling.measures import number_of
from broachplan.tooling.pieces import FIGURES, Piece, Shim
from tests.buying.shop import MONDAY, job, stock
from tests.planner.setups import SetUp, shim

_STEP_NM = 50_000


@dataclass(frozen=True)
class Scarce:
    """Jobs, a crib, what is offered, and the days that the jobs are on."""

    jobs: tuple[ComingJob, ...]
    crib: Snapshot
    book: OfferBook
    settings: Settings
    today: date
    days: int


def scarce(seed: int, jobs: int, days: int) -> Scarce:
    """The same for the same seed: six shims in the crib, eight offers of shims, and packs of broaches and bushings."""
    random, set_up = Random(seed), SetUp()
    crib = stock(broaches=3, bushings=3, sets=0)
    crib = replace(crib, shelf=replace(crib.shelf, shims=tuple(_shim(f"c{at}", random) for at in range(6))))
    broach, bushing = offered(set_up.broach), offered(set_up.bushing)
    offers = [
        Offer("bushing", (bushing,), 2300, 2, 8, "A"),
        Offer("bushings", (bushing,) * 3, 5500, 2, 2, "B"),
        Offer("broach", (broach,), 9000, 2, 8, "A"),
        Offer("broaches", (broach,) * 2, 16500, 2, 3, "B"),
    ]
    for at in range(8):
        pieces = (offered(_shim("x", random)),) * random.choice((1, 1, 2))
        supplier = random.choice(("A", "B", ""))
        offers.append(
            Offer(f"shim {at}", pieces, random.randrange(400, 1200), 2, random.choice((1, 2)), supplier)
        )
    book = OfferBook(tuple(offers), (Supplier("A", 500, 2000), Supplier("B", 900)), currency="USD")
    wanted = tuple(_job(at, days, random) for at in range(jobs))
    return Scarce(wanted, crib, book, set_up.settings, MONDAY, days)


def offered(piece: Piece) -> OfferedPiece:
    """A piece as it is offered: each figure exactly."""
    numbers = {each.name: number_of(getattr(piece, each.name)) for each in FIGURES[piece.kind]}
    return OfferedPiece.of(
        piece.kind, {name: Between(nm, nm) for name, nm in numbers.items() if nm is not None}
    )


def _shim(tag: str, random: Random) -> Shim:
    return shim(tag, Length(random.randrange(6, 28) * _STEP_NM))


def _job(at: int, days: int, random: Random) -> ComingJob:
    drawn, more = SetUp().keyway, Length(random.randrange(-8, 8) * _STEP_NM)
    limits = Limits(drawn.aim + more, drawn.reading.lower + more, drawn.reading.upper + more)
    keyway = replace(drawn, aim=limits.nominal, reading=limits)
    return job(f"W-{at + 1:02}", MONDAY + timedelta(days=14 + at % days), keyway=keyway)
