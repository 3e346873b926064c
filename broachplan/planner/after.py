"""After a reading: what it means, and the passes that are left for the pieces that are at the press.

The plain reading after a pass is web + shims + height over the last tooth. What the gauge says beyond that is the offset,
always against the plain reading, so that a later reading replaces an earlier one and is never added to it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from broachplan.cut.play import Span
from broachplan.errors import InputError
from broachplan.lengths import Length, show
from broachplan.planner.after_words import DOUBTFUL, past_in_words
from broachplan.planner.answer import (
    AfterReading,
    Answer,
    Band,
    Caution,
    Nearest,
    Plan,
    ReadingSays,
    Refusal,
    Rule,
    Shims,
    Warn,
)
from broachplan.planner.plan import check_why, hub_notes, plan
from broachplan.planner.presses import presses_asked
from broachplan.planner.reads_as import nearest_stacks
from broachplan.planner.starting_point import StartingPoint, mean_nm, on_read_metal
from broachplan.planner.tried import Trial, case_of
from broachplan.shown import shims_in_words
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim

# From where to where a stack is likely to read, in nm, without the gauge.
Usual = Callable[[Shims], Span]


@dataclass(frozen=True, slots=True, kw_only=True)
class PressReading:
    """What was measured after a push.

    Attributes
    ----------
    broach, bushing, stack : what was pushed; they have the figures that make up a plain reading.
    top, bottom : T, keyway floor to the opposite wall, at the two ends of the hub; ``bottom`` None: measured once.
    before : T before that push, where it was measured.
    """

    broach: Broach
    bushing: Bushing
    stack: Shims
    top: Length
    bottom: Length | None = None
    before: Length | None = None

    @property
    def ends(self) -> tuple[Length, ...]:
        """What was read, once or at both ends."""
        return (self.top,) if self.bottom is None else (self.top, self.bottom)

    @property
    def plain(self) -> Length:
        """What the pieces alone make: web + shims + height over the last tooth.

        Raises
        ------
        InputError : one of these figures was never measured.
        """
        return plain_reading(self.broach, self.bushing, self.stack)

    @property
    def middle(self) -> Length:
        """What was read, of two ends the mean, half-even to 1 nm."""
        return Length(mean_nm(*(end.nm for end in self.ends)))

    @property
    def start(self) -> StartingPoint:
        """Where the same broach and bushing continue."""
        return on_read_metal(self.plain.nm, *(end.nm for end in self.ends))


@dataclass(frozen=True, slots=True)
class GaugeBands:
    """What a reading is compared with.

    Attributes
    ----------
    usual : from where to where a stack is likely to read with the pieces at the press.
    widest : the same for any stack of a number of shims: no such stack reads farther from its plain reading than this says.
    error_nm : how far the gauge may be off, either way.
    from_nm : from here on the keyway floor can be gauged: the bore's upper limit, or the bore as it was measured.
    """

    usual: Usual
    widest: Callable[[int], Span]
    error_nm: int
    from_nm: int

    def holds(self, stack: Shims, nm: int) -> bool:
        """Whether a stack may read so, the gauge's error included."""
        least, most = self.usual(stack)
        return least - self.error_nm <= nm <= most + self.error_nm


def plain_reading(broach: Broach, bushing: Bushing, stack: Sequence[Shim]) -> Length:
    """Web + shims + height over the last tooth; raises `InputError` where one of them was never measured."""
    total = Length(0)
    figures: list[tuple[Piece, Length | None]] = [(broach, broach.last_tooth_height), (bushing, bushing.web)]
    for piece, size in (*figures, *((shim, shim.thickness) for shim in stack)):
        if size is None:
            raise InputError(
                f"{piece.kind} {piece.tag}",
                f"not measured: {', '.join(piece.missing)}; without it no reading can be compared",
            )
        total += size
    return total


def outcome_of(ends: Sequence[Length], lower: Length, upper: Length) -> ReadingSays:
    """What a reading says: every end within the limits, one past them, or none past and one short."""
    if max(ends) > upper:
        return ReadingSays.PAST
    return ReadingSays.SHORT if min(ends) < lower else ReadingSays.WITHIN


def plan_after(asked: Trial, reading: PressReading, bands: GaugeBands, *, why: str | None = None) -> Answer:
    """What a reading means, and what is left to do with the same broach and bushing.

    Parameters
    ----------
    asked : the hub, what lies on the shelf, and the press named; its start is not looked at.
    why : as for a plan.

    Returns
    -------
    Answer : its ``after`` says what the reading means. Within the limits: one plan without passes. Past them: refused.
        Short: the best passes that are left, or why there are none, and the shim to cut.

    Raises
    ------
    InputError : a reading that cannot be, or that could not be gauged yet, and nothing follows from it; or ``why`` or the
        press names no piece of the shelf.
    """
    case = case_of(asked)
    presses_asked(asked.shelf.presses, asked.press, case)
    check_why(why, asked.shelf)
    shims = _in_the_slot(asked, reading)
    _check(asked, reading, bands, shims)
    after = judged(asked, reading, bands)
    if after.outcome is ReadingSays.PAST:
        text, by = past_in_words(after, asked.keyway.reading.upper, asked.settings.shown_in)
        nearest = Nearest(reading.broach.tag, reading.bushing.tag, text, by)
        return _answer(asked, after, refusals=(Refusal(Rule.READING, 1, (nearest,)),), notes=hub_notes(case))
    if after.outcome is ReadingSays.WITHIN:
        return _answer(asked, after, plans=(_nothing_left(reading, bands, after),), notes=hub_notes(case))
    shelf = asked.shelf.only(reading.broach.tag, reading.bushing.tag)
    found = plan(
        asked.hub, asked.keyway, shelf, asked.settings, press=asked.press, why=why, start=reading.start
    )
    cautions = _doubts(after)
    plans = tuple(replace(one, cautions=(*cautions, *one.cautions)) for one in found.plans)
    return replace(found, plans=plans, after=after)


