"""A run as the screen at the press shows it: what is due, what could be done instead, who and what is there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from broachplan.desks.attendant.clock import stamped
from broachplan.desks.machinist.runs.keeping import hand_of, seen_run
from broachplan.desks.machinist.runs.looking import list_runs
from broachplan.questions.at_press import OpenRunsRequest, RunAtPressRequest
from broachplan.questions.runs import RunsRequest
from broachplan.runs.acts.correcting import other_plan
from broachplan.runs.ahead import OnHand
from broachplan.runs.next import Next, next_of
from broachplan.runs.state import RunState
from broachplan.runs.steps import ToDo
from broachplan.store.known import people
from broachplan.store.run_list import ListedRun
from broachplan.store.work import reading
from broachplan.tooling.drive import Drive
from broachplan.tooling.pieces import Shim

Stacks = tuple[tuple[Shim, ...], ...]


@dataclass(frozen=True, slots=True)
class AtPress:
    """A run now, and the pass that is due.

    ``person`` has its tools; ``people`` are the names that the crib knows; ``homes`` says where each piece of the run
    lives, where known, ``drives`` what drives a press; ``other`` holds the stacks of the plan that could be taken instead, if there is one.
    """

    state: RunState
    next: Next | None
    person: str = ""
    people: tuple[str, ...] = ()
    homes: tuple[tuple[str, str], ...] = ()
    other: Stacks = field(default=())
    drives: Mapping[str, Drive] = field(default_factory=dict)


def at_press(db: str | None, request: RunAtPressRequest, *, at: datetime | None = None) -> AtPress:
    """A run by its number or code, as it is now.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : there is no such run, or the letters are another run's.
    StorageError : the database cannot be used.
    """
    stamp = stamped("", at)
    with reading(db) as work:
        stored, state = seen_run(work, request.run)
        hand = hand_of(work, stored, state, stamp.day)
        known = people(work)
    homes = tuple((tag, hand.shelf.homes[tag]) for tag in state.pieces if hand.shelf.homes.get(tag))
    other = other_plan(state, hand)
    stacks = _stacks(other, state, hand) if other else ()
    return AtPress(state, next_of(state), stored.person, known, homes, stacks, hand.shelf.drives)


def open_runs(db: str | None, _: OpenRunsRequest) -> tuple[ListedRun, ...]:
    """The runs that are running or stopped, the latest first.

    Raises
    ------
    StorageError : the database cannot be used.
    """
    return list_runs(db, RunsRequest(only_open=True))


def _stacks(other: ToDo, state: RunState, hand: OnHand) -> Stacks:
    there = {tag: kept.piece for tag, kept in state.pieces.items()}
    stacks = []
    for stack in other.stacks:
        pieces = [there.get(tag) or hand.known(tag) for tag in stack]
        stacks.append(tuple(piece for piece in pieces if isinstance(piece, Shim)))
    return tuple(stacks)
