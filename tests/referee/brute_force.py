"""Every plan there is, tried one by one: slow, plain, and written independently of the planner.

Nothing here is shared with the planner but the value types. Lengths are nanometres as integers or
fractions, areas and forces are floats in mm2 and newtons. For small cribs only.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations
from math import inf, pi, sqrt

from broachplan.crib.shelf import Shelf
from broachplan.keyways.keyway import Keyway
from broachplan.settings import Settings
from broachplan.standards.named import Shape
from broachplan.tooling.hub import BoreForm, Hub
from broachplan.tooling.materials import Group
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim
from tests.referee.bore_metal import Number, at_or_below_first_metal, metal_area
from tests.referee.metal_read import Read, ends_at

NM_PER_MM = 1_000_000
YOUNG_N_MM2 = 207_000
CRUSH_N_MM2 = 2000 / 3
MOST_PASSES = 12
# No force is known: after all forces that are.
UNKNOWN = inf

Key = tuple[int, int, float, int, tuple[int, ...], Number, tuple[object, ...]]


@dataclass(frozen=True)
class Question:
    """All that a plan is asked with."""

    hub: Hub
    keyway: Keyway
    shelf: Shelf
    settings: Settings
    press: str | None = None
    read: Read | None = None


@dataclass(frozen=True)
class Best:
    """The best plan of one broach in one bushing; ``key`` holds the seven criteria in order, smaller is better."""

    broach: str
    bushing: str
    press: str | None
    totals: tuple[int, ...]
    stacks: tuple[tuple[str, ...], ...]
    key: Key


@dataclass
class Search:
    """The question, rules left out on purpose, and a count of how often each rule was broken on the way."""

    question: Question
    without: frozenset[str] = frozenset()
    broken: Counter[str] = field(default_factory=Counter)

    def holds(self, rule: str, kept: bool) -> bool:
        """Whether ``rule`` lets pass what it looked at."""
        if not kept:
            self.broken[rule] += 1
        return kept or rule in self.without


def best_plans(question: Question, without: frozenset[str] = frozenset()) -> list[Best]:
    """The best plan of every pair that has one, the best of all first."""
    return search(question, without)[0]


def search(question: Question, without: frozenset[str] = frozenset()) -> tuple[list[Best], Counter[str]]:
    """`best_plans` and how often each rule was broken on the way to them."""
    tried = Search(question, without)
    found = [pair.best() for pair in _pairs(tried)]
    return sorted((best for best in found if best), key=lambda best: best.key), tried.broken


def possible(question: Question) -> bool:
    """Whether any pair has any plan."""
    return any(pair.ends(pair.stacks()) for pair in _pairs(Search(question)))


def force_and_column(question: Question, before: int | None, total: int) -> tuple[float, float, bool] | None:
    """Of one pass of the first pair that fits: peaks of both forces, and whether the column holds; None where not known."""
    pair = next(_pairs(Search(question)), None)
    return pair.load(before, total) if pair is not None and pair.loaded else None


def _pairs(tried: Search) -> Iterator[_Pair]:
    """Every pair that breaks no rule before its passes are looked at."""
    hub, keyway, shelf = tried.question.hub, tried.question.keyway, tried.question.shelf
    through = tried.holds("through", hub.bore_form is not BoreForm.BLIND)
    parallel = tried.holds("taper", hub.bore_form is not BoreForm.TAPERED and keyway.shape is not Shape.TAPER)
    if not (through and parallel):
        return
    for broach in filter(lambda piece: _broach_will_do(tried, piece), shelf.broaches):
        for bushing in filter(lambda piece: _bushing_will_do(tried, piece), shelf.bushings):
            if _slot_will_do(tried, broach, bushing):
                yield _Pair(tried, broach, bushing)


def fit_alone(question: Question) -> tuple[set[str], set[str]]:
    """Tags of the broaches and of the bushings that break no rule by themselves."""
    tried = Search(question)
    return (
        {piece.tag for piece in question.shelf.broaches if _broach_will_do(tried, piece)},
        {piece.tag for piece in question.shelf.bushings if _bushing_will_do(tried, piece)},
    )


def _on_shelf(tried: Search, tag: str) -> bool:
    return tried.holds("on_shelf", tag not in tried.question.shelf.off)


def _known(tried: Search, *figures: object) -> bool:
    """A missing figure stops a piece whatever rules are left out: there is nothing to reckon with."""
    if None in figures:
        tried.broken["not_measured"] += 1
        return False
    return True


def _broach_will_do(tried: Search, broach: Broach) -> bool:
    hub, keyway, settings = tried.question.hub, tried.question.keyway, tried.question.settings
    if not _known(
        tried,
        broach.keyway_width,
        broach.first_tooth_height,
        broach.last_tooth_height,
    ):
        return False
    engages = rooms = True
    length = hub.length.nm * hub.stack
    brittle = hub.material is not None and hub.material.group is Group.BRITTLE
    factor = settings.chip_factor_brittle if brittle else settings.chip_factor_ductile
    if broach.tooth_pitch:
        pitch = broach.tooth_pitch.nm
        engages = length >= 2 * pitch
        if broach.rising_teeth:
            gullet = broach.gullet_area.nm2 if broach.gullet_area else Fraction(pitch**2, 9)
            rooms = length * _rise(broach) <= gullet / factor
    width = keyway.width.lower <= broach.keyway_width <= keyway.width.upper
    return (
        _on_shelf(tried, broach.tag)
        & tried.holds("width", width)
        & (broach.keyway_width < hub.bore.lower)
        & tried.holds("engagement", engages)
        & tried.holds("chip_room", rooms)
    )


def _bushing_will_do(tried: Search, bushing: Bushing) -> bool:
    if not _known(tried, bushing.outside_diameter, bushing.slot_width, bushing.web):
        return False
    under = tried.question.hub.bore.lower.nm - bushing.outside_diameter.nm
    fits = 0 <= under <= tried.question.settings.bushing_clearance.nm
    return _on_shelf(tried, bushing.tag) & tried.holds("bushing_fit", fits)


def _slot_will_do(tried: Search, broach: Broach, bushing: Bushing) -> bool:
    widths = [width.nm for width in (broach.body_width, broach.keyway_width) if width]
    room = bushing.slot_width.nm - max(widths)
    return tried.holds("slot_fit", 0 <= room <= tried.question.settings.slot_clearance.nm)


def _rise(broach: Broach) -> Fraction:
    """The rise a tooth; nothing to count on where nobody counted the teeth."""
    if not broach.rising_teeth:
        return Fraction(0)
    return Fraction(broach.last_tooth_height.nm - broach.first_tooth_height.nm, broach.rising_teeth - 1)


class _Pair:
    """One broach in one bushing: its stacks, its presses, and every order of passes."""

    def __init__(self, tried: Search, broach: Broach, bushing: Bushing) -> None:
        self.tried, self.broach, self.bushing = tried, broach, bushing
        hub = tried.question.hub
        self.ends_read = ends_at(tried.question.read, broach, bushing)
        self.rise = _rise(broach)
        self.first, self.last = broach.first_tooth_height.nm, broach.last_tooth_height.nm
        self.web, self.width, self.bore = bushing.web.nm, broach.keyway_width.nm, hub.bore.lower.nm
        self.longest_step = self.last - self.first + self.rise // 1  # totals are whole nanometres
        self.loaded = None not in (hub.material, broach.rising_teeth, broach.tooth_pitch)
        if self.loaded:
            self.teeth = broach.rising_teeth + (broach.finishing_teeth or 0)
            whole, rest = divmod(hub.length.nm * hub.stack, broach.tooth_pitch.nm)
            self.at_once = whole + (1 if rest else 0)
            self.bears = [self._column(tooth) for tooth in range(self.teeth)]
        self.presses = list(self._presses())
        self._forces: dict[tuple[int | None, int], tuple[float, float, bool]] = {}
        self._runs: dict[tuple[int | None, int], bool] = {}

    def best(self) -> Best | None:
        """Fewest passes come first among the criteria, so the first number of passes with any plan is enough."""
        stacks = self.stacks()
        ends = self.ends(stacks)
        if not ends:
            return None
        for passes in range(1, MOST_PASSES + 1):
            plans = [
                self._plan(totals, stacks) for totals in self._orders(passes, stacks) if totals[-1] in ends
            ]
            if plans:
                return min(plans, key=lambda plan: plan.key)
        raise AssertionError(f"this crib needs more than {MOST_PASSES} passes: too large for brute force")

    def ends(self, stacks: dict[int, tuple[str, ...]]) -> set[int]:
        """Totals that a plan may end on."""
        if self.tried.question.shelf.presses and not self.presses:
            return set()
        return {total for total in self._reached(stacks) if self._reads_right(total)}

    def stacks(self) -> dict[int, tuple[str, ...]]:
        """Each total with the stack that makes it: fewest shims, then the smallest sorted list of tags."""
        shims = [shim for shim in self.tried.question.shelf.shims if self._shim_will_do(shim)]
        made: dict[int, tuple[str, ...]] = {}
        for count in range(min(self.tried.question.settings.stack_most, len(shims)) + 1):
            for stack in combinations(shims, count):
                total = sum(shim.thickness.nm for shim in stack)
                tags = tuple(sorted(shim.tag for shim in stack))
                if total not in made or (len(tags), tags) < (len(made[total]), made[total]):
                    made[total] = tags
        return made

    def _shim_will_do(self, shim: Shim) -> bool:
        if not _known(self.tried, shim.thickness, shim.width):
            return False
        room = self.bushing.slot_width.nm - shim.width.nm
        fits = 0 <= room <= self.tried.question.settings.shim_clearance.nm
        return _on_shelf(self.tried, shim.tag) & self.tried.holds("shim_fit", fits)

    def _presses(self) -> Iterator[Press]:
        """Presses that keep the rules of length, smallest rated force first; those without one where all are."""
        with_room = list(self._with_room())
        yield from [press for press in with_room if press.rated_force] or with_room

    def _with_room(self) -> Iterator[Press]:
        named, hub, tried = self.tried.question.press, self.tried.question.hub, self.tried
        front, overall = self.broach.front_length, self.broach.overall_length
        for press in sorted(self.tried.question.shelf.presses, key=_press_order):
            if named is not None and press.tag != named:
                continue
            if not _on_shelf(tried, press.tag):
                continue
            opens = deep = True
            if None not in (press.opening, front, overall):
                tall = hub.length.nm * hub.stack + overall.nm - front.nm
                opens = press.opening.nm >= tall + tried.question.settings.support_height.nm
            if press.throat is not None and hub.outside_diameter is not None:
                deep = 2 * press.throat.nm >= hub.outside_diameter.nm
            if tried.holds("opening", opens) & tried.holds("throat", deep):
                yield press

    def _reads_right(self, total: int) -> bool:
        limits, plain = self.tried.question.keyway.reading, self.web + total + self.last
        within = [limits.lower.nm <= plain + end.offset <= limits.upper.nm for end in self.ends_read]
        return self.tried.holds("reading", all(within))

    def _reached(self, stacks: dict[int, tuple[str, ...]]) -> set[int]:
        """Totals that some order of passes ends on, each pass of it obeying the rules."""
        reached: set[int] = set()
        for total in sorted(stacks):
            if self._may_run(None, total) or any(self._may_run(before, total) for before in reached):
                reached.add(total)
        return reached

    def _orders(self, passes: int, stacks: dict[int, tuple[str, ...]]) -> Iterator[tuple[int, ...]]:
        """Every order of ``passes`` totals in which each pass obeys the rules."""
        orders: list[tuple[int, ...]] = [(total,) for total in stacks if self._may_run(None, total)]
        for _ in range(passes - 1):
            orders = [(*o, total) for o in orders for total in stacks if self._may_run(o[-1], total)]
        yield from orders

    def _may_run(self, before: int | None, total: int) -> bool:
        """Whether one pass after a pass with ``before`` of shims obeys the rules."""
        if (before, total) not in self._runs:
            self._runs[before, total] = self._obeys(before, total)
        return self._runs[before, total]

    def _obeys(self, before: int | None, total: int) -> bool:
        """Entry or bite, then force and column, of one pass after a pass with ``before`` of shims."""
        holds = self.tried.holds
        if before is None and self.tried.question.read:
            bites = [self.web + total + self.first + end.offset - end.metal for end in self.ends_read]
            takes = [self.web + total + self.last + end.offset > end.metal for end in self.ends_read]
            if not any(takes) or not holds("bite", max(bites) <= self.rise):
                return False
        elif before is None:
            reaches = at_or_below_first_metal(
                self.web + total + self.first - self.rise, self.bore, self.width
            )
            cuts = not at_or_below_first_metal(self.web + total + self.last, self.bore, self.width)
            if not holds("entry", reaches and cuts):
                return False
        elif total <= before or not holds("bite", total - before <= self.longest_step):
            return False
        if not self.loaded:
            return True
        low_peak, peak, bears = self.load(before, total)
        # Whether one press bears all passes is whether the strongest does: it bears each pass that any other bears.
        most = max((press.rated_force.newtons for press in self.presses if press.rated_force), default=inf)
        pressed = low_peak <= float(self.tried.question.settings.press_share) * most and peak <= most
        return holds("press_force", pressed) & holds("column", bears)

    def load(self, before: int | None, total: int) -> tuple[float, float, bool]:
        """Peaks of the low and the high force in newtons, and whether the broach bears the high one as a column."""
        known = self._forces.get((before, total))
        if known is None:
            low, high = self.tried.question.hub.material.low, self.tried.question.hub.material.high
            dulled = float(self.tried.question.settings.dull_edge)
            chips = self.chips(before, total)
            forces = [max(low.at(chip), high.at(chip) * dulled) * area for chip, area in chips]
            sums = self._sums(forces)
            bears = all(force <= most for force, most in zip(sums, self.bears, strict=True))
            low_peak = max(self._sums([low.at(chip) * area for chip, area in chips]))
            known = self._forces[before, total] = low_peak, max(sums), bears
        return known

    def _sums(self, forces: list[float]) -> list[float]:
        """With each tooth just in, the force on all teeth in the cut."""
        return [sum(forces[max(0, j - self.at_once + 1) : j + 1]) for j in range(self.teeth)]

    def chips(self, before: int | None, total: int) -> list[tuple[float, float]]:
        """Thickness in mm and area in mm2 of what each tooth takes, finishing teeth too."""
        bore, width = self.bore / NM_PER_MM, self.width / NM_PER_MM
        corners = bore / 2 + sqrt(bore**2 - width**2) / 2
        # The end with the most metal left; above the bore both ends take the same of it.
        end = min(self.ends_read, key=lambda one: one.metal or 0)
        lifted = self.web + end.offset
        surface = corners if before is None else max(corners, (lifted + before + self.last) / NM_PER_MM)
        if before is None and end.metal is not None:
            surface = end.metal / NM_PER_MM
        # Heights as whole parts, of which `parts` make a nanometre, so that rises stay exact.
        parts = self.broach.rising_teeth - 1
        first, last, rise = self.first * parts, self.last * parts, self.last - self.first
        chips = []
        for tooth in range(self.teeth):
            height = min(first + tooth * rise, last)
            reach = ((lifted + total) * parts + height) / (parts * NM_PER_MM)
            deep = reach > surface
            chips.append((reach - surface, metal_area(surface, reach, bore, width)) if deep else (0.0, 0.0))
            surface = max(surface, reach)
        return chips

    def _column(self, tooth: int) -> float:
        """Newtons the broach may carry when ``tooth`` enters the hub: buckling, and never above crushing."""
        broach = self.broach
        if None in (broach.root_height, broach.overall_length, broach.front_length, broach.body_width):
            return inf
        b = min(broach.body_width.in_mm, broach.keyway_width.in_mm)
        r = broach.root_height.in_mm
        free = broach.overall_length.in_mm - broach.front_length.in_mm - tooth * broach.tooth_pitch.in_mm
        inertia = min(b * r**3, r * b**3) / 12
        safety = float(self.tried.question.settings.column_safety)
        ends = float(self.tried.question.settings.column_ends)
        bends = ends * pi**2 * YOUNG_N_MM2 * inertia / (safety * free**2) if free > 0 else inf
        return min(bends, b * r * CRUSH_N_MM2)

    def _press(self, low_peak: float, peak: float) -> str | None:
        """Of the presses that bear both forces: first one not heavily loaded, then the smallest, then the first tag."""
        share = float(self.tried.question.settings.press_share)
        rateds = [press for press in self.presses if press.rated_force]
        able = []
        for press in rateds:
            rated = press.rated_force.newtons
            if low_peak <= share * rated and peak <= rated:
                able.append((peak > share * rated, _press_order(press), press.tag))
        if not able and rateds:  # the rule was left out on purpose
            return rateds[-1].tag
        return min(able)[2] if able else None

    def _plan(self, totals: tuple[int, ...], stacks: dict[int, tuple[str, ...]]) -> Best:
        question = self.tried.question
        peak: float | None = None
        press = question.press
        if self.loaded:
            loads = [self.load(before, total) for before, total in zip((None, *totals), totals, strict=False)]
            peak = max(load[1] for load in loads)
            press = press or self._press(max(load[0] for load in loads), peak)
        tags = tuple(stacks[total] for total in totals)
        last = self.web + totals[-1] + self.last
        off_aim = abs(last + Fraction(sum(e.offset for e in self.ends_read), 2) - question.keyway.aim.nm)
        spread = question.keyway.reading.upper.nm - question.keyway.reading.lower.nm
        key: Key = (
            len(totals),
            int(10 * off_aim // spread) if spread else 0,
            UNKNOWN if peak is None else round(peak),
            sum(len(stack) for stack in tags),
            tuple(-total for total in totals[:-1]),
            off_aim,
            (self.broach.tag, self.bushing.tag, *tags),
        )
        return Best(self.broach.tag, self.bushing.tag, press, totals, tags, key)


def _press_order(press: Press) -> tuple[float, str]:
    return (press.rated_force.newtons if press.rated_force else 0.0, press.tag)
