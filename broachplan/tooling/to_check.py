"""What is measured on a piece only to check its figures with, and not kept."""

from __future__ import annotations

from broachplan.tooling import seen
from broachplan.tooling.figures import Figure, Kind, Quantity
from broachplan.tooling.pieces import FIGURES
from broachplan.tooling.taking import Taking, Touch

SLOT_DEPTH = Figure(
    "slot_depth",
    Quantity.LENGTH,
    "slot depth",
    "depth gauge laid across the slot's mouth, its rod on the slot floor; or from the round, as a drawing gives it",
    taken=Taking(
        seen.BUSHING_END,
        Touch.ACROSS,
        "rule laid across the slot's mouth",
        "slot floor",
        "It only checks the web: outside diameter less slot depth.",
    ),
)
TO_CHECK: dict[Kind, tuple[Figure, ...]] = {
    kind: (SLOT_DEPTH,) if kind is Kind.BUSHING else () for kind in Kind
}


def figure_to_take(kind: Kind | None, name: str) -> Figure | None:
    """What of a kind is taken under this name, kept or not; None where it is no figure."""
    figures = (*FIGURES[kind], *TO_CHECK[kind]) if kind else ()
    return next((figure for figure in figures if figure.name == name), None)
