"""At the press: one pass at a time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.planner.answer import Answer, Pass
from broachplan.planner.pass_section import section_of
from tests.tui.answers import HUB, READY, Bench, inch, limits, plan
from tests.tui.driving import LARGE, SMALL, Drive, drive
from tui.widgets.figure import LargeFigure
from tui.widgets.section_view import SectionView


@pytest.mark.parametrize("size", [SMALL, LARGE])
def test_the_passes_are_stepped_with_stack_reading_and_picture_and_the_rest_has_keys(
    size: tuple[int, int],
) -> None:
    async def act(at: Drive) -> None:
        await at.press("f3")
        assert "PASS 1 OF 3" in at.words("#title")
        assert "no shim" in at.words("#put-in")
        blocks = [line for line in at.screen().splitlines() if line[:48].count("█") > 3]
        assert size != SMALL or len(blocks) == 10
        await at.press("right", "right")
        assert "PASS 3 OF 3" in at.words("#title")
        assert at.words("#put-in") == "PUT IN  SH-055 (0.0550) + SH-049 (0.0490)"
        assert at.app.screen.query_one("#shims", LargeFigure).value == "0.1040"
        assert at.app.screen.query_one("#reading", LargeFigure).value == "1.1190"
        section = at.app.screen.query_one(SectionView).section
        assert section is not None
        assert len(section.layers) == 3
        await at.press("right")
        assert "PASS 3 OF 3" in at.words("#title")
        await at.press("home")
        assert "PASS 1 OF 3" in at.words("#title")

        await at.press("z")
        assert at.app.screen.query_one(SectionView).close
        await at.press("p")
        assert at.app.screen.query_one(SectionView).size.width == size[0]
        await at.press("p", "f9", "f9")
        assert at.app.screen.query_one("#reading", LargeFigure).unit == "mm"
        await at.press("c")
        assert "longer than the bushing" in at.words("#pane-text")

    drive(act, size=size)


def short_pass(one: Pass) -> Pass:
    return replace(one, reading=inch("0.99"))


def test_a_pass_that_leaves_the_floor_within_the_arc_says_that_nothing_can_be_gauged() -> None:
    first, *others = plan().passes
    answer = replace(READY, plans=(replace(plan(), passes=(short_pass(first), *others)),))

    async def act(at: Drive) -> None:
        await at.press("f3")
        assert "not yet gaugeable" in at.words("#should-read")
        await at.press("right")
        assert "keyway floor to the opposite wall" in at.words("#should-read")

    drive(act, bench=Bench(answer))


def test_at_the_press_what_nobody_counted_or_measured_is_a_dash_with_words() -> None:
    unknown = {"largest_bite": None, "teeth_cutting": None, "teeth_in_cut": None}
    passes = tuple(replace(one, **unknown, force_low=None, force_high=None) for one in plan().passes)
    answer = replace(READY, plans=(replace(plan(), passes=passes),))

    async def act(at: Drive) -> None:
        await at.press("f3")
        shown = at.words("#bites")
        assert "largest - (teeth not counted)" in shown
        assert "teeth cutting - (teeth not counted)" in shown
        assert "in the cut at once - (tooth pitch not measured)" in shown

    drive(act, bench=Bench(answer))


def test_a_plan_with_a_piece_that_cannot_be_drawn_has_no_picture() -> None:
    unknown = replace(plan(), bushing=replace(plan().bushing, web=None))

    assert section_of(READY, unknown, 0) is None


def test_the_section_uses_the_smallest_bore() -> None:
    answer: Answer = replace(READY, hub=replace(HUB, bore=limits("0.9999", "1.001")))

    section = section_of(answer, plan(), 0)

    assert section is not None
    assert section.bore.radius == pytest.approx(0.9999 * 12.7)
