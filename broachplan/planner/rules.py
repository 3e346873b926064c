"""The rules that a broach, a bushing or the two together must keep before any pass is looked for.

Each check answers None, or the `Reason` it refuses with: the rule, its numbers in words, and by how much it fails.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from broachplan.crib.shelf import Awaited
from broachplan.cut.load import teeth_room
from broachplan.cut.teeth import Teeth
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, show
from broachplan.planner.answer import Rule
from broachplan.planner.bounds import Bounds
from broachplan.planner.starting_point import BARE_BORE, StartingPoint
from broachplan.settings import Settings
from broachplan.shown import AtLeast, AtMost, between_in_words, show_apart
from broachplan.standards.constants import KEY_TAPER
from broachplan.standards.named import Shape
from broachplan.tooling.drive import Drive
from broachplan.tooling.hub import BoreForm, Hub
from broachplan.tooling.materials import Group, Material
from broachplan.tooling.pieces import Broach, Bushing, Piece, Shim


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a rule refuses, in words with its numbers; ``short_by`` puts the nearest first within a rule."""

    rule: Rule
    text: str
    short_by: float = 0.0


@dataclass(frozen=True, slots=True)
class Case:
    """What every rule looks at: hub, keyway, the bounds from both, the shop's settings, what is off the shelf, due
    or waited for, and where the passes begin."""

    hub: Hub
    keyway: Keyway
    bounds: Bounds
    settings: Settings
    off: Mapping[str, str]
    due: Mapping[str, str] = field(default_factory=dict)
    homes: Mapping[str, str] = field(default_factory=dict)
    start: StartingPoint = BARE_BORE
    awaited: Mapping[str, Awaited] = field(default_factory=dict)
    drives: Mapping[str, Drive] = field(default_factory=dict)

    def words(self, length: Length) -> str:
        """A length in the shop's units."""
        return show(length, self.settings.shown_in)

    def between(self, lower: Length, upper: Length) -> str:
        """Two limits in the shop's units."""
        return between_in_words(lower, upper, self.settings.shown_in)

    def apart(self, *lengths: Length | AtLeast | AtMost) -> list[str]:
        """Lengths in the shop's units that are weighed against each other; see `show_apart`."""
        return show_apart(self.settings.shown_in, *lengths)


def hub_refusals(case: Case) -> list[Reason]:
    """Rules ``through`` and ``taper``: what no push broach on parallel shims can cut."""
    reasons = []
    if case.hub.bore_form is BoreForm.BLIND:
        reasons.append(
            Reason(
                Rule.THROUGH,
                "a push broach must pass through: a blind bore can be slotted or shaped with a single-point tool, "
                "or eroded; a cross hole or relief at the end gives the tool its run-out",
            )
        )
    if case.hub.bore_form is BoreForm.TAPERED:
        reasons.append(
            Reason(
                Rule.TAPER,
                "parallel shims cut parallel to the bore; a tapered bore needs a bushing turned to its taper",
            )
        )
    if case.keyway.shape is Shape.TAPER:
        rise = Length(round(Fraction(case.hub.length.nm, int(KEY_TAPER.value))))
        reasons.append(
            Reason(
                Rule.TAPER,
                f"a taper keyway rises 1/8 in a foot, {case.words(rise)} over this hub; parallel shims cut parallel "
                "to the bore: it needs shims or a bushing slot ground to the taper. The reading holds at the deep end",
            )
        )
    return reasons


def broach_refusal(broach: Broach, case: Case) -> Reason | None:
    """Rules ``width``, ``not_measured``, ``engagement``, ``chip_room`` and ``on_shelf`` for one broach."""
    low, high = case.bounds.width
    width = broach.keyway_width
    if width is not None and not low <= width <= high:
        outside = low - width if width < low else width - high
        cuts, least, most = case.apart(width, AtLeast(low), AtMost(high))
        return Reason(Rule.WIDTH, f"cuts {cuts}; the keyway is {least} to {most}", outside.nm)
    if broach.missing:
        return _not_measured(broach)
    teeth = Teeth.of(broach)
    return _engagement(teeth, case) or _chip_room(broach, teeth, case) or _on_shelf(broach, case)


def bushing_refusal(bushing: Bushing, case: Case) -> Reason | None:
    """Rules ``bushing_fit``, ``not_measured`` and ``on_shelf`` for one bushing."""
    low, high = case.bounds.bushing_od
    diameter = bushing.outside_diameter
    if diameter is not None and not low <= diameter <= high:
        off = abs(high - diameter)
        size, difference, bore, most = case.apart(
            diameter, off, case.hub.bore.lower, AtMost(case.settings.bushing_clearance)
        )
        if diameter > high:
            return Reason(Rule.BUSHING_FIT, f"{size} is {difference} too large for a bore of {bore}", off.nm)
        return Reason(
            Rule.BUSHING_FIT,
            f"{size} is {difference} under a bore of {bore}; at most {most}",
            (low - diameter).nm,
        )
    if bushing.missing:
        return _not_measured(bushing)
    return _on_shelf(bushing, case)