def judged(asked: Trial, reading: PressReading, bands: GaugeBands) -> AfterReading:
    """What a reading means: outcome, offset, whether it is doubtful, as what it reads, and whether to push again."""
    limits, ends, plain = asked.keyway.reading, reading.ends, reading.plain
    outcome = outcome_of(ends, limits.lower, limits.upper)
    doubtful = not all(bands.holds(reading.stack, end.nm) for end in ends)
    once = reading.bottom is None
    again = once and outcome is ReadingSays.SHORT and reading.top < plain
    return AfterReading(
        outcome=outcome,
        stack=reading.stack,
        plain=plain,
        top=ends[0],
        bottom=ends[-1],
        offset=Length(reading.start.offset_nm),
        doubtful=doubtful,
        reads_as=_reads_as(asked, reading, bands) if doubtful and once else (),
        push_again=(reading.top, plain) if again else None,
    )


def _check(asked: Trial, reading: PressReading, bands: GaugeBands, shims: Sequence[Shim]) -> None:
    """Refuse a reading that cannot be."""
    bore, units = asked.hub.bore.lower, asked.settings.shown_in
    if reading.plain.nm <= bands.from_nm:
        raise InputError(
            "measured",
            f"after this pass the keyway floor is not past the bore yet, {show(Length(bands.from_nm), units)}, "
            "and cannot be gauged; run the next pass",
        )
    deepest = _thickest(shims, reading, asked.settings.stack_most)
    most = bands.usual(deepest)[1] + bands.error_nm
    for end in reading.ends:
        if end <= bore:
            raise _cannot_be(
                end, f"a keyway floor reads more than the bore, {show(bore, units)}", asked, reading
            )
        if reading.before is not None and end.nm < reading.before.nm - 2 * bands.error_nm:
            was = show(reading.before, units)
            raise _cannot_be(end, f"a push takes metal away, and it read {was} before", asked, reading)
        if end.nm > most:
            tags = shims_in_words(shim.tag for shim in deepest)
            limit = f"the thickest stack the crib has ({tags}) reads {show(Length(most), units)} at most"
            raise _cannot_be(end, limit, asked, reading)


def _cannot_be(end: Length, why: str, asked: Trial, reading: PressReading) -> InputError:
    at = "measured" if reading.bottom is None else "top" if end == reading.top else "bottom"
    return InputError(
        at, f"{why}; gauge again", shown=f"{show(end, asked.settings.shown_in)}, which cannot be"
    )


def _in_the_slot(asked: Trial, reading: PressReading) -> list[Shim]:
    """Every shim of the crib that the slot takes, on the shelf or not: it may be in the slot, unknown to the books."""
    slot, clearance = reading.bushing.slot_width, asked.settings.shim_clearance
    used = {shim.tag for shim in reading.stack}
    fitting = [
        shim
        for shim in asked.shelf.shims
        if shim.thickness is not None
        and shim.width is not None
        and slot is not None
        and slot - clearance <= shim.width <= slot
        and shim.tag not in used
    ]
    return sorted((*fitting, *reading.stack), key=lambda shim: shim.tag)


def _thickest(shims: Sequence[Shim], reading: PressReading, stack_most: int) -> Shims:
    """The thickest stack that the slot takes; of shims as thick the smaller tags."""

    def thickness(stack: Sequence[Shim]) -> int:
        return sum(shim.thickness.nm for shim in stack if shim.thickness is not None)

    by_size = sorted(shims, key=lambda shim: (-thickness((shim,)), shim.tag))
    return max(tuple(by_size[:stack_most]), reading.stack, key=thickness)


def _reads_as(asked: Trial, reading: PressReading, bands: GaugeBands) -> tuple[Shims, ...]:
    bare = plain_reading(reading.broach, reading.bushing, ())
    return nearest_stacks(
        _in_the_slot(asked, reading),
        asked.settings.stack_most,
        bare.nm,
        reading.top.nm,
        bands.holds,
        lambda count: _widened(bands.widest(count), bands.error_nm),
    )


def _widened(span: Span, error_nm: int) -> Span:
    return Span(span.least - error_nm, span.most + error_nm)


def _nothing_left(reading: PressReading, bands: GaugeBands, after: AfterReading) -> Plan:
    error = Length(bands.error_nm)
    return Plan(
        broach=reading.broach,
        bushing=reading.bushing,
        press=None,
        passes=(),
        reading=reading.middle,
        band=Band(reading.middle - error, reading.middle + error),
        cautions=_doubts(after),
    )


def _doubts(after: AfterReading) -> tuple[Caution, ...]:
    if not after.doubtful:
        return ()
    named = " or ".join(shims_in_words(shim.tag for shim in stack) for stack in after.reads_as)
    reads = f" It reads as if this were in: {named}." if named else ""
    text = f"{DOUBTFUL}{reads}"
    return (Caution(Warn.READING_DOUBTFUL, text),)


def _answer(
    asked: Trial,
    after: AfterReading,
    *,
    plans: tuple[Plan, ...] = (),
    refusals: tuple[Refusal, ...] = (),
    notes: tuple[str, ...] = (),
) -> Answer:
    return Answer(asked.hub, asked.keyway, asked.settings, plans, refusals, notes=notes, after=after)
