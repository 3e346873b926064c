"""Small cribs with jobs and offers, and every basket there is, tried one by one.

Nothing here is shared with the basket but the value types: plans are those of the slow planner, which jobs go together is
tried by every choice of their ways, and costs are added up anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from functools import cached_property
from itertools import combinations, product
from math import prod

from broachplan.buying.coming import ComingJob
from broachplan.buying.offers import Between, Offer, OfferBook, OfferedPiece, Supplier
from broachplan.crib.ahead import Snapshot
from broachplan.crib.shelf import Shelf
from broachplan.tooling.measures import number_of
from broachplan.tooling.pieces import FIGURES, Broach, Bushing, Piece, Shim
from tests.referee.brute_force import Question, possible
from tests.referee.choices import Seeded, rare
from tests.referee.shared_days import MONDAY, Case, case, lawful, ways_of

TODAY = MONDAY - timedelta(days=3)
MOST_POOL_SHIMS = 5
MOST_BASKETS = 1 << 12
Units = Mapping[str, int]


@dataclass(frozen=True)
class Offering:
    """Jobs, a crib and a list of offers; ``pieces`` are those of one unit of an offer."""

    jobs: tuple[ComingJob, ...]
    crib: Snapshot
    pieces: Mapping[str, tuple[Piece, ...]]
    book: OfferBook
    case: Case = field(repr=False)
    known: dict[object, tuple[str, ...]] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def pool(self) -> dict[tuple[str, int], tuple[Piece, ...]]:
        """The pieces of each unit that can be bought, with tags of their own."""
        return {
            (offer.name, unit): tuple(
                replace(piece, tag=f"{offer.name}-{unit}-{at}")
                for at, piece in enumerate(self.pieces[offer.name], 1)
            )
            for offer in self.book.offers
            for unit in range(1, offer.available + 1)
        }

    @cached_property
    def alike(self) -> dict[str, int]:
        """A number for each tag, the same for pieces of the same figures that are there on the same days."""
        crib, classes, found = self.crib.shelf, {}, {}
        there = [(one, 0) for one in (*crib.broaches, *crib.bushings, *crib.shims)]
        for (name, _), pieces in self.pool.items():
            there += [(one, 1 + self.book.by_name[name].lead_days) for one in pieces]
        for piece, comes in there:
            own = piece.tag if piece.tag in self.crib.states else ""
            found[piece.tag] = classes.setdefault((replace(piece, tag="x"), comes, own), len(classes))
        return found

    @cached_property
    def ways(self) -> dict[str, list[frozenset[str]]]:
        """For each job every set of pieces that cuts it, with all that is offered in time."""
        return {job.number: list(self._ways(job)) for job in self.jobs}

    def _ways(self, job: ComingJob) -> Iterator[frozenset[str]]:
        crib = self.crib.shelf
        days = {offer.name: TODAY + timedelta(days=offer.lead_days) for offer in self.book.offers}
        bought = [one for key, some in self.pool.items() if days[key[0]] < job.days[0] for one in some]
        shelf = replace(
            crib,
            broaches=(*crib.broaches, *(one for one in bought if isinstance(one, Broach))),
            bushings=(*crib.bushings, *(one for one in bought if isinstance(one, Bushing))),
            shims=(*crib.shims, *(one for one in bought if isinstance(one, Shim))),
        )
        of = replace(self.case, crib=replace(self.crib, shelf=shelf))
        if any(each.after for each in self.jobs):
            # Who uses a piece can join others to it, so each set of shims counts that some plan uses.
            yield from {way.tags for way in ways_of(job, of, others_join=True)}
            return
        yield from _fewest(job, of)


def _fewest(job: ComingJob, of: Case) -> Iterator[frozenset[str]]:
    """The smallest sets of pieces that cut a job: more of them cut it too."""
    there = _there(job, of)
    if there is None:
        return
    # Pairs that are alike in every figure do with the same shims.
    known: dict[tuple[Piece, Piece], list[frozenset[str]]] = {}
    for broach, bushing in product(there.broaches, there.bushings):
        key = replace(broach, tag="B"), replace(bushing, tag="G")
        if key not in known:
            shelf = there.only(broach.tag, bushing.tag)
            known[key] = _fewest_shims(Question(job.hub, job.keyway, shelf, of.settings, job.press))
        yield from (frozenset((broach.tag, bushing.tag, *tags)) for tags in known[key])


def _fewest_shims(question: Question) -> list[frozenset[str]]:
    if not possible(question):
        return []
    found: list[frozenset[str]] = []
    shims = question.shelf.shims
    for some in (each for count in range(len(shims) + 1) for each in combinations(shims, count)):
        tags = frozenset(one.tag for one in some)
        if any(one <= tags for one in found):
            continue
        if possible(replace(question, shelf=replace(question.shelf, shims=some))):
            found.append(tags)
    return found


def _there(job: ComingJob, of: Case) -> Shelf | None:
    """What is on the shelf on a job's days, by the rule of the model."""
    off = {
        tag
        for tag, state in of.crib.states.items()
        if state.condition != "fit"
        or any(state.held.get(day, job.number) != job.number for day in job.days)
        or ((state.loan or state.ordered) and MONDAY in job.days)
    }
    stock = of.crib.shelf
    presses = tuple(press for press in stock.presses if press.tag not in off)
    named = not job.press or job.press in {press.tag for press in presses}
    if (stock.presses and not presses) or not named:
        return None
    return replace(
        stock,
        broaches=tuple(one for one in stock.broaches if one.tag not in off),
        bushings=tuple(one for one in stock.bushings if one.tag not in off),
        shims=tuple(one for one in stock.shims if one.tag not in off),
        presses=presses,
    )


