"""Random small cribs around one hub: often a plan of one to five passes, often just short of one.

A crib is built backwards from a plan that would work (the aim, the passes, the steps between them), then its
figures are snapped to tenths or micrometres, nudged over the limits now and then, and joined by rivals.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt

from hypothesis import strategies as st

from broachplan.crib.shelf import Shelf
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits
from broachplan.quantities import Area, Force
from broachplan.settings import Settings
from broachplan.standards.named import Shape, Standard
from broachplan.tooling.hub import BoreForm, Hub
from broachplan.tooling.materials import CuttingForce, Group, Material
from broachplan.tooling.pieces import Broach, Bushing, Piece, Press, Shim
from tests.referee.brute_force import Question
from tests.referee.choices import Choices, Drawn, Seeded, rare

TENTH_NM = 2_540
MICROMETRE_NM = 1_000
MOST_SHIMS = 5

# Odd figures, so that no peak force falls on a half newton where two ways of adding could round apart.
MATERIALS = (
    Material(
        "test iron",
        Group.BRITTLE,
        CuttingForce(913.417, 0.2213, "invented", "test"),
        CuttingForce(1517.339, 0.0, "invented", "test"),
    ),
    Material(
        "test steel",
        Group.DUCTILE,
        CuttingForce(1811.773, 0.1619, "invented", "test"),
        CuttingForce(1987.531, 0.2597, "invented", "test"),
    ),
    Material(
        "test brass",
        Group.DUCTILE,
        CuttingForce(691.137, 0.0, "invented", "test"),
        CuttingForce(1249.171, 0.0, "invented", "test"),
    ),
)
MOODS = (
    "plain", "plain", "plain", "press", "column", "press", "column", "chip_room", "engagement",
    "width", "turned", "fits", "lent", "unknown", "bare", "bare", "form", "reading", "room",
)  # fmt: skip
UNMEASURED_BROACH = (
    "root_height",
    "overall_length",
    "front_length",
    "tooth_pitch",
    "body_width",
    "rising_teeth",
)
_TAGS = ("A", "Z-9", "a", "B", "S10", "S2", "b", "s-1", "M", "S1")


@dataclass(frozen=True)
class _Design:
    """The plan a crib is built around; all in nanometres."""

    unit: int
    bore: int
    width: int
    aim: int
    length: int
    web: int
    first: int
    last: int
    teeth: int
    totals: tuple[int, ...]

    @property
    def rise(self) -> Fraction:
        return Fraction(self.last - self.first, self.teeth - 1)


def snap(nm: float | Fraction, unit: int) -> int:
    """The whole number of ``unit`` nearest to ``nm``, at least one."""
    return max(round(nm / unit), 1) * unit


@st.composite
def questions(draw: st.DrawFn, moods: tuple[str, ...] = MOODS) -> Question:
    """Cribs drawn by hypothesis, which shrinks what failed."""
    choose = Drawn(draw)
    return _question(choose, choose.of(moods))


def crib(number: int, moods: tuple[str, ...] = MOODS) -> Question:
    """The same crib for the same number, the moods in turn."""
    mood = moods[number % len(moods)]
    return _question(Seeded(f"{mood} {number}"), mood)


def _question(choose: Choices, mood: str) -> Question:
    """A hub, its keyway and a small crib; most often one kind of trouble, its mood, is near."""
    design = _design(choose, mood)
    named = (*MATERIALS, None) if mood not in ("press", "column") else MATERIALS
    material = choose.of(named)
    lead = _broach(choose, design, material, mood, "K1")
    rivals = range(choose.between(0, 2))
    broaches = [lead] + [_rival_broach(choose, design, material, mood, lead, f"K{i + 2}") for i in rivals]
    bushings = [_bushing(choose, design, mood, lead, f"G{i}") for i in range(choose.between(1, 3))]
    shims = _shims(choose, design, mood, bushings[0])
    hub = _hub(choose, design, mood, material)
    presses = _presses(choose, design, mood, lead, hub)
    pieces = (*broaches, *bushings, *shims, *presses)
    off = {piece.tag: "lent" for piece in pieces if mood == "lent" and rare(choose, 4)}
    return Question(
        hub,
        _keyway(choose, design, mood),
        Shelf(tuple(broaches), tuple(bushings), tuple(shims), tuple(presses), off),
        _shop_limits(choose, mood),
        choose.of(presses).tag if presses and rare(choose, 6) else None,
    )


def _shop_limits(choose: Choices, mood: str) -> Settings:
    """The limits of a shop; now and then its own."""
    usual = Settings(chip_factor_ductile=choose.of((Fraction(2), Fraction(5))))
    if mood == "room":
        return replace(usual, support_height=choose.of((Length(0), Length(1), Length(12_700_000))))
    if mood in ("press", "column") and rare(choose, 4):
        return replace(usual, press_share=Fraction(1, 2), dull_edge=Fraction(7, 5), column_safety=Fraction(2))
    if mood == "fits" and rare(choose, 4):
        return replace(usual, slot_clearance=Length(50_000), shim_clearance=Length(500_000))
    return replace(usual, stack_most=choose.of((4, 4, 3, 2))) if mood == "plain" else usual


def _design(choose: Choices, mood: str) -> _Design:
    unit = choose.of((TENTH_NM, MICROMETRE_NM))
    bore = snap(choose.between(8_000_000, 40_000_000), unit)
    share = choose.between(*choose.of(((18, 35), (60, 93))))
    width = snap(bore * share / 100, unit)
    first_metal = bore / 2 + sqrt(bore**2 - width**2) / 2
    aim = snap(bore + width * choose.between(5, 45) / 100, unit)
    teeth = choose.between(5 if mood == "press" else 2, 12)
    passes = choose.of((2, 3, 1, 4, 3, 2, 5))
    gap = aim - first_metal
    rise = gap * choose.between(98, 160) / (100 * passes * teeth)
    web = snap(bore * choose.between(8, 35) / 100, unit)
    totals = _totals(choose, gap, teeth * rise, passes)
    last = max(aim - web - totals[-1], 2 * unit)
    first = last - min(snap(rise * (teeth - 1), unit), snap(0.8 * last, unit))
    length = snap(choose.between(8_000_000, 60_000_000), unit)
    return _Design(unit, bore, width, aim, length, web, max(first, unit), last, teeth, totals)


def _totals(choose: Choices, gap: float, bite: float, passes: int) -> tuple[int, ...]:
    """Shim totals of the passes: the first may be above nothing, no step larger than a bite."""
    base = choose.of((0, 0, 500_000, 635_000, 1_250_000))
    least, most = max(gap - bite, 0.0), min(gap, (passes - 1) * bite)
    over = least + max(most - least, 0.0) * choose.between(1, 99) / 100 if passes > 1 else 0.0
    totals, left = [base], over
    for still in range(passes - 1, 0, -1):
        unit = choose.of((TENTH_NM, MICROMETRE_NM))
        share = choose.between(70, 130) / 100 / still if still > 1 else 1.0
        step = snap(min(left * share, bite), unit)
        totals.append(totals[-1] + step)
        left -= step
    return tuple(totals)


def _nudged(choose: Choices, near: bool, inside: int, unit: int) -> int:
    """A room of 0 up to ``inside``; where fits are the trouble, ``near`` a limit or past it by a hair."""
    if near and rare(choose, 3):
        return choose.of((inside, 0, inside + 1, -1, inside + unit, -unit))
    return choose.between(0, inside)


def _broach(choose: Choices, design: _Design, material: Material | None, mood: str, tag: str) -> Broach:
    across = (3.0, 2.0, 2.5, 4.0, 3.7, 5.0, 7.3, 8.0, 12.0)
    if mood == "engagement":
        across = (2.0, 1.99, 2.01)
    pitch = snap(design.length / choose.of(across), design.unit)
    factor = Fraction(3, 2) if material is not None and material.group is Group.BRITTLE else 2
    chip = design.length * design.rise * factor
    room = choose.of((130, 100, 101, 99, 75, None) if mood == "chip_room" else (None, 300, 251))
    if room is None and mood != "chip_room" and pitch**2 < 9 * chip:
        room = 250
    finishing = choose.of((0, None, 1, 3))
    front = choose.of((20_000_000, 25_400_000, 5_000_000))
    toothed = pitch * (design.teeth + (finishing or 0) - 1)
    width = design.width
    if mood == "width":
        width += choose.of((0, 1, -1, design.unit, -design.unit, 2 * design.unit))
    far = 300_000_000 if mood == "column" else 40_000_000
    tail = choose.of((10_000_000, 1, far))
    broach = Broach(
        tag=tag,
        keyway_width=Length(width),
        body_width=Length(max(width + choose.of((0, -10, 3)) * design.unit, 1)),
        first_tooth_height=Length(design.first),
        last_tooth_height=Length(design.last),
        tooth_pitch=Length(pitch),
        rising_teeth=design.teeth,
        finishing_teeth=finishing,
        front_length=Length(front),
        overall_length=Length(front + toothed + tail),
        gullet_area=None if room is None else Area(max(round(chip * room / 100), 1)),
    )
    broach = replace(broach, root_height=Length(_root(choose, broach, design, material, mood)))
    if mood == "bare":
        return replace(broach, **{name: None for name in UNMEASURED_BROACH if rare(choose, 3)})
    return _partly_measured(choose, broach, (*UNMEASURED_BROACH, "last_tooth_height"), mood)


def _partly_measured(choose: Choices, piece: Piece, figures: tuple[str, ...], mood: str) -> Piece:
    if mood != "unknown" or not rare(choose, 4):
        return piece
    return replace(piece, **{choose.of(figures): None})


def _root(choose: Choices, broach: Broach, design: _Design, material: Material | None, mood: str) -> int:
    """A root height of plenty, or near what the broach's load asks for."""
    roots = [max(design.first * twentieths // 20, 1) for twentieths in range(1, 20)]
    if mood != "column":
        return roots[-1]
    full = _full_force(design, material, broach) * choose.of((1.2, 1.0, 0.9, 0.8, 0.6, 0.4))
    width = min(broach.keyway_width.in_mm, broach.body_width.in_mm)
    free = broach.overall_length.in_mm - broach.front_length.in_mm

    def holds_up(root: int) -> float:
        r = root / 1_000_000
        bend = 2.05 * 9.87 * 207_000 * min(width * r**3, r * width**3) / 12 / (1.5 * free**2)
        return min(bend, width * r * 2000 / 3)

    return next((root for root in roots if holds_up(root) >= full), roots[-1])


def _full_force(design: _Design, material: Material | None, broach: Broach) -> float:
    """About the newtons of a pass in which every tooth in the cut takes a whole rise."""
    if material is None or broach.tooth_pitch is None:
        return 5_000.0
    at_once = min(design.length // broach.tooth_pitch.nm + 1, design.teeth)
    rise = float(design.rise) / 1_000_000
    return at_once * rise * design.width / 1_000_000 * material.high.at(rise) * 1.3


def _rival_broach(
    choose: Choices, design: _Design, material: Material | None, mood: str, lead: Broach, tag: str
) -> Broach:
    """Another broach: a like one under another tag, or one higher, lower, longer toothed or of another rise."""
    shift = choose.of((0, 0, 1, -1)) * choose.between(1, 80) * design.unit
    teeth = max(design.teeth + choose.of((0, 0, 2, -1)), 2)
    last = max(design.last + shift, 3 * design.unit)
    higher = design.last - design.first
    if not rare(choose, 3):
        higher = snap(higher * choose.between(60, 170) / 100, design.unit)
    first = max(last - higher, design.unit)
    rival = replace(design, first=first, last=max(last, first + design.unit), teeth=teeth)
    if not rare(choose, 4):
        return _broach(choose, rival, material, mood, tag)
    return replace(lead, tag=tag)


def _bushing(choose: Choices, design: _Design, mood: str, lead: Broach, tag: str) -> Bushing:
    clearance, room = 127_000, 101_600
    outside = design.bore - _nudged(choose, mood == "turned", clearance, design.unit)
    web = design.web
    if not tag.endswith("0"):
        web += choose.of((0, 1, -1)) * choose.between(1, 120) * design.unit
    body = lead.body_width or lead.keyway_width
    slot = max(body.nm, lead.keyway_width.nm) + _nudged(choose, mood == "fits", room, design.unit)
    bushing = Bushing(
        tag=tag,
        outside_diameter=Length(outside),
        slot_width=Length(min(slot, outside - 1)),
        web=Length(min(max(web, design.unit), outside - 1)),
        length=choose.of((Length(design.length), None, Length(design.length // 2))),
        collar_height=choose.of((None, Length(3_000_000))),
    )
    return _partly_measured(choose, bushing, ("web", "slot_width", "outside_diameter"), mood)


def _shims(choose: Choices, design: _Design, mood: str, bushing: Bushing) -> list[Shim]:
    """Shims that make the design's totals, as steps or each at once, with a few doubles and odd ones."""
    totals = design.totals
    steps = [totals[0]] + [b - a for a, b in itertools.pairwise(totals)]
    sizes = [size for size in (steps if choose.of((False, True)) else totals) if size > 0][:MOST_SHIMS]
    for _ in range(choose.between(0, MOST_SHIMS - len(sizes))):
        near = choose.of(sizes) if sizes else 100 * design.unit
        if rare(choose, 2):
            near = snap(near * choose.between(20, 120) / 100, choose.of((TENTH_NM, MICROMETRE_NM)))
        sizes.append(near)
    tags = choose.order(_TAGS)
    slot = bushing.slot_width.nm if bushing.slot_width else design.width
    shims = []
    for size, tag in zip(sizes, tags, strict=False):
        width = max(slot - _nudged(choose, mood == "fits", 762_000, design.unit), 1)
        shim = Shim(tag=tag, thickness=Length(size), width=Length(width))
        shims.append(_partly_measured(choose, shim, ("thickness", "width"), mood))
    return shims


def _hub(choose: Choices, design: _Design, mood: str, material: Material | None) -> Hub:
    play = choose.of((0, 20_000, 25_400, 12_700))
    lower, upper = Length(design.bore), Length(design.bore + play)
    bore = Limits(choose.of((lower, upper)), lower, upper)
    stack = choose.of((1, 1, 1, 2)) if design.length % 2 == 0 else 1
    form = choose.of(tuple(BoreForm)) if mood == "form" else BoreForm.THROUGH
    known = Length(2 * design.bore), Length(10 * design.bore)
    outside = choose.of(known if mood == "room" else (*known, None))
    return Hub(
        bore=bore,
        length=Length(design.length // stack),
        stack=stack,
        outside_diameter=outside,
        material=material,
        bore_form=form,
    )


def _keyway(choose: Choices, design: _Design, mood: str) -> Keyway:
    wide = (5, 0, 1) if mood == "reading" else (5, 20, 50, 100)
    below, above = (choose.of(wide) * design.unit for _ in range(2))
    off = choose.of((0, 1, -1, design.unit, -design.unit)) if mood == "reading" else 0
    lower, upper = design.aim - below + off, design.aim + above + off
    aim = choose.between(lower, upper) if rare(choose, 3) else round(Fraction(lower + upper, 2))
    slack = 0 if mood == "width" and rare(choose, 2) else design.unit
    width = Limits(Length(design.width), Length(design.width - slack), Length(design.width + slack))
    first_metal = design.bore / 2 + sqrt(design.bore**2 - design.width**2) / 2
    return Keyway(
        standard=Standard.OWN,
        shape=Shape.TAPER if mood == "form" and rare(choose, 4) else None,
        width=width,
        reading=Limits(Length(design.aim), Length(lower), Length(upper)),
        aim=Length(aim),
        arc=Length(round(design.bore - first_metal)),
        depth_at_wall=Length(round(design.aim - first_metal)),
        source="invented",
        status="given",
    )


def _presses(choose: Choices, design: _Design, mood: str, lead: Broach, hub: Hub) -> list[Press]:
    full = _full_force(design, hub.material, lead) / 0.7
    tall = hub.cut_length.nm
    if lead.overall_length is not None and lead.front_length is not None:
        tall += lead.overall_length.nm - lead.front_length.nm
    deep = (hub.outside_diameter.nm + 1) // 2 if hub.outside_diameter else 100_000_000
    shares = (1.01, 0.9, 0.8, 0.65, 0.5, 0.35) if mood == "press" else (1.7, 4.0, 9.0)
    spares = (0, -1, 1) if mood == "room" else (400_000_000, 600_000_000)
    presses = []
    for tag in ("P2", "P10")[: choose.between(1 if mood in ("press", "room") else 0, 2)]:
        press = Press(
            tag=tag,
            rated_force=Force(round(full * choose.of(shares) * 1000)),
            opening=Length(tall + choose.of(spares)),
            throat=Length(deep + choose.of(spares)),
        )
        presses.append(_partly_measured(choose, press, ("opening", "throat", "rated_force"), mood))
    return presses
