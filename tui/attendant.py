"""What the attendant's screens ask for: functions handed in, the attendant's own desk where none is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from broachplan.crib.sets import ToolSet
    from broachplan.desks.attendant.add_piece import Added
    from broachplan.desks.attendant.edit_piece import Edited
    from broachplan.desks.attendant.list_actions import Done
    from broachplan.desks.attendant.list_known import Known
    from broachplan.desks.attendant.list_out import OutList
    from broachplan.desks.attendant.show_piece import Shown
    from broachplan.desks.attendant.undo_last import Undone
    from broachplan.settings import Settings
    from broachplan.tooling.figures import Kind

Db = str | None


@dataclass(frozen=True, slots=True)
class Telling:
    """What is told of a piece that is added or edited, by the names of its lines, and by whom."""

    kind: Kind
    tag: str
    told: Mapping[str, str]
    by: str = ""
    seen: Shown | None = None


def _today() -> date:
    from broachplan.desks.attendant.clock import day

    return day(None)


def _settings(db: Db) -> Settings:
    from broachplan.desks.attendant.shop_settings import show_settings

    return show_settings(db)


def _known(db: Db) -> Known:
    from broachplan.desks.attendant.list_known import list_known

    return list_known(db)


def _show(db: Db, tag: str) -> Shown:
    from broachplan.desks.attendant.show_piece import show_piece

    return show_piece(db, tag, _today())


def _out(db: Db) -> OutList:
    from broachplan.desks.attendant.list_out import list_out

    return list_out(db)


def _sets(db: Db) -> tuple[ToolSet, ...]:
    from broachplan.desks.attendant.list_sets import list_sets

    return list_sets(db)


def _actions(db: Db) -> tuple[Done, ...]:
    from broachplan.desks.attendant.list_actions import list_actions

    return list_actions(db)


def _undo(db: Db, seen: int, by: str) -> tuple[Undone, ...]:
    from broachplan.desks.attendant.undo_last import undo_last

    return undo_last(db, seen=seen, by=by)


def _add(db: Db, new: Telling) -> Added:
    from broachplan.desks.attendant.add_piece import add_piece

    return add_piece(db, new.kind, new.tag, new.told, by=new.by)


def _edit(db: Db, asked: Telling) -> Edited:
    from broachplan.desks.attendant.edit_piece import edit_piece

    return edit_piece(db, asked.tag, asked.told, seen=asked.seen, by=asked.by)


@dataclass(frozen=True, slots=True)
class Attendant:
    """The functions behind the attendant's screens; the first argument of nearly each is the crib's database."""

    today: Callable[[], date] = _today
    settings: Callable[[Db], Settings] = _settings
    known: Callable[[Db], Known] = _known
    show: Callable[[Db, str], Shown] = _show
    out: Callable[[Db], OutList] = _out
    sets: Callable[[Db], tuple[ToolSet, ...]] = _sets
    actions: Callable[[Db], tuple[Done, ...]] = _actions
    undo: Callable[[Db, int, str], tuple[Undone, ...]] = _undo
    add: Callable[[Db, Telling], Added] = _add
    edit: Callable[[Db, Telling], Edited] = _edit
