"""What came of an act on a run, for a terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from broachplan.cli.layout import wrap
from broachplan.cli.terminal import say

if TYPE_CHECKING:
    from broachplan.desks.machinist.runs.keeping import Kept


def say_kept(kept: Kept) -> None:
    """Print what was kept and what is next, and leave with 0, or with 3 where the answer is no."""
    from broachplan.sheets.run import Happened, fetch_in_words, happened_in_words

    happened = Happened(kept.steps, kept.other, kept.answer)
    lines = list(happened_in_words(kept.state, kept.stored.code, happened))
    if kept.taken:
        lines.insert(len(kept.steps), fetch_in_words(kept.taken, kept.homes))
    say([part for line in lines for part in wrap(line, rest="  ")])
    raise typer.Exit(kept.code)
