"""A basket that does, found in turn: job by job the cheapest further offers. It is seldom the best, and always lawful."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from broachplan.buying.basket.deadline import OutOfTime
from broachplan.buying.basket.readiness import Readiness
from broachplan.buying.basket.result import Found

Units = Mapping[str, int]


def basket_in_turn(
    ready: Sequence[str], able: Sequence[str], readiness: Readiness, budget: int | None
) -> Found:
    """A basket within the budget that readies what is ready as things are, and some of the other jobs, as far as time allows.

    Parameters
    ----------
    ready : the jobs that are ready, ``able`` those that offers could ready, both in the order of rank.
    """
    basket: dict[str, int] = {}
    done = tuple(ready)
    try:
        for found in _in_turn(done, able, readiness, budget):
            basket, done = found
    except OutOfTime:
        return Found(basket, done)
    return Found(_without_needless(basket, done, readiness), done)


def _in_turn(
    done: tuple[str, ...], able: Sequence[str], readiness: Readiness, budget: int | None
) -> Iterator[tuple[dict[str, int], tuple[str, ...]]]:
    """Baskets, each of which readies one more job than the one before."""
    basket: dict[str, int] = {}
    for one in able:
        some = tuple(sorted((*done, one), key=lambda number: readiness.jobs[number].rank))
        if readiness.failing(some, basket) is not None:
            wider = _with(one, basket, readiness)
            if wider is None or (budget is not None and readiness.supply.cost(wider) > budget):
                continue
            if readiness.failing(some, wider) is not None:
                continue
            basket = wider
        done = some
        yield basket, done


def _with(number: str, basket: Units, readiness: Readiness) -> dict[str, int] | None:
    """The basket with what a job lacks by itself, at the least price that single pairs come to; None where nothing helps."""
    supply, job = readiness.supply, readiness.jobs[number]
    serving, off = supply.judge.serving(job), supply.judge.off(job)
    found: list[tuple[int, list[str]]] = []
    for fit in serving.fits:
        pieces = serving.pieces_of_plan(fit, off) if off.isdisjoint(fit.tags) else None
        if pieces is not None:
            units = {supply.stocked.tags[tag] for tag in pieces if tag in supply.stocked.tags}
            new = [unit.offer.name for unit in units if unit.number > basket.get(unit.offer.name, 0)]
            if fit.cut:
                new += {supply.cut_for(serving.asked, fit, supply.stocked).name} - basket.keys()
            found.append((sum(supply.offers[name].price for name in new), sorted(new)))
    if not found:
        return None
    wider = dict(basket)
    for name in min(found)[1]:
        wider[name] = wider.get(name, 0) + 1
    return wider


def _without_needless(basket: Units, ready: Sequence[str], readiness: Readiness) -> Units:
    """The basket without what none of the jobs needs, the dearest tried first."""
    offers, least = readiness.supply.offers, dict(basket)
    for name in sorted(basket, key=lambda each: (-offers[each].price, each)):
        while least.get(name):
            fewer = {**least, name: least[name] - 1}
            try:
                if readiness.failing(ready, fewer) is not None:
                    break
            except OutOfTime:
                return least
            least = {each: units for each, units in fewer.items() if units}
    return least
