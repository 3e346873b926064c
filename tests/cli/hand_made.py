"""Answers written by hand: what the faces are tested on without a crib. The figures need not obey the rules."""

from __future__ import annotations

from dataclasses import replace

from broachplan.cli.layout import sheet_lines
from broachplan.cut.budget import Budget, StackPart, Term
from broachplan.cut.measure_first import MeasureFirst
from broachplan.cut.play import Span
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits, System, Units
from broachplan.planner.answer import (
    AfterReading,
    Answer,
    Band,
    Caution,
    Make,
    Nearest,
    Pass,
    Plan,
    PlanBudget,
    ReadingSays,
    Refusal,
    Rule,
    Warn,
)
from broachplan.quantities import Force
from broachplan.settings import Settings
from broachplan.sheets.answer import plan_sheet
from broachplan.standards.named import Shape, Standard
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import BoreForm, Hub
from broachplan.tooling.materials import CuttingForce, Group, Material
from broachplan.tooling.pieces import Broach, Bushing, Press, Shim

INCH = Length.inches


def in_words(answer: Answer) -> list[str]:
    """An answer as the command line prints it."""
    return sheet_lines(plan_sheet(answer))


IRON = Material(
    "grey iron",
    Group.BRITTLE,
    CuttingForce(1500, 0, "a course's worked answer", "read"),
    CuttingForce(1900, 0.1, "a handbook remembered", "memory"),
)
HUB = Hub(
    bore=Limits(INCH("1.375"), INCH("1.375"), INCH("1.376")),
    length=INCH("1.75"),
    material=IRON,
    stack=2,
    outside_diameter=INCH("2.5"),
)
KEYWAY = Keyway(
    standard=Standard.INCH,
    shape=Shape.SQUARE,
    width=Limits(INCH("0.375"), INCH("0.375"), INCH("0.377")),
    reading=Limits(INCH("1.541"), INCH("1.541"), INCH("1.551")),
    aim=INCH("1.546"),
    arc=Length(661_500),
    depth_at_wall=INCH("0.1875"),
    source="ASME B17.1, key size by shaft diameter",
    status="memory",
    remarks=("class 1 was taken: no fit was named",),
    off_table="the table's key for this bore is 5/16 in",
)
SHIMS = tuple(
    Shim(tag=f"S-{thou:03d}", thickness=INCH(f"0.{thou:03d}"), width=INCH("0.36")) for thou in (62, 93, 16)
)
BROACH = Broach(tag="KB-375", keyway_width=INCH("0.376"), tooth_pitch=INCH("0.25"), rising_teeth=20)
UNCOUNTED = replace(BROACH, tooth_pitch=None, rising_teeth=None)
BUSHING = Bushing(tag="GB-1375", outside_diameter=INCH("1.374"), web=INCH("0.63"))
PRESS = Press(tag="P-3", rated_force=Force(30_000_000))


def one_pass(
    number: int,
    stack: tuple[Shim, ...],
    reading: str,
    force: tuple[float, float] | None = (3000.0, 6543.2109),
) -> Pass:
    total = sum((shim.thickness.nm for shim in stack if shim.thickness), 0)
    low, high = force or (None, None)
    return Pass(
        number=number,
        stack=stack,
        shims=Length(total),
        reading=INCH(reading),
        first_bite=INCH("0.0031"),
        largest_bite=INCH("0.004"),
        teeth_cutting=12,
        teeth_in_cut=5,
        force_low=low,
        force_high=high,
        band=Band(INCH(reading) - INCH("0.0004"), INCH(reading) + INCH("0.0028")),
    )


BUDGET = PlanBudget(
    last=Budget(
        expected=INCH("1.5455").nm,
        terms=(
            Term(
                StackPart.BROACH,
                "KB-375",
                -20_000,
                20_000,
                "measured with a height gauge: error_height_gauge, from memory",
            ),
            Term(StackPart.JOINT, None, 0, 5_000, "joint_film, from memory"),
            Term(StackPart.JOINT, None, 0, 5_000, "joint_film, from memory"),
        ),
        gap=Span(0, 50_800),
        top=Span(0, 50_800),
        bottom=Span(-12_700, 63_500),
        low=INCH("1.5451").nm,
        high=INCH("1.5483").nm,
    ),
    first=MeasureFirst(StackPart.BORE, None, 81_280, 68_580),
    ends_differ=Length(63_500),
    off_centre=INCH("0.0015"),
    off_centre_most=INCH("0.01"),
    lead=INCH("0.0035"),
    lead_most=None,
)


