"""A run for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.cli.layout import wrap
from broachplan.sheets.run import (
    about_in_words,
    run_in_words,
    step_in_words,
    what_next,
)
from broachplan.sheets.table import moment_words

if TYPE_CHECKING:
    from broachplan.desks.machinist.runs.looking import ShownRun


def run_lines(shown: ShownRun) -> list[str]:
    """A run as it is now: what it is about, what is next, and its steps."""
    state, units = shown.state, shown.state.run.settings.shown_in
    lines = wrap(run_in_words(state, shown.stored.code), rest="  ")
    for line in about_in_words(state, shown.stored.person):
        lines += wrap(line, "  ", "    ")
    lines.append("")
    for line in what_next(state):
        lines += wrap(line, rest="  ")
    lines += ["", "Steps"]
    for step in state.steps:
        by = f" ({step.by})" if step.by else ""
        lines += wrap(
            f"{step_in_words(step, units)}{by}", f"  {step.step:>3}  {moment_words(step.at)}  ", " " * 25
        )
    return lines
