"""Why there is no plan, in the first line: what is said of the crib, of the press and of the broach is true of them."""

from __future__ import annotations

import pytest

from broachplan.planner.answer import Rule
from broachplan.planner.rule_words import by_how_much, why_blocked
from broachplan.quantities import Force
from broachplan.sheets.answer import verdict
from broachplan.tooling.hub import BoreForm
from tests.cli.hand_made import in_words
from tests.planner.setups import BASE, MM, SetUp, only_rule

SMALL_PRESS = BASE.but(press={"rated_force": Force(1_000_000)})
BLOCKED = {
    "the press is too small": SMALL_PRESS,
    "the press does not open far enough": BASE.but(press={"opening": MM(100)}),
    "the throat of the press is not deep enough": BASE.but(press={"throat": MM(20)}),
    "the broach would not bear the load": BASE.but(
        broach={"root_height": MM(2)}, press={"rated_force": Force(900_000_000)}
    ),
    "a figure that the plan needs was never measured": BASE.but(bushing={"web": None}),
    "this hub is too short to be cut alone": BASE.but(hub={"length": MM(9)}),
    "what cuts this keyway is not on the shelf": BASE.but(off={"G": "lent to Kim"}),
    "nothing in the crib cuts this keyway": BASE.but(shims=()),
    "no push broach cuts this keyway": BASE.but(hub={"bore_form": BoreForm.BLIND}),
    "no press can be used: press P: lent to Kim": BASE.but(off={"P": "lent to Kim"}),
}


@pytest.mark.parametrize("words", BLOCKED)
def test_the_first_line_says_what_keeps_the_hub_from_being_cut(words: str) -> None:
    answer = BLOCKED[words].answer()

    assert not answer.ready
    assert why_blocked(answer) == words
    assert " ".join(in_words(answer)).startswith(f"NO PLAN: {words}.")
    assert verdict(answer)[1] == f"NO PLAN: {words}"


def test_a_press_that_is_too_small_is_said_to_be_that_with_its_numbers() -> None:
    answer = SMALL_PRESS.answer()

    assert by_how_much(answer) == "K in G: needs 472 lbf with a sharp broach; 70 % of press P is 157 lbf."
    assert "nothing in the crib" not in " ".join(in_words(answer))


@pytest.mark.parametrize(
    "press", [{"opening": MM(100)}, {"throat": MM(20)}, {"rated_force": Force(1_000_000)}]
)
def test_a_pair_that_does_not_keep_the_rules_of_the_cut_is_not_blamed_on_the_press(
    press: dict[str, object],
) -> None:
    # Without shims the reading is never reached, whatever the press.
    blocked: SetUp = BASE.but(press=press, shims=())

    assert only_rule(blocked.answer()) is Rule.SHIM_FIT
    assert why_blocked(blocked.answer()) == "nothing in the crib cuts this keyway"
