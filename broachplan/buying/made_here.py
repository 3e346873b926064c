"""What the shop can make itself for jobs that are not ready, as offers like those of a seller."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from broachplan.buying.assignment import Assignment, Judged
from broachplan.buying.offers import MOST_AVAILABLE, Between, Offer, OfferBook, OfferedPiece
from broachplan.buying.serving import NOTHING
from broachplan.buying.verdicts import Judge, Verdict
from broachplan.lengths import Length, Units, show
from broachplan.planner.advice import advise
from broachplan.planner.answer import Make
from broachplan.planner.tried import try_hub
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES

_CALLED_BY = {
    Kind.BUSHING: ("outside_diameter", "slot_width", "web"),
    Kind.SHIM: ("thickness", "width"),
}


def made_here(
    assignment: Assignment, judge: Judge, settings: Settings, left: Callable[[], float] = lambda: 1.0
) -> tuple[Offer, ...]:
    """One offer for each piece that would be made for the hub of a job that is not ready, at its best figures.

    For a job that clashes it is what would be made if the ready jobs that it meets kept their pieces. As many can be made as
    there are jobs of such hubs. ``judge`` knows no offers. None are offered of a kind whose cost and days the shop has not
    set. Once no time is ``left``, in seconds, no further hub is looked at.
    """
    terms = _terms(settings)
    if not terms:
        return ()
    pieces = {one.job.number: one.pieces for one in assignment.judged}
    asked: dict[object, list[Judged]] = {}
    for one in assignment.judged:
        if one.verdict is not Verdict.READY and one.job.holds is None:
            serving = judge.serving(one.job)
            taken = NOTHING.union(*(pieces[number] for number in one.clashes_with)) & serving.pieces
            asked.setdefault((serving, judge.off(one.job) | taken), []).append(one)
    wanted: dict[OfferedPiece, int] = {}
    for alike in asked.values():
        if left() <= 0:
            break
        taken = NOTHING.union(*(pieces[number] for number in alike[0].clashes_with))
        for made in _makes(judge, alike[0], taken):
            if made.kind in terms:
                piece = _best(made.kind, made.best)
                wanted[piece] = wanted.get(piece, 0) + len(alike)
    return tuple(_offer(piece, jobs, *terms[piece.kind], settings.shown_in) for piece, jobs in wanted.items())


def with_made_here(book: OfferBook, offers: Iterable[Offer]) -> OfferBook:
    """A book with what the shop makes itself; a name that is there already gets a mark behind it."""
    found, names = [], set(book.by_name)
    for offer in offers:
        name = offer.name
        while name in names:
            name += " *"
        names.add(name)
        found.append(replace(offer, name=name))
    return replace(book, offers=(*book.offers, *found))


def _terms(settings: Settings) -> Mapping[Kind, tuple[int, int]]:
    """Cost and days of each kind that the shop makes."""
    both = {
        Kind.BUSHING: (settings.make_bushing_cost, settings.make_bushing_days),
        Kind.SHIM: (settings.make_shim_cost, settings.make_shim_days),
    }
    return {
        kind: (cost, days) for kind, (cost, days) in both.items() if cost is not None and days is not None
    }


def _makes(judge: Judge, one: Judged, taken: frozenset[str]) -> tuple[Make, ...]:
    tried = try_hub(judge.trial(one.job, taken))
    if tried.hub_refused or tried.begun:
        return ()
    _, make = advise(tried)
    return make


def _best(kind: Kind, figures: Mapping[str, Length]) -> OfferedPiece:
    return OfferedPiece.of(kind, {name: Between(size.nm, size.nm) for name, size in figures.items()})


def _offer(piece: OfferedPiece, jobs: int, cost: int, days: int, units: Units) -> Offer:
    labels = {figure.name: figure.label for figure in FIGURES[piece.kind]}
    sizes = ((labels[name], piece.span(name)) for name in _CALLED_BY[piece.kind])
    called = ", ".join(f"{label} {show(Length(span.lower), units)}" for label, span in sizes if span)
    return Offer(f"made here: {piece.kind}, {called}", (piece,), cost, days, min(jobs, MOST_AVAILABLE))
