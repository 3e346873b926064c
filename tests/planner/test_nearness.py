"""By how much a rule fails decides which refusals are shown: the piece that nearly fits comes first."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from broachplan.lengths import Units
from broachplan.planner.answer import Rule
from broachplan.quantities import Area, Force
from broachplan.tooling.materials import Group
from tests.planner.setups import BASE, MM, SetUp, limits, metal, shim, words_of

PLAIN = BASE.but(hub={"material": None}, press=None)
LOW = PLAIN.but(keyway={"reading": limits(MM(25), MM("25.1")), "aim": MM(25)})
HIGH = PLAIN.but(shims=BASE.shims[:2])
LONG = BASE.but(broach={"overall_length": MM(400)}, press=None)

# The rule; what all of them have; the figures of the broaches or bushings, the nearest first.
BROACHES: list[tuple[Rule, SetUp, list[dict[str, Any]]]] = [
    # The keyway is 6.98 to 7.02 mm.
    (Rule.WIDTH, PLAIN, [{"keyway_width": MM("7.03")}, {"keyway_width": MM("6.96")}, {"keyway_width": MM("7.05")}]),
    (Rule.NOT_MEASURED, PLAIN, [{"last_tooth_height": None}, {"last_tooth_height": None, "first_tooth_height": None}]),
    # The hub is 17 mm long.
    (Rule.ENGAGEMENT, LONG, [{"tooth_pitch": MM("8.6")}, {"tooth_pitch": MM(9)}, {"tooth_pitch": MM(10)}]),
    # 17 mm x 0.05 mm x 2 = 1.7 mm2 of chip.
    (Rule.CHIP_ROOM, PLAIN, [{"gullet_area": Area(nm2)} for nm2 in (1_690_000_000_000, 1_600_000_000_000, 1_000_000_000_000)]),
    # A press of 1000 N may give 700 N, three teeth as wide as the keyway take 300 N a millimetre.
    (Rule.PRESS_FORCE, BASE.but(press={"rated_force": Force(1_000_000)}), [{"keyway_width": MM(size)} for size in ("6.98", "7", "7.02")]),
    # I goes by the cube of the root's height.
    (Rule.COLUMN, BASE, [{"root_height": MM(size)} for size in ("2.2", "2.1", "2")]),
    # The step is 2.9 mm, and the teeth rise over 1.3, 1.2 and 1.1 mm.
    (Rule.BITE, PLAIN.but(shims=(shim("a", MM("2.9")),)), [{"first_tooth_height": MM(size)} for size in ("11.9", "12", "12.1")]),
    # The press opens 200 mm; the hub is 17 mm and the front 30 mm long.
    (Rule.OPENING, BASE.but(press={"opening": MM(200)}), [{"overall_length": MM(size)} for size in (225, 230, 242)]),
]  # fmt: skip
BUSHINGS: list[tuple[Rule, SetUp, list[dict[str, Any]]]] = [
    # The bore is 25 mm; 0.127 mm under it is too loose.
    (Rule.BUSHING_FIT, PLAIN, [{"outside_diameter": MM(size)} for size in ("25.01", "24.85", "25.05", "24.8")]),
    # The broach is 7 mm wide; 0.1016 mm over it is too wide.
    (Rule.SLOT_FIT, PLAIN, [{"slot_width": MM(size)} for size in ("6.99", "7.12", "6.97", "7.15")]),
    (Rule.NOT_MEASURED, PLAIN, [{"web": None}, {"web": None, "slot_width": None}]),
    # First metal at 24.5 mm: a bare slot over 12.55 mm is too deep; below 11.3 mm the bare slot reads short of it.
    (Rule.ENTRY, PLAIN, [{"web": MM(size)} for size in ("12.56", "12.6", "12.7")]),
    (Rule.ENTRY, PLAIN.but(shims=()), [{"web": MM(size)} for size in ("11.2", "11.1", "11")]),
    # Past the limits with no shim: 25.2 mm against 25.1; short of them with the stack of 2 mm: 27.3 against 28.05.
    (Rule.READING, LOW, [{"web": MM(size)} for size in (12, "12.1", "12.3")]),
    (Rule.READING, HIGH, [{"web": MM(size)} for size in ("12.3", "12.1", 12)]),
]  # fmt: skip


def _shown(setup: SetUp, kind: str, rule: Rule, figures: list[dict[str, Any]]) -> list[str]:
    """The tags shown by a rule where tags run against nearness, each a letter before the last."""
    part = getattr(setup, kind)
    tags = [chr(ord("Z") - place) for place in range(len(figures))]
    first, *others = (replace(part, tag=tag, **each) for tag, each in zip(tags, figures, strict=True))
    answer = replace(setup, **{kind: first}, more=tuple(others)).answer()
    return [
        getattr(near, kind) for refusal in answer.refusals if refusal.rule is rule for near in refusal.nearest
    ]


@pytest.mark.parametrize(("rule", "setup", "figures"), BROACHES, ids=lambda value: str(value)[:12])
def test_the_broach_that_fails_by_least_is_listed_first(
    rule: Rule, setup: SetUp, figures: list[dict[str, Any]]
) -> None:
    assert _shown(setup, "broach", rule, figures) == ["Z", "Y", "X"][: len(figures)]


@pytest.mark.parametrize(("rule", "setup", "figures"), BUSHINGS, ids=lambda value: str(value)[:12])
def test_the_bushing_that_fails_by_least_is_listed_first(
    rule: Rule, setup: SetUp, figures: list[dict[str, Any]]
) -> None:
    assert _shown(setup, "bushing", rule, figures) == ["Z", "Y", "X"][: len(figures)]


def test_the_nearest_press_is_the_one_named() -> None:
    def with_presses(**figures: Any) -> SetUp:
        assert BASE.press is not None
        strong, weak = (replace(BASE.press, tag=tag, **figures) for tag in ("Y", "Z"))
        nearer = {name: size * 2 for name, size in figures.items()}
        return BASE.but(press=replace(strong, **nearer), more=(weak, replace(weak, tag="A")))

    # 229 mm of opening and 30 mm of throat are needed.
    low = with_presses(opening=MM(100)).answer()
    assert "press Y opens" in words_of(low, Rule.OPENING)
    narrow = with_presses(throat=MM(10)).answer()
    assert "press Y has" in words_of(narrow, Rule.THROAT)
    assert narrow.refusals[0].nearest[0].short_by == MM(10).nm
    assert low.refusals[0].nearest[0].short_by == MM(29).nm


def test_what_is_off_is_shown_in_the_shop_s_units_with_what_would_do() -> None:
    metric = {"units": Units.MM}

    def shown(rule: Rule, setup: SetUp) -> str:
        return words_of(setup.but(settings=metric).answer(), rule)

    assert shown(Rule.SLOT_FIT, PLAIN.but(bushing={"slot_width": MM("6.99")})) == (
        "slot 6.990 mm is 0.010 mm narrower than the broach, 7.000 mm"
    )
    assert shown(Rule.SLOT_FIT, PLAIN.but(bushing={"slot_width": MM("7.2")})) == (
        "slot 7.200 mm is 0.200 mm wider than the broach, 7.000 mm; at most 0.1016 mm"
    )
    assert shown(Rule.BUSHING_FIT, PLAIN.but(bushing={"outside_diameter": MM("25.05")})) == (
        "25.050 mm is 0.050 mm too large for a bore of 25.000 mm"
    )
    assert shown(Rule.BUSHING_FIT, PLAIN.but(bushing={"outside_diameter": MM("24.5")})) == (
        "24.500 mm is 0.500 mm under a bore of 25.000 mm; at most 0.127 mm"
    )
    # 1 mm2 holds 1.5 times a chip of 13.333 mm x 0.05 mm where the metal is brittle.
    brittle = BASE.but(broach={"gullet_area": Area(10**12)}, hub={"material": metal(Group.BRITTLE)})
    assert "a chip from 17.000 mm does not fit the gullet: at most 13.333 mm" in shown(
        Rule.CHIP_ROOM, brittle
    )
    assert "height over first tooth, height over last tooth" in shown(
        Rule.NOT_MEASURED, PLAIN.but(broach={"first_tooth_height": None, "last_tooth_height": None})
    )
    # Three full teeth: 2100 N; 70 % of 1000 N.
    weak = BASE.but(press={"rated_force": Force(1_000_000)})
    assert shown(Rule.PRESS_FORCE, weak) == "needs 2.10 kN with a sharp broach; 70 % of press P is 0.70 kN"
    thin = BASE.but(broach={"root_height": MM(2)}, press=None)
    assert "a pass needs 2.10 kN, buckling ratio 0.19" in shown(Rule.COLUMN, thin)


def test_the_nearest_stack_from_below_is_named_where_others_go_past_the_limits() -> None:
    # 25.2 + 2.0 mm falls short of 28.05 mm; 25.2 + 4.0 mm is past 28.15 mm.
    blocked = PLAIN.but(shims=(shim("a", MM(2)), shim("b", MM(4))), settings={"units": Units.MM}).answer()

    assert "the nearest stack from below reads 27.200 mm" in words_of(blocked, Rule.READING)
