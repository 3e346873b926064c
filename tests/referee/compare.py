"""The planner's answer in the referee's terms, and what to count so that random cribs stay worth their time."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from functools import cache
from math import isfinite, isinf, sqrt

from broachplan.planner.answer import Answer, Plan
from broachplan.planner.plan import plan
from tests.referee.brute_force import UNKNOWN, Best, Question
from tests.referee.cribs import crib
from tests.referee.metal_read import ends_at


def answered(question: Question, most_plans: int | None = None) -> Answer:
    """The planner's answer, every pair worked out in full unless only some are asked for."""
    return plan(
        question.hub,
        question.keyway,
        question.shelf,
        question.settings,
        press=question.press,
        most_plans=most_plans,
    )


@cache
def crib_and_answer(number: int) -> tuple[Question, Answer]:
    """A random crib and the planner's answer, for all tests that look at it."""
    question = crib(number)
    return question, answered(question)


def as_best(found: Plan, question: Question) -> Best:
    """A plan of the planner as brute force writes it, its criteria reckoned from what it says of its passes."""
    keyway = question.keyway
    off_aim = _off_aim(found, question)
    spread = keyway.reading.upper.nm - keyway.reading.lower.nm
    totals = tuple(push.shims.nm for push in found.passes)
    stacks = tuple(tuple(sorted(shim.tag for shim in push.stack)) for push in found.passes)
    peaks = [push.force_high for push in found.passes]
    key = (
        len(totals),
        int(10 * off_aim // spread) if spread else 0,
        UNKNOWN if None in peaks else round(max(peaks)),
        sum(len(stack) for stack in stacks),
        tuple(-total for total in totals[:-1]),
        off_aim,
        (found.broach.tag, found.bushing.tag, *stacks),
    )
    press = found.press.tag if found.press else None
    return Best(found.broach.tag, found.bushing.tag, press, totals, stacks, key)


def _off_aim(found: Plan, question: Question) -> Fraction:
    """How far the last reading is off the aim: of two ends the mean, to the half nanometre."""
    plain = found.bushing.web + found.passes[-1].shims + found.broach.last_tooth_height
    ends = ends_at(question.read, found.broach, found.bushing)
    return abs(plain.nm + Fraction(sum(end.offset for end in ends), 2) - question.keyway.aim.nm)


def kinds(question: Question, best: list[Best]) -> Counter[str]:
    """What a crib is an example of."""
    hub, shims = question.hub, [s.thickness for s in question.shelf.shims if s.thickness]
    seen: Counter[str] = Counter(cribs=1)
    seen["ready"] = bool(best)
    seen["several pairs"] = len(best) > 1
    seen["tied shims"] = bool(best) and len(set(shims)) < len(shims)
    if best:
        lead, bore = best[0], hub.bore.lower.nm
        broach = next(piece for piece in question.shelf.broaches if piece.tag == lead.broach)
        bushing = next(piece for piece in question.shelf.bushings if piece.tag == lead.bushing)
        first_reading = bushing.web.nm + lead.totals[0] + broach.last_tooth_height.nm
        seen["several passes"] = len(lead.totals) > 1
        seen["four passes or more"] = len(lead.totals) > 3
        seen["first pass ends in the corners"] = first_reading < bore
        seen["large arc"] = bore - sqrt(bore**2 - broach.keyway_width.nm**2) > 0.2 * bore
        seen["loads known"] = not isinf(lead.key[2])
        seen["figures unknown"] = any(
            None in (piece.body_width, piece.rising_teeth, piece.tooth_pitch)
            for piece in question.shelf.broaches
            if piece.tag in {one.broach for one in best}
        )
        seen["press chosen"] = lead.press is not None
        seen["heavily loaded"] = any(_is_heavy(one, question) for one in best)
    return seen


def _is_heavy(best: Best, question: Question) -> bool:
    """Whether the high force is over the shop's share of the rated force of the press of a plan."""
    rated = next((p.rated_force for p in question.shelf.presses if p.tag == best.press), None)
    return (
        rated is not None
        and isfinite(best.key[2])
        and best.key[2] > question.settings.press_share * rated.newtons
    )
