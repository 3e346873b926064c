"""An answer of the planner in the words of the trade: rows, lines and short texts for the screens."""

from __future__ import annotations

from pathlib import PurePath

from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits, Units, show
from broachplan.planner.answer import Answer, Pass, Plan
from broachplan.planner.rule_words import press_not_checked, why_blocked
from broachplan.sheets.band import band_between
from broachplan.sheets.sizes import gauge_units
from broachplan.sheets.table import Row
from broachplan.shown import limits_in_words
from tui.plain import plain


def crib_words(db: str | None) -> str:
    """Which crib this is. Of a URL nothing is shown, since it may hold a password."""
    if db is None:
        return "your own crib"
    return "a shared crib" if "://" in db else f"crib {plain(PurePath(db).name)}"


def figure(length: Length, units: Units) -> str:
    """A length without its unit, for a column or for large figures."""
    return show(length, gauge_units(units)).rsplit(" ", 1)[0]


def limits_words(limits: Limits, units: Units) -> str:
    """Both limits as a gauge reads, or the size where they are one."""
    return limits_in_words(limits, gauge_units(units))


def force_words(newtons: float, units: Units) -> str:
    """A force with its unit."""
    from broachplan.quantities import show_force

    return show_force(newtons, units)


def load_words(low: float | None, high: float | None, units: Units) -> str:
    """Low and high estimate, or that no material was named."""
    if low is None or high is None:
        return "not known: no material named"
    first, second = force_words(low, units), force_words(high, units)
    return f"{first.rsplit(' ', 1)[0]} to {second}"


def stack_words(one: Pass) -> str:
    """The tags of a stack, or that the broach lies on the slot floor."""
    return " + ".join(shim.tag for shim in one.stack) or "none"


def plan_words(plan: Plan) -> str:
    """The pieces of a plan, in full."""
    press = f", press {plain(plan.press.tag)}" if plan.press else ""
    return f"{plain(plan.broach.tag)} in {plain(plan.bushing.tag)}{press}"


def pass_rows(plan: Plan, units: Units) -> list[Row]:
    """One row a pass."""
    return [
        (
            str(one.number),
            stack_words(one),
            figure(one.shims, units),
            figure(one.reading, units),
            figure(one.first_bite, units),
            "-" if one.largest_bite is None else figure(one.largest_bite, units),
            "-" if one.teeth_cutting is None else str(one.teeth_cutting),
            "-"
            if one.force_low is None or one.force_high is None
            else f"{force_words(one.force_low, units).rsplit(' ', 1)[0]}-{force_words(one.force_high, units).rsplit(' ', 1)[0]}",
        )
        for one in plan.passes
    ]


def verdict_words(answer: Answer) -> str:
    """Whether there is a plan, in one line."""
    if not answer.ready:
        return f"NO PLAN: {why_blocked(answer)}"
    if not answer.plans[0].passes:
        return "READY  nothing left to cut"
    count, more = len(answer.plans), answer.more_pairs
    shown = (
        f"the best {count} of {count + more} plans" if more else f"{count} plan{'s' if count != 1 else ''}"
    )
    return f"READY  {shown}, best first{_unchecked(answer)}"


def _unchecked(answer: Answer) -> str:
    """That the best plan's press was not checked; F6 shows why where it is not the material."""
    if not answer.hub.material:
        return "; press not checked: no material"
    return "; press not checked: F6" if press_not_checked(answer.plans[0], answer.hub) else ""


def keyway_lines(keyway: Keyway, units: Units) -> list[str]:
    """What the drawing asks for, with its source; a figure from memory says so."""
    memory = "FROM MEMORY: " if keyway.status == "memory" else ""
    return [
        f"width {limits_words(keyway.width, units)}",
        f"T {limits_words(keyway.reading, units)}, aim {figure(keyway.aim, units)}",
        f"depth at the wall {figure(keyway.depth_at_wall, units)}, arc {figure(keyway.arc, units)}",
        f"{memory}{plain(keyway.source)}",
    ]


def notice_words(answer: Answer, plan: Plan | None, units: Units) -> str:
    """Below the passes: where the last reading may come out and how many cautions there are; else what to make."""
    if plan is None:
        texts = [*(one.text for one in answer.advice), *(one.text for one in answer.make)]
        return f"F5: {plain(texts[0])}" if texts else ""
    lines = [f"last reading {band_words(plan, units)}"]
    if plan.not_known:
        lines.append(plain(plan.not_known))
    if plan.cautions:
        lines.append(f"{len(plan.cautions)} caution{'s' if len(plan.cautions) > 1 else ''}: F6")
    return "\n".join(lines)


def band_words(plan: Plan, units: Units) -> str:
    """Where the last reading may come out."""
    return band_between(plan.band, gauge_units(units))
