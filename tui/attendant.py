"""What the attendant's screens ask for: functions handed in, the attendant's own desk where none is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from broachplan.crib.sets import ToolSet
    from broachplan.desks.attendant.list_actions import Action
    from broachplan.desks.attendant.list_out import OutList

Db = str | None


def _out(db: Db) -> OutList:
    from broachplan.desks.attendant.list_out import list_out

    return list_out(db)


def _sets(db: Db) -> tuple[ToolSet, ...]:
    from broachplan.desks.attendant.list_sets import list_sets

    return list_sets(db)


def _actions(db: Db) -> tuple[Action, ...]:
    from broachplan.desks.attendant.list_actions import list_actions

    return list_actions(db)


@dataclass(frozen=True, slots=True)
class Attendant:
    """The functions behind the attendant's screens; the first argument of nearly each is the crib's database."""

    out: Callable[[Db], OutList] = _out
    sets: Callable[[Db], tuple[ToolSet, ...]] = _sets
    actions: Callable[[Db], tuple[Action, ...]] = _actions
