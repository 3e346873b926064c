"""What a reading means, in the few words that a machinist needs at the press."""

from __future__ import annotations

from broachplan.lengths import Length, Units
from broachplan.planner.answer import AfterReading, Answer, Plan, ReadingSays
from broachplan.planner.rule_words import passes_in_words
from broachplan.shown import AtMost, show_apart


def after_in_words(answer: Answer, stays: bool | None = None) -> str:
    """What a reading means, in one sentence: ``0.0020 in deep; pass 2 stays as planned, still inside the limits``.

    ``stays`` : whether the stacks that are left are those planned before the reading; None where that is not known.
    """
    after = answer.after
    if after is None:
        return ""
    how = depth_in_words(after, answer.settings.units)
    if after.outcome is ReadingSays.WITHIN:
        return f"{how}; inside the limits, nothing is left to do"
    if after.outcome is ReadingSays.PAST:
        return f"{how}; past the limit"
    if not answer.plans:
        return f"{how}; short of the limits, and no stack on hand takes the next cut"
    return f"{how}; {_left(answer.plans[0], stays)}"


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


def _left(plan: Plan, stays: bool | None) -> str:
    left = len(plan.passes)
    if stays is None:
        return f"{passes_in_words(left)} left"
    numbers = "the pass left" if left == 1 else f"the {left} passes left"
    verb = "stays" if left == 1 else "stay"
    if stays:
        return f"{numbers} {verb} as planned, still inside the limits"
    return f"planned again: {passes_in_words(left)} left"


def _off(by: Length, units: Units) -> str:
    if not by:
        return "reads as planned"
    return f"{show_apart(units, abs(by))[0]} {'deep' if by > Length(0) else 'shallow'}"
