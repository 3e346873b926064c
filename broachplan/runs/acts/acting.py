"""What the acts have in common: the next step, the steps that come of an act, and the sentence that refuses one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from broachplan.errors import CribStateError, InputError
from broachplan.planner.answer import Answer
from broachplan.runs.fold import after
from broachplan.runs.state import Cause, RunState, Status
from broachplan.runs.steps import RunAct, Step, ToDo
from broachplan.runs.waiting import waits_for

# With one of these the step is kept, and the answer is no.
_NO = frozenset({Cause.PAST, Cause.DISPUTED, Cause.BLOCKED})


@dataclass(frozen=True)
class Acted:
    """What an act writes: one step or several, each of which is a run's state of its own.

    ``before`` is the run before the act, ``state`` after it. ``other`` is the plan that was not taken where there are
    two, ``answer`` what the planner said where it was asked.
    """

    before: RunState
    steps: tuple[Step, ...]
    other: ToDo | None = None
    answer: Answer | None = None

    @cached_property
    def state(self) -> RunState:
        """What the run is after the act."""
        return after(self.before, *self.steps)

    @property
    def is_no(self) -> bool:
        """Whether the answer is no: past the limit, off the band, or no way on."""
        return is_no(self.state, self.other)


def is_no(state: RunState, other: ToDo | None = None) -> bool:
    """Whether a step that led here is kept and the answer is no: past the limit, off the band, or no way on.

    ``other`` is the plan that was found and not taken: where a broach broke, there is a way on with another pair then.
    """
    if state.closed is Status.ABANDONED:
        return False
    causes = set(state.causes)
    if Cause.BROKEN in causes and other is not None:
        causes.discard(Cause.BLOCKED)
    return bool(_NO & causes)


def next_step(state: RunState, act: RunAct, by: str, **facts: Any) -> Step:
    """The step that follows the last one of a run."""
    return Step(step=state.step + 1, act=act, by=by, **facts)


def refused(state: RunState, what: str) -> CribStateError:
    """The refusal of an act in one sentence, which says what the run waits for."""
    return CribStateError(f"run {state.run.number}: {what}; the run waits for {waits_for(state)}")


def check_open(state: RunState, what: str) -> None:
    """Refuse where the run is done or abandoned."""
    if state.closed:
        raise CribStateError(f"run {state.run.number}: {what}; it is {state.closed}")


def check_running(state: RunState, what: str) -> None:
    """Refuse where the run is not running."""
    if state.status is not Status.RUNNING:
        raise refused(state, what)


def check_why(why: str, what: str) -> str:
    """The reason that was typed, without spaces around it.

    Raises
    ------
    InputError : there is none.
    """
    if not why.strip():
        raise InputError("why", f"write why {what}")
    return why.strip()


def checked_hub(state: RunState, hub: int | None) -> int:
    """The number of a hub of the run.

    Raises
    ------
    InputError : the run has no such hub.
    """
    if hub is None or not 1 <= hub <= state.run.quantity:
        raise InputError("hub", f"the run has hubs 1 to {state.run.quantity}", shown=hub)
    return hub