# -- every basket ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Best:
    """The best of all baskets, what it costs, and the jobs that it readies in the order of rank."""

    basket: dict[str, int]
    cost: int
    ready: tuple[str, ...]


def baskets(of: Offering) -> Iterator[dict[str, int]]:
    """Every basket: each offer none to all that are available."""
    offers = of.book.offers
    for units in product(*(range(offer.available + 1) for offer in offers)):
        yield {offer.name: unit for offer, unit in zip(offers, units, strict=True) if unit}


def best_basket(of: Offering, budget: int | None = None) -> Best:
    """The best value that is within the budget; then the cheapest, fewest, soonest, and first by name."""
    ranked = [job.number for job in sorted(of.jobs, key=lambda job: job.rank)]

    def value(basket: dict[str, int]) -> tuple[object, ...]:
        ready = ready_with(of, basket)
        return (-len(ready), [number not in ready for number in ranked])

    def ties(basket: dict[str, int]) -> tuple[object, ...]:
        leads = [of.book.by_name[name].lead_days for name in basket]
        return (
            sum(basket.values()),
            max(leads, default=0),
            sorted(name for name, units in basket.items() for _ in range(units)),
        )

    # More pieces allow every choice that fewer do, so no basket is worth more than all that is offered.
    most = value({offer.name: offer.available for offer in of.book.offers if offer.available})
    within = [
        (cost_of(of.book, one), one)
        for one in baskets(of)
        if budget is None or cost_of(of.book, one) <= budget
    ]
    within.sort(key=lambda one: one[0])
    enough = next((cost for cost, one in within if value(one) == most), None)
    # What costs more than the first that is worth as much is no better.
    tried = (one for one in within if enough is None or one[0] <= enough)
    cost, best = min(tried, key=lambda one: (value(one[1]), one[0], ties(one[1])))
    return Best(best, cost, ready_with(of, best))


def cost_of(book: OfferBook, basket: Units) -> int:
    """Prices, and for each supplier bought from its shipping and what is lacking to its least order."""
    total = 0
    for supplier in (*book.suppliers, None):
        name = supplier.name if supplier else ""
        lines = [
            (book.by_name[offer].price, units)
            for offer, units in basket.items()
            if book.by_name[offer].supplier == name
        ]
        spent = sum(price * units for price, units in lines)
        total += max(spent, supplier.minimum) + supplier.shipping if supplier and lines else spent
    return total


def ready_with(of: Offering, basket: Units) -> tuple[str, ...]:
    """The best ready set on the crib and a basket, in the order of rank."""
    crib = of.crib.shelf
    tags = {one.tag for one in (*crib.broaches, *crib.bushings, *crib.shims)}
    for (name, unit), pieces in of.pool.items():
        if unit <= basket.get(name, 0):
            tags |= {piece.tag for piece in pieces}
    ranked = [job.number for job in sorted(of.jobs, key=lambda job: job.rank)]
    ways = {number: [way for way in of.ways[number] if way <= tags] for number in ranked}
    able = [number for number in ranked if ways[number]]
    # Only the pieces of some way decide, and alike baskets hold the same of them.
    key = tuple((number, tuple(ways[number])) for number in ranked)
    if key not in of.known:
        of.known[key] = _best_set(able, ways, of)
    return of.known[key]


def _best_set(able: Sequence[str], ways: Mapping[str, list[frozenset[str]]], of: Offering) -> tuple[str, ...]:
    for size in range(len(able), -1, -1):
        for some in combinations(able, size):
            if _together(some, ways, {}, of, set()):
                return some
    raise AssertionError("no job at all is always ready")


