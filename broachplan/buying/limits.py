"""Pieces with limits in a crib: at which ends of their figures each rule is hardest, and easiest, to keep."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

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


@dataclass(frozen=True)
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
        return Length(self._margins.get((kind, name), 0))

    def broach(self, piece: Broach) -> LimitedBroach | None:
        """A broach as the rules see it at its worst."""
        if piece.tag not in self._broaches:
            self._broaches[piece.tag] = LimitedBroach.of(piece, self)
        return self._broaches[piece.tag]

    def bushing(self, piece: Bushing) -> LimitedBushing | None:
        """A bushing with all values that it may have."""
        if piece.tag not in self._bushings:
            self._bushings[piece.tag] = LimitedBushing.of(piece, self)
        return self._bushings[piece.tag]

    def pair(self, broach: Broach, bushing: Bushing) -> LimitedPair | None:
        """The two together; None where a figure is not known that a plan needs."""
        one, other = self.broach(broach), self.bushing(bushing)
        return None if one is None or other is None else LimitedPair.of(one, other)

    @cached_property
    def _broaches(self) -> dict[str, LimitedBroach | None]:
        return {}

    @cached_property
    def _bushings(self) -> dict[str, LimitedBushing | None]:
        return {}

    @cached_property
    def _margins(self) -> Mapping[tuple[Kind, str], int]:
        found: dict[tuple[Kind, str], int] = {}
        for piece in self.limits.values():
            for name, span in piece.figures:
                off = span.width - span.width // 2
                found[piece.kind, name] = max(off, found.get((piece.kind, name), 0))
        return found


NO_LIMITS = Trust()


@dataclass(frozen=True, slots=True)
class LimitedBroach:
    """A broach as the rules see it at its worst.

    ``widest`` and ``narrowest`` are where it cuts widest and narrowest, with both heights at their lower ends; ``weakest`` is it
    as a column and in the press. ``parts`` are all values of the wider of body and keyway width, ``more`` is by how much both
    heights may lie over their lower ends. ``even`` is False where it has limits that no order of passes is looked for under.
    """

    broach: Broach
    widest: Broach
    narrowest: Broach
    weakest: Broach
    width: Between
    parts: Between
    more: int
    even: bool

    @classmethod
    def of(cls, broach: Broach, trust: Trust) -> LimitedBroach | None:
        """The broach; None where a figure is not known that a plan needs."""
        first, last = (trust.span(broach, name) for name in HEIGHTS)
        width = trust.span(broach, "keyway_width")
        if first is None or last is None or width is None:
            return None
        body = trust.span(broach, "body_width") or width
        heights: Mapping[str, str] = dict.fromkeys(HEIGHTS, "lower")
        others = (trust.span(broach, name) for name in _NEVER_SURE)
        return cls(
            broach,
            at_ends(broach, {**heights, "keyway_width": "upper"}, trust),
            at_ends(broach, {**heights, "keyway_width": "lower"}, trust),
            at_ends(broach, {**heights, **_WEAKEST}, trust),
            width,
            Between(max(width.lower, body.lower), max(width.upper, body.upper)),
            min(first.width, last.width),
            first.width == last.width and all(span is None or span.exact for span in others),
        )

    def keeps_surely(self, case: Case) -> bool:
        """Whether the rules of a broach hold at both ends of every figure that they look at."""
        return self.even and all(broach_refusal(one, case) is None for one in (self.widest, self.narrowest))

    def may_keep(self, case: Case) -> bool:
        """Whether its width may be within the keyway's."""
        return _meets(self.width, case.bounds.width)

    def slots_surely(self, case: Case) -> Between | None:
        """The widths that a slot must lie within altogether."""
        low, high = self.parts.upper, self.parts.lower + case.bounds.slot_clearance.nm
        return Between(low, high) if low <= high else None

    def slots_maybe(self, case: Case) -> Between:
        """The widths of which a slot must be able to have one."""
        return Between(self.parts.lower, self.parts.upper + case.bounds.slot_clearance.nm)


@dataclass(frozen=True, slots=True)
class LimitedBushing:
    """A bushing with all values of the figures that no plan can do without."""

    bushing: Bushing
    outside_diameter: Between
    slot: Between
    web: Between

    @classmethod
    def of(cls, bushing: Bushing, trust: Trust) -> LimitedBushing | None:
        """The bushing; None where one of them is not known."""
        od, slot, web = (trust.span(bushing, name) for name in ("outside_diameter", "slot_width", "web"))
        return None if od is None or slot is None or web is None else cls(bushing, od, slot, web)

    def keeps_surely(self, case: Case) -> bool:
        """Whether it goes into the bore, and guides, at both ends of its diameter."""
        low, high = case.bounds.bushing_od
        return low.nm <= self.outside_diameter.lower and self.outside_diameter.upper <= high.nm

    def may_keep(self, case: Case) -> bool:
        """Whether it does at some diameter."""
        return _meets(self.outside_diameter, case.bounds.bushing_od)


@dataclass(frozen=True)
class LimitedPair:
    """A broach and a bushing of which one has limits.

    ``web`` are all values of the web, and of what both heights may be more: all that lies under the shims.
    """

    limited_broach: LimitedBroach
    limited_bushing: LimitedBushing
    web: Between

    @classmethod
    def of(cls, broach: LimitedBroach, bushing: LimitedBushing) -> LimitedPair:
        """The pair of the two."""
        return cls(broach, bushing, Between(bushing.web.lower, bushing.web.upper + broach.more))

    @property
    def broach(self) -> Broach:
        """The broach in the middle of its limits."""
        return self.limited_broach.broach

    @property
    def bushing(self) -> Bushing:
        """The bushing in the middle of its limits."""
        return self.limited_bushing.bushing

    @property
    def slot(self) -> Between:
        """All widths of the slot."""
        return self.limited_bushing.slot

    @property
    def even(self) -> bool:
        """Whether an order of passes is looked for that holds whatever the broach's figures are."""
        return self.limited_broach.even

    def go_together(self, case: Case) -> bool:
        """Whether bushing and slot fit at both ends of every figure that they are judged by; the broach alone is not looked at."""
        slots = self.limited_broach.slots_surely(case)
        return (
            slots is not None
            and slots.lower <= self.slot.lower
            and self.slot.upper <= slots.upper
            and self.limited_bushing.keeps_surely(case)
        )


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
