"""What a plan warns of. A caution never refuses; a rule whose figure nobody gave is named as not checked."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from broachplan.cut.load import teeth_room
from broachplan.lengths import NM_PER_INCH, Length
from broachplan.planner.answer import Caution, Pass, Warn
from broachplan.planner.not_checked import not_checked
from broachplan.planner.pairs import FinishedPair
from broachplan.planner.presses import is_heavy
from broachplan.planner.rules import Case
from broachplan.shown import AtLeast, AtMost
from broachplan.standards.constants import HB_OF_35_HRC, TIGHT_BRITTLE, TIGHT_DUCTILE
from broachplan.tooling.hub import Scale
from broachplan.tooling.materials import Group

_TIGHT = {Group.BRITTLE: int(TIGHT_BRITTLE.value), Group.DUCTILE: int(TIGHT_DUCTILE.value)}
_HB_OVER_HRC = {35: int(HB_OF_35_HRC.value)}


@dataclass(frozen=True, slots=True)
class Draft:
    """A plan before its cautions: what was found, and its passes."""

    found: FinishedPair
    passes: tuple[Pass, ...]
    case: Case


def cautions_of(draft: Draft) -> tuple[Caution, ...]:
    """Every caution that a plan carries, in a fixed order."""
    return tuple(caution for check in _CHECKS for caution in check(draft))


def _chip_room_tight(draft: Draft) -> Iterator[Caution]:
    pair, case = draft.found.pair, draft.case
    material = case.hub.material
    factor = _TIGHT[material.group if material else Group.DUCTILE]
    room = teeth_room(pair.broach, pair.teeth)
    if room is None:
        return
    area, parts = room
    if case.hub.cut_length.nm * pair.teeth.rise * factor > Fraction(area, parts):
        yield Caution(
            Warn.CHIP_ROOM_TIGHT,
            f"the gullets are under {factor} times the chip, tight by the handbook's layout figures: "
            "clear the chips before every pass",
        )


def _slender(draft: Draft) -> Iterator[Caution]:
    search = draft.found.search
    if search.problem.bearing is None:
        return
    befores = (None, *draft.found.order.lifts[:-1])
    ratio = min(
        search.load_of(before, lift).column_ratio
        for before, lift in zip(befores, draft.found.order.lifts, strict=True)
    )
    if ratio < draft.case.settings.slender_ratio:
        yield Caution(
            Warn.SLENDER,
            f"slender broach: it bends at {ratio:.1f} times the high force; keep it square, ease off after the start",
        )


def _rub(draft: Draft) -> Iterator[Caution]:
    search, case = draft.found.search, draft.case
    surface = Length(search.problem.first_surface_nm)
    for one in draft.passes:
        step = one.reading - surface
        if step < case.settings.rub_step:
            yield Caution(
                Warn.RUB, f"pass {one.number} takes only {case.words(step)}: it may rub instead of cut"
            )
        surface = one.reading


def _shim_short(draft: Draft) -> Iterator[Caution]:
    cut_length = draft.case.hub.cut_length
    used = {shim.tag: shim for one in draft.passes for shim in one.stack}
    short = sorted(tag for tag, shim in used.items() if shim.length is not None and shim.length < cut_length)
    if short:
        yield Caution(
            Warn.SHIM_SHORT, f"shorter than the cut: shim {', '.join(short)}; the broach's back is bare there"
        )


def _bushing_short(draft: Draft) -> Iterator[Caution]:
    case, bushing = draft.case, draft.found.pair.bushing
    if bushing.length is not None and case.hub.cut_length > bushing.length:
        yield Caution(
            Warn.BUSHING_SHORT,
            f"the hub is {case.words(case.hub.cut_length - bushing.length)} longer than the bushing: the broach is not guided there",
        )


def _hard(draft: Draft) -> Iterator[Caution]:
    hardness, most = draft.case.hub.hardness, draft.case.settings.hardness_hrc
    if hardness is None:
        return
    limit = most if hardness.scale is Scale.HRC else _HB_OVER_HRC.get(most)
    if limit is not None and hardness.value > limit:
        yield Caution(
            Warn.HARD,
            f"{hardness.value} {hardness.scale} is above the shop's limit of {limit} {hardness.scale} (from memory) for high-speed steel",
        )


def _due(draft: Draft) -> Iterator[Caution]:
    broach = draft.found.pair.broach
    if why := draft.case.due.get(broach.tag):
        yield Caution(Warn.DUE, f"{broach.tag} is {why}")


def _awaited(draft: Draft) -> Iterator[Caution]:
    """What is not there yet and will be on the day: the plan depends on it."""
    pair, press, awaited = draft.found.pair, draft.found.press, draft.case.awaited
    shims = (shim.tag for one in draft.passes for shim in one.stack)
    tags = (pair.broach.tag, pair.bushing.tag, *shims, *((press.tag,) if press else ()))
    for rule, on_order in ((Warn.DUE_BACK, False), (Warn.ON_ORDER, True)):
        waits = [
            f"{tag} ({awaited[tag].words})"
            for tag in dict.fromkeys(tags)
            if tag in awaited and awaited[tag].on_order is on_order
        ]
        if waits:
            yield Caution(rule, f"not there yet: {', '.join(waits)}; make sure of it before the day")


def _wall(draft: Draft) -> Iterator[Caution]:
    case = draft.case
    outside, least = case.hub.outside_diameter, case.settings.wall_least
    if outside is None or least is None:
        return
    # Twice the wall, so that half a nanometre stays exact: outer radius less the keyway floor from the centre.
    twice = outside.nm - (2 * case.keyway.reading.upper.nm - case.hub.bore.nominal.nm)
    if twice < 2 * least.nm:
        wall, limit = case.apart(Length(twice // 2), AtLeast(least))
        yield Caution(Warn.WALL, f"{wall} of wall is left over the keyway; the shop's limit is {limit}")


def _off_table(draft: Draft) -> Iterator[Caution]:
    if draft.case.keyway.off_table:
        yield Caution(Warn.OFF_TABLE, draft.case.keyway.off_table)


def _offset_may_vanish(draft: Draft) -> Iterator[Caution]:
    """A shallow reading may come from something that is gone at the next push: then the cut is deeper by the offset."""
    case, search = draft.case, draft.found.search
    offset, surface = case.start.shallower_nm, case.start.surface_nm
    if offset >= 0:
        return
    lifts, upper = draft.found.order.lifts, case.keyway.reading.upper
    plain = Length(search.reading(lifts[-1]) - case.start.offset_nm)
    if plain > upper:
        reads, most = case.apart(plain, AtMost(upper))
        yield Caution(
            Warn.OFFSET_MAY_VANISH,
            f"the passes count on reading {case.words(Length(-offset))} shallow: if that is gone, the last pass reads {reads}, "
            f"past the limit of {most}; gauge before it, or push the same stack once more",
        )
    elif (
        surface is not None
        and search.reading(lifts[0]) - surface - offset > draft.found.pair.teeth.advance_nm
    ):
        yield Caution(
            Warn.OFFSET_MAY_VANISH,
            f"the next pass counts on reading {case.words(Length(-offset))} shallow: if that is gone, its first tooth takes more "
            "than one rise; push the same stack once more first",
        )


def _push_pin(draft: Draft) -> Iterator[Caution]:
    broach, case = draft.found.pair.broach, draft.case
    collar = draft.found.pair.bushing.collar_height or Length(0)
    toothed = broach.toothed_length
    if broach.overall_length is None or broach.front_length is None or toothed is None:
        return
    shank = broach.overall_length - broach.front_length - toothed
    needed = case.hub.cut_length + collar
    if shank < needed:
        long, deep, pin = case.apart(shank, needed, AtLeast(needed - shank))
        yield Caution(
            Warn.PUSH_PIN,
            f"behind the last tooth the broach is {long} long and must go {deep} deep: "
            f"finish with a push pin of at least {pin}; the ram cannot enter the bore",
        )


def _resets(draft: Draft) -> Iterator[Caution]:
    press, toothed = draft.found.press, draft.found.pair.broach.toothed_length
    if press is None or press.stroke is None or toothed is None:
        return
    pushes = -(-(toothed + draft.case.hub.cut_length).nm // press.stroke.nm)
    if pushes > 1:
        yield Caution(
            Warn.RESETS,
            f"the stroke of press {press.tag} is {draft.case.words(press.stroke)}: {pushes} pushes a pass, with a block reset between them",
        )


def _mixed_units(draft: Draft) -> Iterator[Caution]:
    pair = draft.found.pair
    sizes = {
        f"broach {pair.broach.tag}": pair.broach.keyway_width,
        f"bushing {pair.bushing.tag}": pair.bushing.outside_diameter,
        **{f"shim {shim.tag}": shim.thickness for one in draft.passes for shim in one.stack},
    }
    kinds = {name: _system(size) for name, size in sizes.items() if size is not None}
    inch = [name for name, system in kinds.items() if system == "inch"]
    metric = [name for name, system in kinds.items() if system == "metric"]
    if inch and metric:
        yield Caution(
            Warn.MIXED_UNITS,
            f"inch and metric pieces together: {', '.join(inch)} in inches, {', '.join(metric)} in millimetres; "
            "go by the measured figures",
        )


def _no_press(draft: Draft) -> Iterator[Caution]:
    if not draft.found.pair.presses.presses:
        yield Caution(Warn.NO_PRESS, "the crib has no press: whether one can do this is not checked")


def _press_heavy(draft: Draft) -> Iterator[Caution]:
    press, case = draft.found.press, draft.case
    high_n = max((one.force_high or 0.0 for one in draft.passes), default=0.0)
    if press is None or press.rated_force is None or not is_heavy(press, high_n, case):
        return
    yield Caution(
        Warn.PRESS_HEAVY,
        f"with a dulled edge this may take {high_n / press.rated_force.newtons:.0%} of the rated force of press {press.tag}, "
        f"over the shop's {float(case.settings.press_share):.0%}: use a sharp broach and oil, and stop when the press labours",
    )


def _no_material(draft: Draft) -> Iterator[Caution]:
    if draft.case.hub.material is None:
        yield Caution(
            Warn.NO_MATERIAL,
            "no material named: no force is known, and neither the press's force nor the broach as a column is checked",
        )


def _not_checked(draft: Draft) -> Iterator[Caution]:
    found, case = draft.found, draft.case
    shims = (shim for one in draft.passes for shim in one.stack)
    hb_limit = _HB_OVER_HRC.get(case.settings.hardness_hrc)
    for text in not_checked(found.pair, found.press, shims, case, hb_limit):
        yield Caution(Warn.NOT_CHECKED, text)


def _system(size: Length) -> str | None:
    """The system a measured figure was plainly taken in: whole tenths of a thou or 64ths, or whole micrometres."""
    inch = size.nm % 2540 == 0 or size.nm % (NM_PER_INCH // 64) == 0
    metric = size.nm % 1000 == 0
    return None if inch == metric else "inch" if inch else "metric"


_CHECKS: tuple[Callable[[Draft], Iterator[Caution]], ...] = (
    _offset_may_vanish,
    _awaited,
    _slender,
    _chip_room_tight,
    _rub,
    _hard,
    _due,
    _wall,
    _off_table,
    _push_pin,
    _resets,
    _shim_short,
    _bushing_short,
    _mixed_units,
    _no_press,
    _press_heavy,
    _no_material,
    _not_checked,
)
