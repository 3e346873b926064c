"""The buyer's question of coming work: what cannot be cut, and what is missing for it."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.questions import kinds
from broachplan.questions.line import line


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortagesRequest:
    """What becomes of the coming jobs as things are."""

    on: str = line("On", kinds.DAY, "The day it is asked on; else today.", what="day")
    until: str = line("Until", kinds.DAY, "Only jobs that begin at the press by this day.", what="until")
    verdicts: bool = line("Verdicts", kinds.FLAG, "Only the verdicts: no plans, and not what is missing.")
