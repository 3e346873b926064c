"""Why a job is blocked, in numbers: the rule that fails for the pair that comes nearest, and what would cure it."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.planner.answer import Rule
from broachplan.planner.rules import widest_part
from broachplan.planner.tried import Refused, Trial, TrialResult, try_hub


@dataclass(frozen=True, slots=True)
class Why:
    """The rule that refuses, its numbers in words with the pieces they are about, and what would cure it."""

    rule: Rule
    text: str
    cure: str
    broach: str | None = None
    bushing: str | None = None

    @classmethod
    def off_shelf(cls, tag: str, text: str) -> Why:
        """A piece that a started job holds and that is not there."""
        return cls(Rule.ON_SHELF, f"{tag}: {text}", f"get {tag} back, or start the job again without it")


# What cures the failing of each rule where no figures say more.
CURES = {
    Rule.THROUGH: "slot, shape or erode it; or a relief at the end of the keyway",
    Rule.TAPER: "shims or a slot ground to the taper",
    Rule.WIDTH: "a broach that cuts this width",
    Rule.BUSHING_FIT: "a bushing for this bore",
    Rule.NOT_MEASURED: "measure what is missing",
    Rule.ENGAGEMENT: "more hubs in a stack",
    Rule.CHIP_ROOM: "a broach with a longer pitch or a smaller rise",
    Rule.ON_SHELF: "the day on which it is back, or another piece",
    Rule.SLOT_FIT: "a bushing with another slot",
    Rule.SHIM_FIT: "shims that fit this slot",
    Rule.ENTRY: "a bushing with another web, or a shim to start with",
    Rule.BITE: "a shim between those that are there",
    Rule.READING: "a shim of another thickness, or a bushing with another web",
    Rule.OPENING: "a press that opens farther",
    Rule.THROAT: "a press with a deeper throat",
    Rule.PRESS_FORCE: "a stronger press",
    Rule.COLUMN: "a shorter or thicker broach, or more and smaller steps",
}


def why_blocked(trial: Trial) -> Why:
    """The reason of a job without a plan; the trial's shelf is the crib as it will be."""
    if trial.press and all(press.tag != trial.press for press in trial.shelf.presses):
        text = f"press {trial.press} is not in the crib"
        return Why(Rule.ON_SHELF, text, "name another press, or none")
    tried = try_hub(trial, most_shown=1)
    nearest = _nearest(tried)
    if nearest is None:
        return Why(Rule.WIDTH, "the crib has no broach and no bushing", "a broach, a bushing and shims")
    pieces = " in ".join(tag for tag in (nearest.broach, nearest.bushing) if tag)
    reason = nearest.reason
    text = f"{pieces}: {reason.text}" if pieces else reason.text
    return Why(reason.rule, text, _cure(reason.rule, nearest, tried), nearest.broach, nearest.bushing)


def _nearest(tried: TrialResult) -> Refused | None:
    """What came farthest: pairs before single pieces, late rules before early ones, then the least that is lacking."""
    pairs = [one for one in tried.refused if one.broach and one.bushing]
    of_hub = [one for one in tried.refused if not one.broach and not one.bushing]
    alone = [one for one in tried.refused if one not in of_hub]
    if not tried.broaches:
        alone = [one for one in alone if one.broach] or alone
    elif not tried.bushings:
        alone = [one for one in alone if one.bushing] or alone
    order = list(Rule)

    def nearness(one: Refused) -> tuple[int, float, str, str]:
        return (
            -order.index(one.reason.rule),
            one.reason.short_by,
            one.broach or "",
            one.bushing or "",
        )

    return min(of_hub or pairs or alone, key=nearness, default=None)


def _cure(rule: Rule, nearest: Refused, tried: TrialResult) -> str:
    case, shelf = tried.case, tried.asked.shelf
    broach = next((piece for piece in shelf.broaches if piece.tag == nearest.broach), None)
    if rule is Rule.WIDTH:
        return f"a broach that cuts {case.between(*case.bounds.width)}"
    if rule is Rule.BUSHING_FIT:
        return f"a bushing of {case.between(*case.bounds.bushing_od)} outside diameter"
    if rule is Rule.SLOT_FIT and broach is not None:
        return f"a bushing with a slot of {case.between(*case.bounds.slot_width(widest_part(broach)))}"
    if rule is Rule.ENGAGEMENT and broach is not None and broach.tooth_pitch is not None:
        hubs = -(-2 * broach.tooth_pitch.nm // case.hub.length.nm)
        return f"stack {hubs} hubs"
    return CURES[rule]
