"""What each rule asks, in a few words: said the same on the screen, on the sheet and at the command line."""

from __future__ import annotations

from broachplan.planner.answer import Answer, Plan, ReadingSays, Rule, Try
from broachplan.tooling.hub import Hub

RULES: dict[Rule, str] = {
    Rule.THROUGH: "the bore must go through",
    Rule.TAPER: "parallel shims cut parallel to the bore only",
    Rule.WIDTH: "the broach must cut the keyway's width",
    Rule.BUSHING_FIT: "the bushing must fit the bore",
    Rule.NOT_MEASURED: "a figure that a plan needs was never measured",
    Rule.ENGAGEMENT: "two teeth must always be in the cut",
    Rule.CHIP_ROOM: "the chip must find room in the gullet",
    Rule.ON_SHELF: "the piece must be in the crib, fit and free",
    Rule.SLOT_FIT: "the broach must fit the slot",
    Rule.SHIM_FIT: "the shims must fit the slot",
    Rule.ENTRY: "the first tooth must enter the bore and the first pass must cut",
    Rule.BITE: "a pass must not step past what the broach can take",
    Rule.READING: "the last reading must lie within its limits",
    Rule.OPENING: "hub and broach must go under the ram",
    Rule.THROAT: "the hub must go into the throat of the press",
    Rule.PRESS_FORCE: "the press must bear the low force with its share of the rated force, and the high force",
    Rule.COLUMN: "the broach must not buckle or be crushed under the ram",
}


# Rules that a pair is held to once its passes come out, and what it means for the hub that all such pairs break one.
_BEYOND_THE_CUT = {
    Rule.PRESS_FORCE: "the press is too small",
    Rule.OPENING: "the press does not open far enough",
    Rule.THROAT: "the throat of the press is not deep enough",
    Rule.COLUMN: "the broach would not bear the load",
}
# The one thing that is missing, where the crib could otherwise do it.
_IN_THE_WAY = {
    Try.MEASURE: "a figure that the plan needs was never measured",
    Try.STACK: "this hub is too short to be cut alone",
    Try.SLUG: "this hub is too short to be cut alone",
    Try.BACK: "what cuts this keyway is not on the shelf",
}


def why_blocked(answer: Answer) -> str:
    """Why there is no plan, in a few words: the first line on the screen and at the command line.

    Nothing cuts the keyway only where no pair keeps the rules of the cut; a press that is too small is said to be that.
    """
    for rule, words in _BEYOND_THE_CUT.items():
        if any(refusal.rule is rule for refusal in answer.refusals):
            return words
    if answer.hub_refused:
        return "no push broach cuts this keyway"
    if answer.press_refused:
        return answer.press_refused
    if answer.after is not None:
        past = answer.after.outcome is ReadingSays.PAST
        return "the keyway is past its limit" if past else "no stack on hand continues from this reading"
    alone = (_IN_THE_WAY[one.what] for one in answer.advice if one.way is None and one.what in _IN_THE_WAY)
    return next(alone, "nothing in the crib cuts this keyway")


def by_how_much(answer: Answer) -> str:
    """The numbers of the pair that comes nearest, where it is the press or the broach's strength that refuses."""
    for rule in _BEYOND_THE_CUT:
        for refusal in answer.refusals:
            if refusal.rule is rule and refusal.nearest:
                near = refusal.nearest[0]
                return f"{near.broach} in {near.bushing}: {near.text}."
    return ""


def press_not_checked(plan: Plan, hub: Hub) -> str:
    """Said in a plan's first lines where the force on the press was not checked; empty where it was."""
    why = _unchecked(plan, hub)
    return f"The press was not checked: {why}." if why else ""


def _unchecked(plan: Plan, hub: Hub) -> str:
    if hub.material is None:
        return "no material was named"
    if any(one.force_high is None for one in plan.passes):
        return f"the load of {plan.broach.tag} is not known"
    if plan.press is None:
        return "there is none with a rated force"
    return "" if plan.press.rated_force else f"the rated force of {plan.press.tag} is not known"