def slot_refusal(broach: Broach, bushing: Bushing, case: Case) -> Reason | None:
    """Rule ``slot_fit``: the slot guides the broach and lets it pass."""
    assert bushing.slot_width is not None
    widest = widest_part(broach)
    narrowest_slot, widest_slot = case.bounds.slot_width(widest)
    if narrowest_slot <= bushing.slot_width <= widest_slot:
        return None
    clearance, most = bushing.slot_width - widest, case.settings.slot_clearance
    slot, off, part, limit = case.apart(bushing.slot_width, abs(clearance), widest, AtMost(most))
    if clearance < Length(0):
        return Reason(Rule.SLOT_FIT, f"slot {slot} is {off} narrower than the broach, {part}", -clearance.nm)
    return Reason(
        Rule.SLOT_FIT,
        f"slot {slot} is {off} wider than the broach, {part}; at most {limit}",
        (clearance - most).nm,
    )


def widest_part(broach: Broach) -> Length:
    """The wider of body and keyway width: what the slot must pass, of those known."""
    assert broach.keyway_width is not None
    return max(broach.body_width or broach.keyway_width, broach.keyway_width)


def shim_usable(shim: Shim, case: Case) -> bool:
    """Rules ``on_shelf`` and ``not_measured`` for one shim."""
    return not shim.missing and shim.tag not in case.off


def stack_refusal(stack: Sequence[Shim], bushing: Bushing, case: Case) -> Reason | None:
    """Rules ``shim_fit``, ``not_measured`` and ``on_shelf`` for a stack that is given."""
    assert bushing.slot_width is not None
    if len(stack) > case.settings.stack_most:
        return Reason(
            Rule.SHIM_FIT, f"{len(stack)} shims in a stack; at most {case.settings.stack_most}", len(stack)
        )
    low, high = case.bounds.shim_width(bushing.slot_width)
    for shim in stack:
        if shim.missing:
            return _not_measured(shim)
        if shim.tag in case.off:
            return Reason(Rule.ON_SHELF, f"shim {shim.tag}: {case.off[shim.tag]}")
        if shim.width is not None and not low <= shim.width <= high:
            wide, slot = case.apart(shim.width, bushing.slot_width)
            fits = case.between(low, high)
            return Reason(
                Rule.SHIM_FIT, f"shim {shim.tag} is {wide} wide; a slot of {slot} takes widths {fits}"
            )
    return None


def chip_factor(material: Material | None, settings: Settings) -> Fraction:
    """F of the rule on chip room: how many times its metal a chip fills."""
    brittle = material is not None and material.group is Group.BRITTLE
    return settings.chip_factor_brittle if brittle else settings.chip_factor_ductile


def _not_measured(piece: Piece) -> Reason:
    return Reason(Rule.NOT_MEASURED, f"not measured: {', '.join(piece.missing)}", len(piece.missing))


def _on_shelf(piece: Piece, case: Case) -> Reason | None:
    why = case.off.get(piece.tag)
    return None if why is None else Reason(Rule.ON_SHELF, why)


def _engagement(teeth: Teeth, case: Case) -> Reason | None:
    if teeth.pitch_nm is None:
        return None
    needed = 2 * teeth.pitch_nm - case.hub.cut_length.nm
    if needed <= 0:
        return None
    hubs = -(-2 * teeth.pitch_nm // case.hub.length.nm)
    pitch = Length(teeth.pitch_nm)
    length, _, spaced = case.apart(case.hub.cut_length, pitch * 2, pitch)
    return Reason(
        Rule.ENGAGEMENT,
        f"hub {length} is shorter than two pitches of {spaced}, "
        f"so one tooth would cut alone: stack {hubs} hubs, or add a filler slug of like bore",
        needed,
    )


def _chip_room(broach: Broach, teeth: Teeth, case: Case) -> Reason | None:
    found = teeth_room(broach, teeth)
    if found is None:
        return None
    area, parts = found
    chip = case.hub.cut_length.nm * teeth.rise * chip_factor(case.hub.material, case.settings)
    room = Fraction(area, parts)
    if chip <= room:
        return None
    longest = Length(int(room / (teeth.rise * chip_factor(case.hub.material, case.settings))))
    length, most = case.apart(case.hub.cut_length, AtMost(longest))
    return Reason(
        Rule.CHIP_ROOM,
        f"a chip from {length} does not fit the gullet: at most {most} of cut",
        float(chip - room),
    )
