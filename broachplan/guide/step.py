"""What is asked of the guided first crib, and what comes back: to begin it, and to finish what is asked for now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from broachplan.crib.doubts import Doubt
from broachplan.guide.guide import Guide

if TYPE_CHECKING:
    from broachplan.planner.answer import Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginGuideRequest:
    """Begin, or resume what was begun at this station; ``session`` names the program's run that keeps it from now on."""

    session: str


@dataclass(frozen=True, slots=True)
class BegunGuide:
    """Where to begin; ``resumed`` is whether somebody was on the way, ``pieces`` how many the crib has."""

    guide: Guide
    resumed: bool
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRequest:
    """All that is asked for now is answered: check the hub, take the piece in, or plan.

    ``sure`` takes figures as they are that were asked about; ``session`` is as in `BeginGuideRequest`.
    """

    guide: Guide
    session: str
    sure: bool = False
    by: str = ""


@dataclass(frozen=True, slots=True)
class StepOutcome:
    """What came of it.

    ``guide`` is where it is now; ``lines`` say what was done. Where something is ``wrong`` or doubted nothing was done:
    ``at`` names the line to answer again, and each of ``doubts`` its own.
    """

    guide: Guide
    lines: tuple[str, ...] = ()
    wrong: str = ""
    at: str = ""
    doubts: tuple[Doubt, ...] = ()
    answer: Answer | None = None
