"""A step of a run: one thing that was done at the press, written once and never changed.

A correction is a step of its own that names the step it corrects. Who did a step and when is kept with it; what follows
from the steps does not depend on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from enum import StrEnum

from broachplan.lengths import Length
from broachplan.runs.run import RunPiece

Stack = tuple[str, ...]


class RunAct(StrEnum):
    """What was done."""

    STARTED = "started"
    PUSHED = "pushed"
    PART_WAY = "part_way"
    NOT_PUSHED = "not_pushed"
    READ = "read"
    NOT_READ = "not_read"
    AGAIN = "again"
    REPLANNED = "replanned"
    MEASURED = "measured"
    CORRECTED = "corrected"
    GONE = "gone"
    BROKEN = "broken"
    SCRAPPED = "scrapped"
    ACCEPTED = "accepted"
    ASIDE = "aside"
    STOPPED = "stopped"
    PARKED = "parked"
    RESUMED = "resumed"
    ENDED = "ended"
    ABANDONED = "abandoned"
    GAUGING = "gauging"


class End(StrEnum):
    """The end of the hub that was gauged: where the broach enters, or where it comes out."""

    TOP = "top"
    BOTTOM = "bottom"


@dataclass(frozen=True, slots=True)
class ToDo:
    """Passes to do: with which broach in which bushing, on which press, and each pass's shims, slot floor first.

    No stacks: nothing is left to do. ``blocked``: what these stacks lead to is not enough, and nothing else is known.
    """

    broach: str
    bushing: str
    press: str | None
    stacks: tuple[Stack, ...]
    blocked: bool = False

    def cuts_like(self, other: ToDo) -> bool:
        """Whether the same broach and bushing go through with the same shims, on whatever press."""
        mine, theirs = (self.broach, self.bushing, self.stacks), (other.broach, other.bushing, other.stacks)
        return mine == theirs

    @property
    def tags(self) -> frozenset[str]:
        """All that is needed for it."""
        shims = [tag for stack in self.stacks for tag in stack]
        return frozenset((self.broach, self.bushing, *([self.press] if self.press else []), *shims))


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step. What an act has no use for is empty.

    Attributes
    ----------
    step : its number, from 1 without a gap.
    at, by : when and by whom; ``at`` is filled in where the step is kept.
    load, hubs, pass_number : the load, the hubs in it that were in work, the pass; a plan of the passes that follow
        is numbered on.
    shims : what was really in, from the slot floor to the broach.
    plain, expected, low, high : plain reading of that stack, what it should read, and its band.
    hub, end : which hub was read or decided on; at which end, where both were read.
    way, typed, t, with_what : how it was gauged, what was typed, the reading T that follows, and the gauge. Of a change
        in how often hubs are gauged, ``typed`` is what was typed.
    doubtful, sure : the reading lies off its band; it was read with care all the same.
    piece : the broach that was pushed, or the piece that is gone, broken or measured again.
    why : the reason that was typed.
    corrects : the step that is put right.
    to_do : what is to do on this load from now on; None: as before.
    new_hubs : what is to do on each load not begun yet; None: as before.
    pieces : the pieces the run takes with this step, or whose figures are other ones from now on.
    """

    step: int
    act: RunAct
    at: datetime | None = None
    by: str = ""
    load: int | None = None
    hubs: tuple[int, ...] = ()
    pass_number: int | None = None
    shims: Stack | None = None
    plain: Length | None = None
    expected: Length | None = None
    low: Length | None = None
    high: Length | None = None
    hub: int | None = None
    end: End | None = None
    way: str = ""
    typed: str = ""
    t: Length | None = None
    with_what: str = ""
    doubtful: bool = False
    sure: bool = False
    piece: str = ""
    why: str = ""
    corrects: int | None = None
    to_do: ToDo | None = None
    new_hubs: ToDo | None = None
    pieces: tuple[RunPiece, ...] = ()


_OTHERWISE = {"pass_number": "pass", "with_what": "with"}
_PLANNED = ("to_do", "new_hubs", "pieces")
# A step for a file or another program: what each thing is called there, its field, and whether it is a length.
STEP_COLUMNS = {
    _OTHERWISE.get(each.name, each.name): (each.name, "Length" in str(each.type))
    for each in fields(Step)
    if each.name not in _PLANNED
}


def cuts_of(step: Step, steps: Sequence[Step]) -> tuple[str, int]:
    """The broach that a step books cuts on, and how many: one for each hub of a push, also of one that stopped part way.

    A push that was booked and never made takes its cuts back. No cuts: an empty tag and 0.
    """
    if step.act in (RunAct.PUSHED, RunAct.PART_WAY):
        return step.piece, len(step.hubs)
    if step.act is RunAct.NOT_PUSHED and step.corrects is not None:
        taken_back = steps[step.corrects - 1]
        return taken_back.piece, -len(taken_back.hubs)
    return "", 0
