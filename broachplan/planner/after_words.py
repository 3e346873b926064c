"""What a reading means, in the few words that a machinist needs at the press."""

from __future__ import annotations

from broachplan.lengths import Length, Units
from broachplan.planner.answer import AfterReading, Answer, Plan, ReadingSays, Shims
from broachplan.shown import AtMost, numbered, show_apart

DOUBTFUL = "the reading is not what these shims usually give: gauge again and look at the shims."


def after_in_words(answer: Answer, done: int | None = None) -> str:
    """What a reading means, in one sentence: ``0.0020 in deep; pass 3 stays as planned, still inside the limits``.

    ``done`` : how many passes are through, where that is known; those that are left are then named by their numbers.
    """
    after = answer.after
    if after is None:
        return ""
    how = depth_in_words(after, answer.settings.shown_in)
    if after.outcome is ReadingSays.WITHIN:
        return f"{how}; inside the limits, nothing is left to do"
    if after.outcome is ReadingSays.PAST:
        return f"{how}; past the limit"
    if not answer.plans:
        return f"{how}; short of the limits, and no stack on hand continues from here"
    return f"{how}; {_left(answer.plans[0], after.planned, done)}"


def depth_in_words(after: AfterReading, units: Units) -> str:
    """How far a reading is off the plain one: ``0.0020 in deep``; of two ends each."""
    if after.top == after.bottom:
        return _off(after.top - after.plain, units)
    ends = (("top", after.top), ("bottom", after.bottom))
    return ", ".join(f"{end} {_off(read - after.plain, units)}" for end, read in ends)


def past_in_words(after: AfterReading, upper: Length, units: Units) -> tuple[str, int]:
    """By how much a reading is past the upper limit, at which end, and what that means; and the same in nm."""
    ends = {"at the top": after.top, "at the bottom": after.bottom}
    past = {end: read for end, read in ends.items() if read > upper}
    end, deepest = max(past.items(), key=lambda one: one[1])
    where = "" if after.top == after.bottom else f" {end}" if len(past) == 1 else f" {end}, the deeper end"
    reads, limit, by = show_apart(units, deepest, AtMost(upper), deepest - upper)
    text = (
        f"reads {reads}{where}, {by} past the limit of {limit}: that much more air over the key, "
        "and that much less wall over the keyway"
    )
    return text, (deepest - upper).nm


def _left(plan: Plan, planned: tuple[Shims, ...], done: int | None) -> str:
    left = numbered(len(plan.passes), "pass", "passes")
    if planned == tuple(one.stack for one in plan.passes):
        return f"{_which(len(planned), done)} as planned, still inside the limits"
    if planned:
        stacks = ", then ".join(" + ".join(shim.tag for shim in stack) for stack in planned)
        return f"as planned ({stacks}) it still comes out inside the limits; nearer to the aim: {left} planned again"
    return f"planned again: {left} left"


def _which(left: int, done: int | None) -> str:
    """The passes that are left, as the subject of a sentence with its verb: ``pass 3 stays``."""
    if done is None:
        return "the pass that is left stays" if left == 1 else f"the {left} passes that are left stay"
    return f"pass {done + 1} stays" if left == 1 else f"passes {done + 1} to {done + left} stay"


def _off(by: Length, units: Units) -> str:
    if not by:
        return "reads as planned"
    return f"{show_apart(units, abs(by))[0]} {'deep' if by > Length(0) else 'shallow'}"
