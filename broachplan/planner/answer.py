"""The planner's answer as typed values: plans, cautions, refusals, and what to make.

A refusal is a result with its rule and its numbers, never an exception.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import NamedTuple

from broachplan.cut.budget import Budget
from broachplan.cut.measure_first import MeasureFirst
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length
from broachplan.settings import Settings
from broachplan.tooling.drive import Drive
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim

Shims = tuple[Shim, ...]


class Rule(StrEnum):
    """The rules a plan obeys, in the order they are reported."""

    THROUGH = "through"
    TAPER = "taper"
    WIDTH = "width"
    BUSHING_FIT = "bushing_fit"
    NOT_MEASURED = "not_measured"
    ENGAGEMENT = "engagement"
    CHIP_ROOM = "chip_room"
    ON_SHELF = "on_shelf"
    SLOT_FIT = "slot_fit"
    SHIM_FIT = "shim_fit"
    ENTRY = "entry"
    BITE = "bite"
    READING = "reading"
    OPENING = "opening"
    THROAT = "throat"
    PRESS_FORCE = "press_force"
    COLUMN = "column"


class Warn(StrEnum):
    """The cautions a plan may carry; none of them refuses it."""

    CHIP_ROOM_TIGHT = "chip_room_tight"
    SLENDER = "slender"
    LOOSE = "loose"
    RUB = "rub"
    SHIM_SHORT = "shim_short"
    BUSHING_SHORT = "bushing_short"
    HARD = "hard"
    WALL = "wall"
    OFF_TABLE = "off_table"
    BAND = "band"
    OFF_CENTRE = "off_centre"
    LEAD = "lead"
    ENDS_DIFFER = "ends_differ"
    PUSH_PIN = "push_pin"
    RESETS = "resets"
    MIXED_UNITS = "mixed_units"
    NO_PRESS = "no_press"
    PRESS_HEAVY = "press_heavy"
    NO_MATERIAL = "no_material"
    NOT_CHECKED = "not_checked"
    DUE_BACK = "due_back"
    ON_ORDER = "on_order"
    DUE = "due"
    READING_DOUBTFUL = "reading_doubtful"
    OFFSET_MAY_VANISH = "offset_may_vanish"


@dataclass(frozen=True, slots=True)
class Caution:
    """Something to know before pressing."""

    rule: Warn
    text: str


class Band(NamedTuple):
    """From where to where a reading comes out 95 times of 100, whatever the play does."""

    low: Length
    high: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One push of the broach.

    ``reading`` is what the gauge should read after it; ``first_bite`` what the first tooth takes (0 where it is clear),
    ``largest_bite`` the largest single bite; forces are newtons at the peak, None without a material. What follows
    from teeth that were not counted, or from a pitch that is not known, is None.
    """

    number: int
    stack: tuple[Shim, ...]
    shims: Length
    reading: Length
    first_bite: Length
    largest_bite: Length | None
    teeth_cutting: int | None
    teeth_in_cut: int | None
    force_low: float | None
    force_high: float | None
    band: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanBudget:
    """What the band of the last reading is made of, and how far the keyway may lie to a side.

    ``first`` is what to measure first, None where nothing narrows the band. ``ends_differ`` is how far the readings at
    the two ends of the hub may be apart, without the gauge; what the standard allows is None where it says nothing.
    """

    last: Budget
    first: MeasureFirst | None
    ends_differ: Length
    off_centre: Length
    off_centre_most: Length | None
    lead: Length
    lead_most: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One broach in one bushing, its passes and what they lead to.

    ``band`` of the last reading and ``budget`` are added by `planner.bands`.
    ``tip`` names a shim that would save a pass; ``homes`` says where each of the pieces lives, where known, in
    the order in which they are fetched; ``drive`` what drives the press.
    """

    broach: Broach
    bushing: Bushing
    press: Press | None
    passes: tuple[Pass, ...]
    reading: Length
    cautions: tuple[Caution, ...]
    band: Band | None = None
    budget: PlanBudget | None = None
    tip: str | None = None
    homes: tuple[tuple[str, str], ...] = ()
    drive: Drive = Drive.NOT_KNOWN

    @property
    def taken(self) -> tuple[str, ...]:
        """The tags of what is taken to the press: broach, bushing, and each shim once."""
        shims = (shim.tag for one in self.passes for shim in one.stack)
        return tuple(dict.fromkeys((self.broach.tag, self.bushing.tag, *shims)))

    @property
    def not_known(self) -> str:
        """Which figures of the passes are not known because of the broach, and why; empty where all are."""
        left, why = [], []
        if self.broach.rising_teeth is None:
            left += ["the largest cut of a tooth", "the teeth cutting"]
            why.append("its teeth were not counted")
        if self.broach.tooth_pitch is None:
            left.append("the teeth in the cut at once")
            why.append("its tooth pitch was not measured")
        if not why:
            return ""
        return f"Not known for {self.broach.tag} (-): {', '.join([*left, 'the load'])}; {' and '.join(why)}."

    @property
    def fetch(self) -> Mapping[str, tuple[str, ...]]:
        """The tags that lie in each home."""
        found: dict[str, tuple[str, ...]] = {}
        for tag, home in self.homes:
            found[home] = (*found.get(home, ()), tag)
        return found


@dataclass(frozen=True, slots=True)
class Nearest:
    """One refused piece or pair; a side that played no part is None. ``short_by`` orders them within a rule."""

    broach: str | None
    bushing: str | None
    text: str
    short_by: float = 0.0


@dataclass(frozen=True, slots=True)
class Refusal:
    """All that one rule refused: how many, and the nearest of them."""

    rule: Rule
    count: int
    nearest: tuple[Nearest, ...]


@dataclass(frozen=True, slots=True)
class Make:
    """A piece that would make the hub possible: limits per figure around a best value, and why.

    Pieces of one ``way`` are needed together; another ``way`` is an alternative to them.
    """

    kind: Kind
    limits: Mapping[str, tuple[Length, Length]]
    best: Mapping[str, Length]
    text: str
    rising_teeth: int | None = None
    way: int = 1


class Try(StrEnum):
    """What a shop tries before it makes or buys a piece, in that order."""

    MEASURE = "measure"
    STACK = "stack"
    SLUG = "slug"
    PRESS = "press"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class Advice:
    """Something to try before a piece is made or bought; once it is done there is a plan.

    ``tags`` are the pieces it is about, ``hubs`` how many to stack, ``length`` the least of a filler slug. ``way`` is the
    way of the pieces to make that are needed with it; None where it does alone.
    """

    what: Try
    text: str
    tags: tuple[str, ...] = ()
    hubs: int | None = None
    length: Length | None = None
    way: int | None = None


class ReadingSays(StrEnum):
    """What a reading says of the hub."""

    WITHIN = "within"
    SHORT = "short"
    PAST = "past"


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterReading:
    """What a reading means.

    ``plain`` is what the stack makes without an offset; ``top`` and ``bottom`` what was read, equal where it was read
    once; ``offset`` how much more that is (two ends: the mean). ``doubtful``: it lies off what the stack usually gives, and
    ``reads_as`` are the stacks that it reads like, nearest first. ``planned`` are the stacks that a reading as
    planned would have left, as long as they are lawful all the same. ``push_again``: a second push of the same stack may read
    from the one to the other.
    """

    outcome: ReadingSays
    stack: Shims
    plain: Length
    top: Length
    bottom: Length
    offset: Length
    doubtful: bool
    reads_as: tuple[Shims, ...] = ()
    planned: tuple[Shims, ...] = ()
    push_again: tuple[Length, Length] | None = None

    @property
    def offset_top(self) -> Length:
        """How much more was read at the top than the plain reading."""
        return self.top - self.plain

    @property
    def offset_bottom(self) -> Length:
        """The same at the bottom."""
        return self.bottom - self.plain


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything a plan question is answered with; the best plan is first.

    ``more_pairs`` counts the broach-and-bushing pairs beyond the plans that have one as well. ``hub_refused``: it is the
    hub that no push broach can cut; ``press_refused`` says why no press may be used at all. ``after`` is what a reading
    means, where the answer is for what is left after one. ``lacks`` are kinds without which nothing can be planned and
    of which the crib has no piece.
    """

    hub: Hub
    keyway: Keyway
    settings: Settings
    plans: tuple[Plan, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    advice: tuple[Advice, ...] = ()
    make: tuple[Make, ...] = ()
    notes: tuple[str, ...] = field(default=())
    more_pairs: int = 0
    hub_refused: bool = False
    press_refused: str = ""
    after: AfterReading | None = None
    lacks: tuple[Kind, ...] = ()

    @property
    def ready(self) -> bool:
        """Whether there is a plan."""
        return bool(self.plans)
