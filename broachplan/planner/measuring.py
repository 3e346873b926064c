"""Pieces that would serve a hub if the figures that nobody has measured came out right: measuring costs least."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import islice
from typing import Any, TypeVar

from broachplan.crib.shelf import Beyond
from broachplan.errors import InputError
from broachplan.lengths import Length
from broachplan.planner.answer import Advice, Make, Try
from broachplan.planner.make import turned_for
from broachplan.planner.make_broach import RISES, figures_of_designs
from broachplan.planner.tried import TrialResult, try_hub
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim

_MOST_PIECES = 3
_MOST_TRIED = 4
_USUAL_TEETH = 20
_P = TypeVar("_P", bound=Piece)
Figures = Mapping[str, Length]


def pieces_to_measure(tried: TrialResult, make: tuple[Make, ...]) -> Iterator[Advice]:
    """Pieces that lack a figure that no plan can do without, and with some value of it there is a plan."""
    shelf = tried.asked.shelf
    found = (
        *(one for broach in _unmeasured(shelf.broaches, tried) if (one := _broach(broach, tried))),
        *(one for bushing in _unmeasured(shelf.bushings, tried) if (one := _bushing(bushing, tried))),
        *(one for shim in _unmeasured(shelf.shims, tried) if (one := _shim(shim, make, tried))),
    )
    yield from found[:_MOST_PIECES]


def _unmeasured(pieces: Iterable[_P], tried: TrialResult) -> list[_P]:
    """Pieces that lack a figure, and whose known figures do not keep them from serving."""
    return list(islice((one for one in pieces if one.missing and one.tag not in tried.case.off), _MOST_TRIED))


def _broach(broach: Broach, tried: TrialResult) -> Advice | None:
    if tried.choice is None:
        return None
    low, high = tried.case.bounds.width
    if broach.keyway_width is not None and not low <= broach.keyway_width <= high:
        return None
    for bushing in tried.bushings[:_MOST_TRIED]:
        for figures in (
            *_by_usual_rise(broach, tried),
            *figures_of_designs(bushing, tried.choice, tried.drawer, tried.case),
        ):
            filled = _filled(broach, figures)
            if filled is not None and _serves(tried, broaches=(filled,), bushings=(bushing,)):
                return _advice(broach, "")
    return None


def _by_usual_rise(broach: Broach, tried: TrialResult) -> Iterator[Figures]:
    """The other height of a broach of which one is known, by the rise of usual broaches."""
    first, last = broach.first_tooth_height, broach.last_tooth_height
    width = tried.case.keyway.width.nominal
    for rise in RISES[tried.case.hub.system]:
        span = rise * ((broach.rising_teeth or _USUAL_TEETH) - 1)
        if first is not None:
            yield {"keyway_width": width, "first_tooth_height": first, "last_tooth_height": first + span}
        elif last is not None:
            yield {"keyway_width": width, "first_tooth_height": last - span, "last_tooth_height": last}


def _bushing(bushing: Bushing, tried: TrialResult) -> Advice | None:
    low, high = tried.case.bounds.bushing_od
    if tried.choice is None:
        return None
    if bushing.outside_diameter is not None and not low <= bushing.outside_diameter <= high:
        return None
    for broach in tried.broaches[:_MOST_TRIED]:
        turned = turned_for(broach, tried, slot=bushing.slot_width)
        figures = (
            turned.best if turned else {"outside_diameter": high, "slot_width": broach.keyway_width or high}
        )
        filled = _filled(bushing, figures)
        if filled is not None and _serves(tried, broaches=(broach,), bushings=(filled,)):
            alone = turned if turned and _missing(bushing) == ["web"] else None
            return _advice(bushing, _if_within(alone, "web", tried))
    return None


def _shim(shim: Shim, make: tuple[Make, ...], tried: TrialResult) -> Advice | None:
    """A shim serves where one shim to cut would serve, and it may be of that thickness."""
    cut = [one for one in make if one.way == 1]
    if len(cut) != 1 or cut[0].kind is not Kind.SHIM:
        return None
    filled = _filled(shim, cut[0].best)
    if filled is None or not _serves(tried, shims=(*tried.asked.shelf.shims, replace(filled, tag=shim.tag))):
        return None
    alone = cut[0] if _missing(shim) == ["thickness"] else None
    return _advice(shim, _if_within(alone, "thickness", tried))


def _serves(tried: TrialResult, **pieces: Any) -> bool:
    """Whether there is a plan with these pieces in the place of all of their kinds."""
    shelf = replace(tried.asked.shelf, **pieces, broaches_beyond=Beyond(), bushings_beyond=Beyond())
    return bool(try_hub(replace(tried.asked, shelf=shelf)).begun)


def _filled(piece: _P, figures: Figures) -> _P | None:
    """The piece with those of the figures that it lacks; None where they do not go with the ones it has."""
    missing = _missing(piece)
    if not set(missing) <= figures.keys():
        return None
    try:
        known: dict[str, Any] = {name: figures[name] for name in missing}
        return replace(piece, **known)
    except InputError:
        return None


def _missing(piece: Piece) -> list[str]:
    return [
        figure.name for figure in piece.figures() if figure.needed and getattr(piece, figure.name) is None
    ]


def _if_within(make: Make | None, name: str, tried: TrialResult) -> str:
    if make is None:
        return ""
    least, most = (tried.case.words(limit) for limit in make.limits[name])
    return f"; it does with {least} to {most}"


def _advice(piece: Piece, more: str) -> Advice:
    lacking = [figure for figure in piece.figures() if figure.name in _missing(piece)]
    how = ", ".join(f"{figure.label} ({figure.how})" for figure in lacking)
    return Advice(Try.MEASURE, f"measure {piece.kind} {piece.tag}: {how}{more}", tags=(piece.tag,))
