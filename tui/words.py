"""Short texts of the machinist's screens."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from broachplan.lengths import Length, Units
from broachplan.sheets.sizes import gauge_units, number
from broachplan.shown import numbered
from tui.plain import plain

if TYPE_CHECKING:
    from broachplan.planner.answer import Answer, Plan


def crib_words(db: str | None, word: str = "crib") -> str:
    """Which crib this is. Of a URL nothing is shown, since it may hold a password."""
    if db is None:
        return f"your own {word}"
    return f"a shared {word}" if "://" in db else f"{word} {plain(PurePath(db).name)}"


def figure(length: Length, units: Units) -> str:
    """A length without its unit, for a column or for large figures."""
    return number(length, gauge_units(units))


def load_words(low: float | None, high: float | None, units: Units) -> str:
    """Low and high estimate, or that no material was named."""
    from broachplan.quantities import forces_between

    if low is None or high is None:
        return "not known: no material named"
    return forces_between(low, high, units)


def notice_words(
    answer: Answer,
    plan: Plan | None,
    units: Units,
    names: Sequence[str] = (),
    known: Collection[str] = (),
) -> str:
    """Below the passes: where the last reading may come out and the cautions by ``names``; else what to make.

    Those ``known`` from a plan before are counted only.
    """
    from broachplan.sheets.answer import last_reading

    if plan is None:
        texts = [*(one.text for one in answer.advice), *(one.text for one in answer.make)]
        return f"F5: {plain(texts[0])}" if texts else ""
    lines = [last_reading(plan, units)]
    if plan.not_known:
        lines.append(plain(plan.not_known))
    before = sum(name in known for name in names)
    if plan.cautions:
        as_before = f", {before} as before" if before else ""
        lines.append(f"{numbered(len(plan.cautions), 'caution')}{as_before}: F6")
    lines += [f"! {plain(name)}" for name in names if name not in known]
    return "\n".join(lines)
