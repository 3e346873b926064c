"""The buyer's question of coming work: what cannot be cut, and what is missing for it."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.questions import job_kinds, kinds
from broachplan.questions.line import line

DEFAULT_SECONDS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortagesRequest:
    """What becomes of the coming jobs as things are, and with offers what to buy for those that are not ready.

    ``without`` are offers of the lists, by name, that are not to be bought; the screen takes them out one by one.
    """

    on: str = line("On", kinds.DAY, "The day it is asked on; else today.", what="day")
    until: str = line("Until", kinds.DAY, "Only jobs that begin at the press by this day.", what="until")
    verdicts: bool = line("Verdicts", kinds.FLAG, "Only the verdicts: no plans, and not what is missing.")
    offers: tuple[str, ...] = line(
        "Offers",
        kinds.PATH,
        "A list of offers, CSV or .xlsx, as often as wanted: what to buy for the least money.",
        many=True,
    )
    budget: str = line(
        "Budget", job_kinds.AMOUNT, "The most that may be spent: 250 or 250.00.", what="budget"
    )
    measure: bool = line(
        "Measure", kinds.FLAG, "Also offers that do only with some of the values that they may have."
    )
    time: str = line(
        "Time",
        job_kinds.SECONDS,
        f"Seconds to prove in that nothing is cheaper; {DEFAULT_SECONDS} unless given.",
        what="time",
    )
    without: tuple[str, ...] = ()
