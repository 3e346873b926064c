"""Runs for a terminal."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from broachplan.cli.layout import wrap
from broachplan.sheets.run import (
    about_in_words,
    counts_in_words,
    run_in_words,
    step_in_words,
    what_next,
)

if TYPE_CHECKING:
    from broachplan.desks.machinist.runs.looking import ListedRun, ShownRun


def run_lines(shown: ShownRun) -> list[str]:
    """A run as it is now: what it is about, what is next, and its steps."""
    state, units = shown.state, shown.state.run.settings.units
    lines = wrap(run_in_words(state, shown.stored.code), rest="  ")
    for line in about_in_words(state, shown.stored.person):
        lines += wrap(line, "  ", "    ")
    lines.append("")
    for line in what_next(state):
        lines += wrap(line, rest="  ")
    lines += ["", "Steps"]
    for step in state.steps:
        when = f"{step.at.astimezone():%Y-%m-%d %H:%M}" if step.at else ""
        by = f" ({step.by})" if step.by else ""
        lines += wrap(f"{step_in_words(step, units)}{by}", f"  {step.step:>3}  {when}  ", " " * 25)
    return lines


def list_lines(listed: Iterable[ListedRun]) -> list[str]:
    """Runs, one after the other, and how many they are."""
    lines, number = [], 0
    for each in listed:
        number += 1
        why = f" ({each.why})" if each.why else ""
        job = f", job {each.job}" if each.job else ""
        drawing = f", drawing {each.drawing}" if each.drawing else ""
        started = f"{each.started.astimezone():%Y-%m-%d}"
        lines += wrap(
            f"{each.code}  {each.status}{why}; {counts_in_words(each.hubs)}; {each.person} since {started}{job}{drawing}",
            "  ",
            "    ",
        )
    return [*lines, f"{number} run{'' if number == 1 else 's'}"]
