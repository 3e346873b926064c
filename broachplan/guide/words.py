"""What the guided first crib says beside its questions; both faces say the same."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.guide.guide import Stage
from broachplan.guide.step import BegunGuide
from broachplan.questions.hub import PlanRequest
from broachplan.questions.line import lines_of
from broachplan.shown import numbered

INTRODUCTION: dict[Stage, tuple[str, ...]] = {
    Stage.HUB: ("What the drawing says. Type each length with its unit: 1-1/4 in, 0.625 in, 30 mm.",),
    Stage.BUSHING: ("One bushing that goes into the bore. Mark its tag on it.",),
    Stage.BROACH: ("One broach that cuts this keyway.",),
    Stage.WEB: ("Without a ball anvil: over the broach in its slot, typed as 1.4382 in over BR-1.",),
    Stage.SHIMS: (
        "The shims that go behind this broach, each with its own tag; - in place of a tag ends them.",
    ),
    Stage.PLAN: (),
    Stage.REST: ("Which kind of piece comes next?",),
}
KEYS = "? how to measure   = as the last one   - not known, none   < back   stop"
ENDED = (
    "Done. `broachplan start` takes in more at any time; `broachplan crib list` shows what is in the crib."
)
REST_KEYS = "a kind, or: plan (the hub again)   hub (another one)   stop"
STOPPED = "Stopped. All that was answered is kept: `broachplan start` resumes here."
NEXT = (
    "That is the plan of today's hub. What it calls not known is added with `broachplan crib edit TAG`.",
    "Now the rest of the box, or stop.",
)
LATER = ("No plan with these pieces yet; what it lacks is above. Add more pieces, or stop.",)


def command_of(request: PlanRequest) -> str:
    """The command that plans the same hub."""
    given = [(line, getattr(request, line.name)) for line in lines_of(PlanRequest)]
    options = [f'{line.option} "{text}"' for line, text in given if text]
    return " ".join(["broachplan plan", *options])


def opening(begun: BegunGuide) -> Iterator[str]:
    """What is said first."""
    if begun.resumed:
        yield "Resumed where it was stopped."
    elif begun.pieces:
        yield f"The crib has {numbered(begun.pieces, 'piece')}. At a tag, - takes no further piece."
    else:
        yield "The crib is empty. A bushing, a broach and its shims are enough for a first plan."
        yield (
            "Pieces in a list already? `broachplan crib export FOLDER` writes the files to fill in,"
            " `broachplan crib import FOLDER` takes them in."
        )
