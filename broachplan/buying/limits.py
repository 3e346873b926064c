"""Pieces with limits in a crib: at which ends of their figures each rule is hardest, and easiest, to keep."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from broachplan.buying.offers import Between, OfferedPiece
from broachplan.lengths import Length
from broachplan.planner.bounds import Bounds
from broachplan.planner.rules import Case, broach_refusal
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import MAKERS, number_of
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim, figure_named

# Figures of a broach for which no order of passes is looked for that holds whatever they are.
_NEVER_SURE = ("tooth_pitch", "rising_teeth", "finishing_teeth", "gullet_area")
# Both heights of a broach; where they have limits as wide as each other, they are taken to be off by the same.
HEIGHTS = ("first_tooth_height", "last_tooth_height")
# Where the broach is weakest as a column, and needs the tallest opening.
_WEAKEST: Mapping[str, str] = {
    "keyway_width": "lower",
    "body_width": "lower",
    "root_height": "lower",
    "overall_length": "upper",
    "front_length": "lower",
}


class HowSure(StrEnum):
    """How certain it is that a piece with limits serves, the most certain first.

    With ``SHIM`` it surely does once a shim is cut to measure for it; with ``MEASURE`` for some of its values; with
    ``LIKELY`` if its web is as those of like bushings of the crib.
    """

    SURE = "sure"
    SHIM = "shim"
    MEASURE = "measure"
    LIKELY = "likely"
    NO = "no"
    NOT_JUDGED = "not judged"


@dataclass(frozen=True, slots=True)
class CutTerms:
    """What a shim costs that the shop cuts to measure after receipt, in hundredths, and the days it takes."""

    cost: int
    days: int


@dataclass(frozen=True, slots=True)
class Trust:
    """How pieces with limits are counted on.

    Attributes
    ----------
    limits : the pieces that have any, by tag.
    measure : a pair also counts where it has a plan for some values and not for all.
    cut : the terms of a shim cut to measure; None: the shop cuts none.
    stood_in : tags of bushings whose web nobody gave and whose limits are those of like bushings of the crib.
    """

    limits: Mapping[str, OfferedPiece] = field(default_factory=dict)
    measure: bool = False
    cut: CutTerms | None = None
    stood_in: frozenset[str] = frozenset()

    def span(self, piece: Piece, name: str) -> Between | None:
        """The values that a figure of a piece may have; None where it is not known."""
        limited = self.limits.get(piece.tag)
        if limited is not None:
            return limited.span(name)
        number = number_of(getattr(piece, name))
        return None if number is None else Between(number, number)

    def has(self, piece: Piece) -> bool:
        """Whether a figure of a piece has limits."""
        return piece.tag in self.limits

    def margin(self, kind: Kind, name: str) -> Length:
        """By how much a figure of a kind of piece may lie off its middle, at most."""
        spans = (each.span(name) for each in self.limits.values() if each.kind is kind)
        return Length(max((span.width - span.width // 2 for span in spans if span), default=0))


NO_LIMITS = Trust()


@dataclass(frozen=True, slots=True)
class LimitedPair:
    """A broach and a bushing of which one has limits, as the rules see them at their worst.

    ``widest`` and ``narrowest`` are the broach where it cuts widest and narrowest, with both heights at their lower ends;
    ``weakest`` is the broach as a column and in the press. ``web`` are all values of the web, and of what both heights may be
    more: all that lies under the shims. ``slot`` is that of the bushing. ``even`` is False where the broach has limits that
    no order of passes is looked for under.
    """

    broach: Broach
    bushing: Bushing
    widest: Broach
    narrowest: Broach
    weakest: Broach
    web: Between
    slot: Between
    even: bool

    @classmethod
    def of(cls, broach: Broach, bushing: Bushing, trust: Trust) -> LimitedPair | None:
        """The pair; None where a figure is not known that a plan needs."""
        if broach.missing or bushing.missing:
            return None
        first, last = (trust.span(broach, name) for name in HEIGHTS)
        web, slot = trust.span(bushing, "web"), trust.span(bushing, "slot_width")
        assert first is not None
        assert last is not None
        assert web is not None
        assert slot is not None
        heights: Mapping[str, str] = dict.fromkeys(HEIGHTS, "lower")
        others = (trust.span(broach, name) for name in _NEVER_SURE)
        even = first.width == last.width and all(span is None or span.exact for span in others)
        return cls(
            broach,
            bushing,
            at_ends(broach, {**heights, "keyway_width": "upper"}, trust),
            at_ends(broach, {**heights, "keyway_width": "lower"}, trust),
            at_ends(broach, {**heights, **_WEAKEST}, trust),
            Between(web.lower, web.upper + min(first.width, last.width)),
            slot,
            even,
        )

    def fits_surely(self, case: Case, trust: Trust) -> bool:
        """Whether the rules on width, bushing and slot hold at both ends of every figure that they look at."""
        bounds, (least, most) = case.bounds, self.widest_parts(trust)
        od = trust.span(self.bushing, "outside_diameter")
        assert od is not None
        return (
            self.even
            and broach_refusal(self.widest, case) is None
            and broach_refusal(self.narrowest, case) is None
            and _inside(od, bounds.bushing_od)
            and self.slot.lower >= most
            and self.slot.upper <= least + bounds.slot_clearance.nm
        )

    def may_fit(self, case: Case, trust: Trust) -> bool:
        """Whether they hold for some values."""
        bounds, (least, most) = case.bounds, self.widest_parts(trust)
        od, width = trust.span(self.bushing, "outside_diameter"), trust.span(self.broach, "keyway_width")
        assert od is not None
        assert width is not None
        return (
            _meets(width, bounds.width)
            and _meets(od, bounds.bushing_od)
            and self.slot.upper >= least
            and self.slot.lower <= most + bounds.slot_clearance.nm
        )

    def widest_parts(self, trust: Trust) -> tuple[int, int]:
        """The least and the most that the wider of body and keyway width may be."""
        width, body = trust.span(self.broach, "keyway_width"), trust.span(self.broach, "body_width")
        assert width is not None
        body = body or width
        return max(width.lower, body.lower), max(width.upper, body.upper)


def at_ends(piece: Broach, ends: Mapping[str, str], trust: Trust) -> Broach:
    """A broach with some figures at an end of their limits (``lower`` or ``upper``), the others in the middle."""
    limited = trust.limits.get(piece.tag)
    if limited is None:
        return piece
    values = {}
    for name, span in limited.figures:
        number = getattr(span, ends[name]) if name in ends else span.middle
        values[name] = MAKERS[figure_named(Kind.BROACH, name).quantity](number)
    return Broach(tag=piece.tag, **values)  # type: ignore[arg-type]


def _inside(span: Between, limits: tuple[Length, Length]) -> bool:
    return limits[0].nm <= span.lower and span.upper <= limits[1].nm


def _meets(span: Between, limits: tuple[Length, Length]) -> bool:
    return span.lower <= limits[1].nm and limits[0].nm <= span.upper


def slot_cases(shims: Sequence[Shim], slot: Between, trust: Trust, bounds: Bounds) -> list[frozenset[str]]:
    """The shims that surely fit the slot, for each of the widths that it may have; cases with more than another has are left out.

    Which shims fit changes only where the slot comes to a shim's width, or passes that and the clearance.
    """
    clearance = bounds.shim_clearance.nm
    spans = [(shim.tag, span) for shim in shims if (span := trust.span(shim, "width")) is not None]
    points = {slot.lower, slot.upper}
    for _, span in spans:
        points |= {span.upper - 1, span.upper, span.lower + clearance, span.lower + clearance + 1}
    cases = {
        frozenset(tag for tag, span in spans if width - clearance <= span.lower and span.upper <= width)
        for width in points
        if slot.lower <= width <= slot.upper
    }
    return [case for case in cases if not any(other < case for other in cases)]
