"""A gap between bushing and bore wall: it can only cut the keyway deeper, and a plan warns of that side alone."""

from __future__ import annotations

from broachplan.crib.shelf import Shelf
from broachplan.lengths import Length
from broachplan.planner.answer import Warn
from broachplan.planner.plan import plan
from broachplan.questions.hub import HubQuestion
from broachplan.questions.read_hub import read_hub_question
from broachplan.settings import Settings
from broachplan.tooling.pieces import Broach, Bushing
from tests.planner.setups import BASE, MM, NM, SetUp, caution, limits, shim, warned

INCH = Length.inches


def reading_up_to(limit: Length) -> SetUp:
    """Play 25 - 24.98 mm; three shims have four joints of at most 0.005 mm: deepest 28.1 + 0.02 + 0.02."""
    return BASE.but(keyway={"reading": limits(MM("28.0"), limit)})


def test_play_and_oil_in_every_joint_may_bring_the_reading_over_its_limit() -> None:
    assert Warn.BAND not in warned(reading_up_to(MM("28.14")).answer())
    assert Warn.BAND in warned(reading_up_to(MM("28.14") - NM).answer())


def test_without_oil_the_play_alone_counts() -> None:
    dry = reading_up_to(MM("28.12")).but(settings={"joint_film": Length(0)})

    assert Warn.BAND not in warned(dry.answer())
    assert Warn.BAND in warned(dry.but(keyway={"reading": limits(MM("28.0"), MM("28.12") - NM)}).answer())


def test_play_never_brings_the_reading_under_its_lower_limit() -> None:
    # The plain reading is the lower limit itself, and there is play.
    at_the_limit = BASE.but(keyway={"reading": limits(MM("28.1"), MM("28.2"))})

    assert Warn.BAND not in warned(at_the_limit.answer())


def test_six_thou_of_play_may_cut_six_thou_too_deep() -> None:
    # A bore of 1 in with 1/4 in key reads 1.1141 to 1.1241 in (ASME B17.1); bored five thou large it leaves this
    # bushing 1.005 - 0.9988 = 0.0062 in of play.
    hub, keyway = read_hub_question(HubQuestion(bore="1 in +0.005 -0.000", key="1/4 in", hub_length="1 in"))
    tool = Broach(
        tag="K",
        keyway_width=INCH("0.2505"),
        body_width=INCH("0.2505"),
        first_tooth_height=INCH("0.5200"),
        last_tooth_height=INCH("0.5954"),
        tooth_pitch=INCH("0.3125"),
        rising_teeth=30,
    )
    guide = Bushing(tag="G", outside_diameter=INCH("0.9988"), slot_width=INCH("0.2520"), web=INCH("0.4200"))
    shims = (shim("a", INCH("0.0525"), INCH("0.2500")), shim("b", INCH("0.0525"), INCH("0.2500")))

    answer = plan(hub, keyway, Shelf((tool,), (guide,), shims, ()), Settings())

    best = answer.plans[0]
    assert (best.reading, best.reading_low) == (INCH("1.1204"), INCH("1.1204"))
    # Deep by the play and by 5 um in each of three joints.
    assert best.reading_high == INCH("1.1204") + INCH("0.0062") + MM("0.015")
    assert "0.0062 in of play, and the keyway comes out deep" in caution(answer, Warn.LOOSE)
    assert "too deep: up to 1.1272 in, 0.0031 in past the limit of 1.1241 in" in caution(answer, Warn.BAND)
