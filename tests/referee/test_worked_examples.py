"""Worked examples with published answers, put to the planner as a user's crib would be."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import sqrt

import pytest

from broachplan.crib.shelf import Shelf
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits
from broachplan.planner.after import plain_reading
from broachplan.planner.answer import Answer, Rule
from broachplan.planner.plan import plan
from broachplan.planner.starting_point import on_read_metal
from broachplan.quantities import Force
from broachplan.settings import Settings
from broachplan.standards.named import Standard
from broachplan.tooling.hub import Hub
from broachplan.tooling.materials import CuttingForce, Group, Material
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim

NEWTONS_PER_LBF = 4.4482216152605  # exact pound of 1959 and standard gravity, ISO 80000-4
PUBLISHED = 0.005  # how near a published, rounded force must be met


def mm(text: str) -> Length:
    return Length.mm(text)


def inch(text: str) -> Length:
    return Length.inches(text)


def keyway(width: Length, reading: Length, either_side: Length) -> Keyway:
    return Keyway(
        standard=Standard.OWN,
        shape=None,
        width=Limits(width, width - either_side, width + either_side),
        reading=Limits(reading, reading - either_side, reading + either_side),
        aim=reading,
        arc=Length(1),
        depth_at_wall=Length(1),
        source="worked example",
        status="given",
    )


def asked(
    hub: Hub, drawing: Keyway, broach: Broach, bushing: Bushing, *shims: Shim, **more: object
) -> Answer:
    presses = (more["press"],) if "press" in more else ()
    shelf = Shelf((broach,), (bushing,), shims, presses)
    return plan(hub, drawing, shelf, more.get("settings", Settings()))


def refused_by(answer: Answer) -> set[Rule]:
    return {refusal.rule for refusal in answer.refusals}


# A1: university machine-design course, homework with solution, 2011; keyway push broaching of grey cast iron.
# Bore 1 in, hub 1.6 in, keyway 1/4 in, rise 0.005 in, pitch 3/8 in, kc 1500 N/mm2: at most 5 teeth, 1360 lbf.
A1_IRON = Material(
    "grey cast iron 200 HB",
    Group.BRITTLE,
    CuttingForce(1500.0, 0.0, "course problem with solution, 2011", "read"),
    CuttingForce(1500.0, 0.0, "course problem with solution, 2011", "read"),
)
A1_HUB = Hub(bore=Limits.exactly(inch("1")), length=inch("1.6"), material=A1_IRON)
A1_BROACH = Broach(
    tag="K",
    keyway_width=inch("0.25"),
    body_width=inch("0.25"),
    first_tooth_height=inch("0.5"),
    last_tooth_height=inch("0.6"),
    tooth_pitch=inch("0.375"),
    rising_teeth=21,
)
A1_BUSHING = Bushing(tag="G", outside_diameter=inch("0.999"), slot_width=inch("0.251"), web=inch("0.480"))
A1_SHIM = Shim(tag="S", thickness=inch("0.1"), width=inch("0.25"))
A1_DRAWING = keyway(inch("0.25"), inch("1.18"), inch("0.001"))


def a1(**more: object) -> Answer:
    sharp = Settings(dull_edge=Fraction(1))
    return asked(A1_HUB, A1_DRAWING, A1_BROACH, A1_BUSHING, A1_SHIM, settings=sharp, **more)


def test_a1_five_teeth_are_in_the_cut_at_most() -> None:
    assert [step.teeth_in_cut for step in a1().plans[0].passes] == [5, 5]


def test_a1_the_largest_force_is_1360_pounds_within_half_a_percent() -> None:
    for step in a1().plans[0].passes:
        assert step.force_low == pytest.approx(1360 * NEWTONS_PER_LBF, rel=PUBLISHED)
        assert step.force_high == step.force_low


def test_a1_the_average_force_is_1161_pounds_within_half_a_percent() -> None:
    step = a1().plans[0].passes[-1]
    average_teeth = A1_HUB.cut_length.nm / A1_BROACH.tooth_pitch.nm
    assert average_teeth == pytest.approx(4.27, abs=0.005)

    assert step.force_low / step.teeth_in_cut * average_teeth == pytest.approx(
        1161 * NEWTONS_PER_LBF, rel=PUBLISHED
    )


def test_a1_a_press_may_be_used_up_to_seventy_percent_of_its_rated_force() -> None:
    # At most 70 percent, from memory. 5 x 6.35 x 0.127 mm2 x 1500 N/mm2 = 6048.4 N = 0.7 x 8640.5 N.
    enough, too_weak = (Press(tag="P", rated_force=Force(mn)) for mn in (8_641_000, 8_640_000))

    assert a1(press=enough).plans[0].press == enough
    assert a1(press=too_weak).plans == ()
    assert Rule.PRESS_FORCE in refused_by(a1(press=too_weak))


# A2: handbook pitch formula, pitch = 3 sqrt(L d F). Squared: L d = pitch^2 / 9 / F, which is the rule `chip_room`
# for a gullet taken as pitch^2 / 9 and the same factor F.


def a2(length: Length, pitch: Length, rise: Length, width: Length) -> Answer:
    broach = Broach(
        tag="K",
        keyway_width=width,
        body_width=width,
        first_tooth_height=mm("12"),
        last_tooth_height=mm("12") + rise * 20,
        tooth_pitch=pitch,
        rising_teeth=21,
    )
    web = mm("12.6")
    bushing = Bushing(tag="G", outside_diameter=mm("24.98"), slot_width=width + mm("0.02"), web=web)
    drawing = keyway(width, web + broach.last_tooth_height, mm("0.01"))
    hub = Hub(bore=Limits.exactly(mm("25")), length=length)
    return asked(hub, drawing, broach, bushing, settings=Settings(chip_factor_ductile=Fraction(5)))


def test_a2_the_handbooks_pitch_of_0_450_inch_has_chip_room_and_a_finer_one_has_not() -> None:
    # L 1.5 in, d 0.003 in, F 5 -> 0.450 in.
    length, rise, width = inch("1.5"), inch("0.003"), inch("0.25")

    assert a2(length, inch("0.4500"), rise, width).ready
    assert refused_by(a2(length, inch("0.4499"), rise, width)) == {Rule.CHIP_ROOM}


def test_a2_turned_round_the_longest_cut_of_an_8_mm_pitch_is_28_4_mm() -> None:
    # 8^2 / (9 x 0.05 x 5) = 28.444... mm
    pitch, rise, width = mm("8"), mm("0.05"), mm("6")

    assert a2(mm("28.4"), pitch, rise, width).ready
    assert a2(mm("28.444444"), pitch, rise, width).ready
    assert refused_by(a2(mm("28.444445"), pitch, rise, width)) == {Rule.CHIP_ROOM}
    assert refused_by(a2(mm("28.5"), pitch, rise, width)) == {Rule.CHIP_ROOM}


# A3: Kalpakjian & Schmid eq. 24.6, pitch = 1.76 sqrt(l) in mm, and at least two teeth in contact (El-Hofy: pitch
# below l / 2), which is the rule `engagement`.


def a3(length: Length, pitch: Length) -> Answer:
    return a2(length, pitch, mm("0.01"), mm("6"))


def test_a3_the_pitch_of_a_40_mm_cut_is_11_13_mm_and_keeps_more_than_two_teeth_in_contact() -> None:
    pitch = Length(round(1.76 * sqrt(40) * 1_000_000))
    assert pitch.in_mm == pytest.approx(11.13, abs=0.005)

    answer = a3(mm("40"), pitch)

    assert answer.plans[0].passes[0].teeth_in_cut == 4


def test_a3_two_teeth_in_contact_are_enough_and_a_shorter_hub_is_refused() -> None:
    pitch = mm("11.13")

    assert a3(pitch * 2, pitch).plans[0].passes[0].teeth_in_cut == 2
    assert refused_by(a3(pitch * 2 - Length(1), pitch)) == {Rule.ENGAGEMENT}


def test_a3_the_formulas_pitch_keeps_two_teeth_in_contact_from_a_cut_of_12_4_mm() -> None:
    # 2 x 1.76 sqrt(l) <= l from l = (2 x 1.76)^2 = 12.39 mm.
    for length, engaged in ((12.4, True), (12.3, False)):
        pitch = Length(round(1.76 * sqrt(length) * 1_000_000))
        answer = a3(Length(round(length * 1_000_000)), pitch)
        assert (Rule.ENGAGEMENT not in refused_by(answer)) is engaged


# G1: geometry only, reckoned in the project's reference notes. Bore 25.000 mm, keyway 8 mm: y = 0.657 mm, first metal
# 24.343. Broach first tooth 12.80, last 14.00, rise 0.05, web 11.50.
G1_BROACH = Broach(
    tag="K",
    keyway_width=mm("8"),
    body_width=mm("8"),
    first_tooth_height=mm("12.80"),
    last_tooth_height=mm("14.00"),
    tooth_pitch=mm("8"),
    rising_teeth=25,
)
G1_SHIMS = tuple(
    Shim(tag=tag, thickness=mm(thick), width=mm("8")) for tag, thick in (("a", "1"), ("b", "1"), ("c", "0.9"))
)
G1_DRAWING = keyway(mm("8"), mm("28.40"), mm("0.02"))


def g1(web: str) -> Answer:
    hub = Hub(bore=Limits.exactly(mm("25")), length=mm("17"))
    bushing = Bushing(tag="G", outside_diameter=mm("24.98"), slot_width=mm("8.02"), web=mm(web))
    drawing = replace(G1_DRAWING, reading=Limits(mm("28.40"), mm("28.38"), mm("28.50")))
    return asked(hub, drawing, G1_BROACH, bushing, *G1_SHIMS)


def g1_after(read: str, *tags: str) -> Answer:
    """What is left of G1 once a pass with these shims read so."""
    hub = Hub(bore=Limits.exactly(mm("25")), length=mm("17"))
    bushing = Bushing(tag="G", outside_diameter=mm("24.98"), slot_width=mm("8.02"), web=mm("11.50"))
    drawing = replace(G1_DRAWING, reading=Limits(mm("28.40"), mm("28.38"), mm("28.50")))
    shelf = Shelf((G1_BROACH,), (bushing,), G1_SHIMS, ())
    stack = [shim for shim in G1_SHIMS if shim.tag in tags]
    plain = plain_reading(G1_BROACH, bushing, stack)
    start = on_read_metal(plain.nm, mm(read).nm)
    return plan(hub, drawing, shelf, Settings(), start=start)


def test_g1_read_as_planned_after_each_pass_goes_on_to_28_40() -> None:
    for left, read, tags in ((3, "25.50", ""), (2, "26.50", "a"), (1, "27.50", "ab")):
        (rest,) = g1_after(read, *tags).plans

        assert len(rest.passes) == left
        assert rest.reading == mm("28.40")


def test_g1_read_0_03_deep_after_pass_one_expects_28_43_in_the_same_passes() -> None:
    # 25.53 - 25.50 = 0.03; 28.40 + 0.03 = 28.43 lies within 28.38 to 28.50.
    (rest,) = g1_after("25.53").plans

    assert [step.reading for step in rest.passes] == [mm("26.53"), mm("27.53"), mm("28.43")]
    assert [sorted(shim.tag for shim in step.stack) for step in rest.passes] == [
        ["a"],
        ["a", "b"],
        ["a", "b", "c"],
    ]


def test_g1_read_too_deep_for_its_shims_is_blocked() -> None:
    # 0.11 deep: all three shims would read 28.51, two of them 27.61; nothing lies within 28.38 to 28.50.
    assert refused_by(g1_after("25.61")) == {Rule.READING}


def test_g1_four_passes_read_from_25_50_to_28_40() -> None:
    passes = g1("11.50").plans[0].passes

    assert passes[0].reading == mm("25.50")
    assert passes[-1].reading == mm("28.40")
    assert [sorted(shim.tag for shim in step.stack) for step in passes] == [
        [],
        ["a"],
        ["a", "b"],
        ["a", "b", "c"],
    ]


def test_g1_the_first_tooth_enters_up_to_a_rise_over_the_first_metal() -> None:
    # 12.80 + web <= 24.343 + 0.05, the first metal being (25 + sqrt(25^2 - 8^2)) / 2 = 24.34272.
    first_metal = (25 + sqrt(25**2 - 8**2)) / 2
    assert first_metal == pytest.approx(24.343, abs=0.0005)
    assert 12.80 + 11.5927 < first_metal + 0.05 < 12.80 + 11.5928

    assert g1("11.5927").ready
    assert Rule.ENTRY in refused_by(g1("11.5928"))


def test_g1_the_first_tooth_bites_as_much_as_it_is_above_the_first_metal() -> None:
    step = g1("11.55").plans[0].passes[0]

    assert step.first_bite.in_mm == pytest.approx(12.80 + 11.55 - 24.34272, abs=1e-5)