def a_plan(
    *passes: Pass, broach: Broach = BROACH, press: Press | None = PRESS, tip: str | None = None
) -> Plan:
    return Plan(
        broach=broach,
        bushing=BUSHING,
        press=press,
        passes=passes,
        reading=INCH("1.5455"),
        band=Band(INCH("1.5451"), INCH("1.5483")),
        budget=BUDGET,
        cautions=(Caution(Warn.SLENDER, "the broach carries 2.6 times the load: press slowly"),),
        tip=tip,
    )


REFUSALS = (
    Refusal(
        Rule.WIDTH,
        5,
        (
            Nearest("KB-312", None, "cuts 0.3125 in, the keyway is 0.3750 to 0.3770 in"),
            Nearest("KB-500", None, "cuts 0.5000 in, the keyway is 0.3750 to 0.3770 in"),
            Nearest("KB-250", None, "cuts 0.2500 in, the keyway is 0.3750 to 0.3770 in"),
        ),
    ),
    Refusal(Rule.READING, 1, (Nearest("KB-375", "GB-1374", "the nearest stack reads 1.5200 in"),)),
)
READY = Answer(
    hub=HUB,
    keyway=KEYWAY,
    settings=Settings(),
    plans=(
        a_plan(
            one_pass(1, (), "1.3745"),
            one_pass(2, SHIMS[:1], "1.4365"),
            one_pass(3, SHIMS, "1.5455"),
            tip="a shim of 0.0940 in would save a pass",
        ),
        a_plan(one_pass(1, (), "1.5455", None), broach=Broach(tag="KB-376"), press=None),
    ),
    refusals=REFUSALS,
)
# What is left once pass 2 was read 2 thou shallow, off its band.
AFTER = replace(
    READY,
    plans=(a_plan(one_pass(1, SHIMS, "1.5435")),),
    after=AfterReading(
        outcome=ReadingSays.SHORT,
        stack=SHIMS[:1],
        plain=INCH("1.4365"),
        top=INCH("1.4345"),
        bottom=INCH("1.4345"),
        offset=INCH("1.4345") - INCH("1.4365"),
        doubtful=True,
        reads_as=((), SHIMS[1:]),
        planned=(SHIMS,),
        push_again=(INCH("1.4345"), INCH("1.4365")),
    ),
)
BLOCKED = Answer(
    hub=Hub(
        bore=Limits.exactly(Length.mm(25)),
        length=Length.mm(40),
        system=System.METRIC,
        bore_toleranced=False,
        bore_form=BoreForm.BLIND,
    ),
    keyway=Keyway(
        standard=Standard.OWN,
        shape=None,
        width=Limits.exactly(Length.mm(8)),
        reading=Limits(Length.mm("28.3"), Length.mm("28.3"), Length.mm("28.5")),
        aim=Length.mm("28.4"),
        arc=Length(657_000),
        depth_at_wall=Length.mm("2.6"),
        source="given with the question",
        status="given",
    ),
    settings=Settings(units=Units.MM),
    refusals=(
        *REFUSALS,
        Refusal(Rule.THROUGH, 1, (Nearest(None, None, "the bore is blind: have it shaped"),)),
    ),
    make=(
        Make(
            Kind.BUSHING,
            {
                "outside_diameter": (Length.mm("24.924"), Length.mm("24.987")),
                "slot_width": (Length.mm(8), Length.mm("8.1")),
            },
            {"outside_diameter": Length.mm("24.975"), "web": Length.mm("2.5")},
            "turn and slot a guide bushing",
        ),
    ),
    notes=("hub diameter not given: throat was not checked",),
)


def uncounted(each: Pass) -> Pass:
    """The same pass of a broach whose teeth were not counted and whose pitch was not measured."""
    left = ("largest_bite", "teeth_cutting", "teeth_in_cut", "force_low", "force_high")
    return replace(each, **dict.fromkeys(left))


NOT_KNOWN = replace(
    READY,
    plans=(a_plan(*map(uncounted, READY.plans[0].passes), broach=UNCOUNTED, press=None),),
)
