"""An answer is whole: it carries what it was asked, and each of its figures follows from the others."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.milling import RUB
from broachplan.keyways.milling_card import Card, State
from broachplan.keyways.parallel import hub_keyway
from broachplan.keyways.strength import FailureMode, Strength
from broachplan.lengths import Length, read_limits, write_exact
from broachplan.quantities import parse_power, parse_speed
from broachplan.questions.read_joint import read_joint
from broachplan.questions.read_keyseat import read_card
from broachplan.questions.read_strength import read_strength
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion, StrengthQuestion
from broachplan.standards.named import Standard

INCH, MM = Length.inches, Length.mm


def strength(**asked: str) -> Strength:
    return read_strength(StrengthQuestion(shaft="25 mm", **asked))


def card(**asked: str) -> Card:
    return read_card(KeyseatQuestion(shaft="1-3/8 in", key="3/8 in", **asked))


def parts(answer: Strength) -> dict[FailureMode, str]:
    return {check.part: check.basis for check in answer.checks}


def test_a_strength_answer_carries_its_question_and_the_force_and_stress_follow() -> None:
    answer = strength(
        power="5.5 kW",
        rpm="1450",
        straight="40 mm",
        key_yield="340 MPa",
        shaft_yield="400 MPa",
        safety_factor="2",
    )

    assert (answer.shaft, answer.length, answer.safety) == (MM(25), MM(40), 2)
    assert (answer.power, answer.rpm) == (parse_power("5.5 kW"), 1450)
    # T = P / omega, F = 2 T / d, tau = F / (b l); a shaft in torsion yields at pi d^3 / 16 x half its yield.
    assert answer.torque == pytest.approx(5500 / (1450 * 2 * pi / 60))
    assert answer.torque is not None
    assert answer.force == pytest.approx(2 * answer.torque / 0.025)
    shear = next(check for check in answer.checks if check.part is FailureMode.KEY_SHEAR)
    assert shear.breadth == MM(8)
    assert shear.stress == pytest.approx(2 * answer.torque / 0.025 / (8 * 40))
    assert answer.shaft_carries == pytest.approx(pi * 0.025**3 / 16 * 200e6)


def test_a_strength_shows_its_source_and_its_assumptions() -> None:
    reckoned = strength(torque="100 N m", straight="40 mm", key_yield="340 MPa")
    given = strength(torque="100 N m", straight="40 mm", shear_strength="170 MPa", bearing_strength="300 MPa")

    assert parts(reckoned) == {FailureMode.KEY_SHEAR: "half the yield", FailureMode.KEY_BEARING: "the yield"}
    assert parts(given) == {FailureMode.KEY_SHEAR: "given", FailureMode.KEY_BEARING: "given"}
    assert any("half the yield" in said for said in reckoned.assumptions)
    assert not any("half the yield" in said for said in given.assumptions)
    assert not any("shaft is solid" in said for said in reckoned.assumptions)
    with_shaft = strength(torque="100 N m", straight="40 mm", shear_strength="170 MPa", shaft_yield="400 MPa")
    assert any("shaft is solid" in said for said in with_shaft.assumptions)
    assert any("half the yield" in said for said in with_shaft.assumptions)


def test_a_key_is_called_long_over_one_and_a_half_diameters_and_not_before() -> None:
    def said(torque: str) -> bool:
        answer = strength(torque=torque, bearing_strength="100 MPa", safety_factor="1")
        assert answer.needed is not None
        assert answer.needed > MM(25) * Fraction(2, 3)
        return any("1.5 shaft diameters" in remark for remark in answer.remarks)

    # F = 2 T / 25 mm on half of 7 mm at 100 N/mm2: 37.5 mm of key bear 13 125 N, 164.06 N m.
    assert not said("164 N m")
    assert said("165 N m")


def test_a_shaft_that_yields_first_is_named_with_the_chosen_safety_or_with_none() -> None:
    def message(torque: str, **more: str) -> list[str]:
        answer = strength(torque=torque, straight="40 mm", shaft_yield="400 MPa", key_yield="340 MPa", **more)
        return [remark for remark in answer.remarks if "the shaft itself" in remark]

    # A shaft of 25 mm yields at 613.6 N m.
    assert message("613 N m") == []
    (plain,) = message("614 N m")
    assert "at safety" not in plain
    (safe,) = message("307 N m", safety_factor="2")
    assert "at safety 2" in safe
    assert message("306 N m", safety_factor="2") == []


def test_half_a_load_is_refused_with_what_is_missing() -> None:
    for asked, message in (
        ({"power": "5 kW"}, "power and speed go together"),
        ({"rpm": "1450"}, "power and speed go together"),
        ({"torque": "100 N m", "power": "5 kW", "rpm": "1450"}, "not both"),
        ({}, "give the torque, or the power and the speed"),
    ):
        with pytest.raises(InputError, match=message):
            strength(**asked, straight="40 mm", key_yield="340 MPa")
    with pytest.raises(InputError, match="parallel keys"):
        strength(torque="100 N m", straight="40 mm", key_yield="340 MPa", standard="woodruff")
    for name, example in (("rpm", "1450"), ("safety_factor", "2")):
        with pytest.raises(InputError, match=f"{name.partition('_')[0]}: read .*{example}"):
            strength(**{"power": "5 kW", "rpm": "1450", name: "fast"}, straight="40 mm", key_yield="340 MPa")  # type: ignore[arg-type]


@pytest.mark.parametrize(("shaft", "key"), [("1-3/8 in", "3/8 in"), ("30 mm", "10 mm")])
def test_the_nominal_of_a_clearance_is_that_of_its_parts(shaft: str, key: str) -> None:
    done = read_joint(JointQuestion(shaft=shaft, key=key))

    assert done.key.width == read_limits(key).limits.nominal
    assert done.standard is (Standard.INCH if "in" in shaft else Standard.METRIC)
    for one in done.clearances:
        assert one.shaft_side.nominal == done.shaft.width.nominal - one.stock.width.nominal
        assert one.hub_side.nominal == done.hub.width.nominal - one.stock.width.nominal
        assert (
            one.top.nominal
            == done.hub.reading.nominal - done.shaft.reading.nominal - one.stock.height.nominal
        )
    if done.position is not None:
        assert done.position.source
        assert done.position.status in ("read", "memory")


def test_an_aim_asked_for_is_kept_without_a_standard_too() -> None:
    kept = hub_keyway(
        read_limits("1 in").limits,
        standard=Standard.OWN,
        width=read_limits("0.25 in +0.002 -0"),
        reading=read_limits("1.1 in +0.01 -0"),
        aim=INCH("1.102"),
    )

    assert kept.aim == INCH("1.102")


def test_a_card_carries_its_question() -> None:
    asked = card(
        cutter="3/8 in",
        length="2 in",
        from_end="1-1/2 in",
        finder="0.5 in",
        speed="80 ft/min",
        key_height="0.374 in",
    )

    assert asked.shaft.nominal == INCH("1.375")
    assert (asked.cutter, asked.from_end, asked.key_height) == (INCH("0.375"), INCH("1.5"), INCH("0.374"))
    assert asked.finding is not None
    assert (asked.finding.finder, asked.finding.half_finder, asked.finding.half_shaft) == (
        INCH("0.5"),
        INCH("0.25"),
        INCH("0.6875"),
    )
    assert asked.spindle is not None
    assert asked.spindle.speed == parse_speed("80 ft/min")
    assert asked.own_limits is False
    assert card(depth_limits="+0.000 -0.012").own_limits is True
    assert "own limits" not in asked.source


def test_a_narrow_cutter_goes_to_each_side_by_half_of_what_it_lacks() -> None:
    narrow = card(cutter="5/16 in")
    width = narrow.joint.shaft.width

    assert narrow.side_move is not None
    for moved, seat in ((narrow.side_move.lower, width.lower), (narrow.side_move.upper, width.upper)):
        assert moved == Length(round(Fraction((seat - INCH("0.3125")).nm, 2)))
    assert narrow.side_move.nominal in narrow.side_move


def test_a_reading_carries_what_it_was_taken_over_and_says_when_the_key_was_not_measured() -> None:
    over_key = card(measured="1.5350 in", measured_over="key")
    over_floor = card(measured="1.1600 in", measured_over="floor")

    assert over_key.after is not None
    assert over_floor.after is not None
    assert over_key.after.measured.size == INCH("1.535")
    # A key on size is 3/8 in high.
    assert over_key.after.floor == INCH("1.16")
    assert over_floor.after.floor == INCH("1.16")
    assert over_key.after.state is State.WITHIN

    def asks_for_the_key(done: Card) -> bool:
        return any("measure the key" in remark for remark in done.remarks)

    assert asks_for_the_key(over_key)
    assert not asks_for_the_key(over_floor)
    assert not asks_for_the_key(card())
    assert not asks_for_the_key(card(measured="1.5350 in", measured_over="key", key_height="0.3745 in"))


def test_a_woodruff_card_is_set_by_its_cutter_and_place() -> None:
    done = read_card(KeyseatQuestion(shaft="1 in", standard="woodruff", number="808", from_end="1 in"))

    setup = done.woodruff
    assert setup is not None
    assert setup.place == INCH(1)
    assert done.cutter == setup.diameter == setup.cutter.diameter
    # The chord of the cutter at the depth at the seat's edge, by the chord theorem.
    radius, deep = setup.diameter.nm / 2, setup.at_edge.nm
    assert setup.seat_length.nm == pytest.approx(2 * (radius**2 - (radius - deep) ** 2) ** 0.5, abs=2)


def test_the_hub_of_a_stepped_key_has_the_fit_asked_for_and_the_key_its_whole_height() -> None:
    def stepped(fit: str) -> Joint:
        return read_joint(JointQuestion(shaft="40 mm", key="12 mm", hub_key="14 mm", fit=fit))

    first, second = stepped("normal"), stepped("close")
    assert first.hub.width != second.hub.width
    assert first.stepped is not None
    assert first.stepped.hub_width != first.stepped.shaft_width
    # Over shaft and seated key: the floor's reading and the whole height of the stepped key.
    assert first.over_key_limits.upper == first.shaft.reading.upper + first.stepped.height.upper
    assert first.over_key_limits.lower == first.shaft.reading.lower + first.stepped.height.lower


def test_a_shaft_with_limits_has_depths_for_its_smallest_and_its_largest() -> None:
    done = read_card(KeyseatQuestion(shaft="1.375 in +0.000 -0.002", key="3/8 in"))

    # From the top of the shaft: the deepest floor of the least shaft bounds one side, the highest of the largest the other.
    assert done.depth.nominal == done.shaft.nominal - done.floor.nominal
    assert done.depth.lower <= done.depth.nominal < done.depth.upper
    for size in (done.shaft.lower, done.shaft.upper):
        for depth in (done.depth.lower, done.depth.upper):
            assert size - depth in done.floor


def test_a_last_cut_that_may_rub_is_cautioned_about_with_its_size() -> None:
    # By ASME B17.1 the aim lies 0.2138 in deep, and 0.2136 is just within these limits: whole steps end under it.
    for step in ("0.1066 in", "0.0711 in", "0.0533 in"):
        done = card(step=step, depth_limits="+0.0000 -0.0004 in")
        last = done.passes[-1].cut
        (said,) = (remark for remark in done.remarks if "may rub" in remark)

        assert last < RUB
        assert write_exact(last) in said

    assert not any("may rub" in remark for remark in card(step="0.0471 in").remarks)


def test_a_measured_key_may_be_a_quarter_off_its_size_and_a_cutter_a_tenth() -> None:
    assert card(key_height="0.46875 in").key_height == INCH("0.46875")
    with pytest.raises(InputError, match="key height"):
        card(key_height="0.469 in")

    def woodruff(cutter: str) -> Card:
        asked = KeyseatQuestion(shaft="1 in", standard="woodruff", number="808", cutter=cutter)
        return read_card(asked)

    # Number 808 is cut by a cutter of 1 in.
    assert woodruff("1.095 in").cutter == INCH("1.095")
    with pytest.raises(InputError, match="cutter"):
        woodruff("1.13 in")


def test_the_depths_of_an_exact_shaft_are_those_of_its_floor_from_the_top() -> None:
    done = card()

    assert done.depth.lower == done.shaft.nominal - done.floor.upper
    assert done.depth.upper == done.shaft.nominal - done.floor.lower