def _together(
    some: Sequence[str],
    ways: Mapping[str, list[frozenset[str]]],
    taken: dict[str, frozenset[str]],
    of: Offering,
    failed: set[object],
) -> bool:
    """Whether some jobs can be cut beside those that have ``taken`` theirs; ``failed`` holds what was found not to do."""
    if not some:
        return lawful(taken, of.case)
    one, *later = some
    if any(job.after for job in of.jobs):
        # With marks it depends on all that use a piece, so every choice is tried.
        return any(_together(later, ways, taken | {one: way}, of, failed) for way in ways[one])
    # Without marks no two jobs of one day may use a piece, and only how many alike ones are taken matters.
    near = {number: _near(number, taken, of) for number in some}
    barred = frozenset().union(*near.values())
    seen = ((of.alike[tag], tuple(number for number in some if tag in near[number])) for tag in barred)
    key = tuple(some), tuple(sorted(seen))
    if key in failed:
        return False
    found = any(
        way.isdisjoint(near[one]) and _together(later, ways, taken | {one: way}, of, failed)
        for way in ways[one]
    )
    if not found:
        failed.add(key)
    return found


def _near(number: str, taken: Mapping[str, frozenset[str]], of: Offering) -> frozenset[str]:
    """What is taken on a job's days."""
    days = {job.number: set(job.days) for job in of.jobs}
    return frozenset().union(*(tags for other, tags in taken.items() if days[number] & days[other]))


# -- random offers ---------------------------------------------------------------------------------------------


def offering(number: int, most_offers: int = 6) -> Offering:
    """The same jobs, crib and offers for the same number: pieces taken from the crib and offered, alone and in sets."""
    choose = Seeded(f"baskets {number}")
    of = case(number, None if rare(choose, 4) else 10**9)
    shelf = of.crib.shelf
    pieces = (*shelf.broaches, *shelf.bushings, *shelf.shims)
    sold = choose.order([one for one in pieces if not one.missing and not rare(choose, 3)])
    kept = {one.tag for one in pieces} - {one.tag for one in sold if not rare(choose, 4)}
    crib = replace(
        of.crib,
        shelf=replace(
            shelf,
            broaches=tuple(one for one in shelf.broaches if one.tag in kept),
            bushings=tuple(one for one in shelf.bushings if one.tag in kept),
            shims=tuple(one for one in shelf.shims if one.tag in kept),
        ),
        states={
            tag: state
            for tag, state in of.crib.states.items()
            if tag in kept or tag not in {p.tag for p in pieces}
        },
    )
    suppliers = (
        Supplier("Reed", choose.of((0, 300, 500)), choose.of((0, 2000))),
        Supplier("Moss", choose.of((0, 400)), choose.of((0, 0, 1500))),
    )
    offers, contents = [], {}
    for at in range(most_offers if sold else 0):
        name = choose.of(("b", "B", "S-", "a")) + str(at)
        some = [sold[at % len(sold)], *(choose.of(sold) for _ in range(choose.of((0, 0, 0, 1, 2))))]
        if rare(choose, 5):
            some = [some[0]] * 2
        there = [
            one
            for one in (*crib.shelf.shims, *(p for each in contents.values() for p in each[0] * each[1]))
            if isinstance(one, Shim)
        ]
        available = choose.of((1, 1, 1, 2, 2, 0))
        too_many = prod(units + 1 for _, units in contents.values()) * (available + 1) > MOST_BASKETS
        if len(there) + available * sum(isinstance(one, Shim) for one in some) > MOST_POOL_SHIMS or too_many:
            continue
        contents[name] = tuple(some), available
        offers.append(
            Offer(
                name,
                tuple(offered(one) for one in some),
                choose.of((500, 700, 1000, 1000, 1200)),
                choose.of((0, 1, 1, 2, 2, 3)),
                available,
                choose.of(("Reed", "Moss", "")),
            )
        )
    book = OfferBook(tuple(offers), suppliers, currency="USD")
    return Offering(
        of.jobs, crib, {name: some for name, (some, _) in contents.items()}, book, replace(of, crib=crib)
    )


def offered(piece: Piece) -> OfferedPiece:
    """A piece as it is offered: each figure exactly."""
    figures = {each.name: number_of(getattr(piece, each.name)) for each in FIGURES[piece.kind]}
    return OfferedPiece.of(
        piece.kind, {name: Between(number, number) for name, number in figures.items() if number is not None}
    )
