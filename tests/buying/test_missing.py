"""What a blocked job lacks, as what a seller or the shop can work to."""

from __future__ import annotations

from dataclasses import replace

from broachplan.buying.missing import MissingPiece, WhatIsMissing, what_is_missing
from broachplan.lengths import Length
from broachplan.planner.tried import try_hub
from broachplan.quantities import Force
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import BoreForm
from broachplan.tooling.pieces import Bushing, Press
from tests.buying.shop import job, judge, stock
from tests.planner.setups import MM, SetUp


def missing(**changes: object) -> WhatIsMissing:
    """What the set-up's hub lacks in a crib that was changed."""
    return what_is_missing(judge(stock(**changes)).trial(job()))


def of(kind: Kind, found: WhatIsMissing) -> list[MissingPiece]:
    """The pieces of one kind."""
    return [piece for piece in found.pieces if piece.kind is kind]


def test_a_bushing_is_described_by_the_rules_and_by_every_web_that_does() -> None:
    (bushing,) = of(Kind.BUSHING, missing(bushings=0))

    assert bushing.limits["outside_diameter"] == (MM("24.873"), MM(25))
    assert bushing.limits["slot_width"] == (MM(7), MM("7.1016"))
    assert any(low <= MM(12).nm <= high for low, high in bushing.intervals["web"])
    assert [size.name for size in bushing.sizes] == ["25 mm bore"]


def test_with_a_bushing_from_anywhere_in_the_limits_there_is_a_plan() -> None:
    trial = judge(stock(bushings=0)).trial(job())
    (bushing,) = of(Kind.BUSHING, what_is_missing(trial))
    ends = [web for interval in bushing.intervals["web"] for web in interval]

    for web in ends:
        new = Bushing(
            tag="N",
            outside_diameter=bushing.limits["outside_diameter"][1],
            slot_width=MM("7.02"),
            web=Length(web),
        )
        assert try_hub(replace(trial, shelf=replace(trial.shelf, bushings=(new,)))).begun


def test_a_shim_is_described_by_every_thickness_that_does_and_the_stock_sizes_among_them() -> None:
    (shim,) = of(Kind.SHIM, missing(shims=SetUp().shims[:2]))

    assert (MM("0.85").nm, MM("0.95").nm) in shim.intervals["thickness"]
    assert "0.9 mm shim stock" in [size.name for size in shim.sizes]
    assert {size.status for size in shim.sizes} == {"memory"}
    assert shim.beside == ("G",)


def test_where_the_press_refuses_the_opening_needed_is_given() -> None:
    (press,) = of(Kind.PRESS, missing(press={"opening": MM(200)}))

    # A hub of 17 mm and a broach of 242 mm less its pilot of 30 mm.
    assert press.limits["opening"] == (MM(229), None)
    assert press.limits["throat"] == (MM(30), None)


def test_a_press_of_what_is_needed_has_a_plan() -> None:
    trial = judge(stock(press={"rated_force": Force(100_000)})).trial(job())
    (needed,) = of(Kind.PRESS, what_is_missing(trial))
    assert needed.force is not None
    press = Press(tag="N", rated_force=needed.force, opening=needed.limits["opening"][0])

    assert try_hub(replace(trial, shelf=replace(trial.shelf, presses=(press,)))).begun


def test_a_hub_too_thin_is_answered_with_how_many_to_stack() -> None:
    found = missing(broach={"tooth_pitch": MM("8.6")})

    assert any(one.hubs == 2 for one in found.advice)


def test_for_a_blind_hub_no_piece_is_named_but_what_else_could_cut_it() -> None:
    hub = replace(SetUp().hub, bore_form=BoreForm.BLIND)

    found = what_is_missing(judge(stock()).trial(job(hub=hub)))

    assert found.pieces == ()
    assert "eroded" in found.instead[0]


def test_without_a_broach_of_the_width_its_limits_and_the_keys_within_are_given() -> None:
    found = missing(broach={"keyway_width": MM("7.5"), "body_width": MM(7)})

    (broach,) = of(Kind.BROACH, found)
    assert broach.limits["keyway_width"] == (MM("6.98"), MM("7.02"))
    assert "another fit class" in found.instead[0]
