"""Acts of the attendant as tests write them: a word for each thing that is typed, in place of a request."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, tzinfo
from pathlib import Path
from typing import Any

from broachplan.crib.wear import Booking
from broachplan.desks.attendant.add_piece import Added
from broachplan.desks.attendant.add_piece import add_piece as add
from broachplan.desks.attendant.book_cuts import Booked, book
from broachplan.desks.attendant.change_set import Moved, join, split
from broachplan.desks.attendant.count_drawer import Counted
from broachplan.desks.attendant.count_drawer import count_drawer as count
from broachplan.desks.attendant.edit_piece import Edited
from broachplan.desks.attendant.edit_piece import edit_piece as edit
from broachplan.desks.attendant.export_crib import Exported
from broachplan.desks.attendant.export_crib import export_crib as write_out
from broachplan.desks.attendant.found_piece import FoundPiece, note_found
from broachplan.desks.attendant.hold_piece import Held, hold, release
from broachplan.desks.attendant.import_crib import Imported, ImportPreview
from broachplan.desks.attendant.import_crib import import_crib as bring_in
from broachplan.desks.attendant.import_crib import preview_import as look_at_import
from broachplan.desks.attendant.inspect_piece import Inspected, inspect
from broachplan.desks.attendant.lend_piece import Lent, lend
from broachplan.desks.attendant.regrind_piece import Reground
from broachplan.desks.attendant.regrind_piece import regrind_piece as regrind
from broachplan.desks.attendant.restore_data import Restored
from broachplan.desks.attendant.restore_data import restore_data as put_back
from broachplan.desks.attendant.retire_piece import Retired, retire
from broachplan.desks.attendant.return_piece import Returned, take_back
from broachplan.desks.attendant.send_out import ReceivedBack, SentOut, receive, send
from broachplan.desks.attendant.settle_count import Settled
from broachplan.desks.attendant.settle_count import settle_count as settle
from broachplan.desks.attendant.shop_settings import change_setting as change
from broachplan.desks.attendant.show_piece import Shown
from broachplan.desks.attendant.undo import Undone, undo
from broachplan.desks.attendant.upgrade_data import Upgraded
from broachplan.desks.attendant.upgrade_data import upgrade_data as bring_up
from broachplan.desks.attendant.write_off import WrittenOff, broken, lost
from broachplan.lengths import write_exact
from broachplan.questions.acts import (
    BookRequest,
    BrokenRequest,
    CountRequest,
    FoundRequest,
    HoldRequest,
    InspectRequest,
    JoinRequest,
    LendRequest,
    LostRequest,
    ReceiveRequest,
    ReleaseRequest,
    RetireRequest,
    ReturnRequest,
    SendRequest,
    SettingRequest,
    SettleRequest,
    SplitRequest,
    UndoRequest,
)
from broachplan.questions.files import (
    ExportRequest,
    ImportPreviewRequest,
    ImportRequest,
    RestoreRequest,
    UpgradeRequest,
)
from broachplan.questions.piece import AddRequest, EditRequest, RegrindRequest
from broachplan.settings import Settings
from broachplan.store.exchange import Progress
from broachplan.tooling.figures import Kind

At = datetime | None


def lend_piece(db: str, tag: str, to: str, *, at: At = None, **typed: Any) -> Lent:
    return lend(db, LendRequest(tag=tag, to=to, **typed), at=at)


def lend_set(db: str, name: str, to: str, *, at: At = None, **typed: str) -> Lent:
    return lend(db, LendRequest(set_name=name, to=to, **typed), at=at)


def return_piece(
    db: str, tag: str, condition: str, *, booking: Booking | None = None, at: At = None, **typed: str
) -> Returned:
    request = ReturnRequest(tag=tag, condition=condition, **cuts(booking), **typed)
    return take_back(db, request, at=at).pieces[0]


def return_set(
    db: str, name: str, condition: str, *, booking: Booking | None = None, at: At = None, **typed: str
) -> tuple[Returned, ...]:
    request = ReturnRequest(set_name=name, condition=condition, **cuts(booking), **typed)
    return take_back(db, request, at=at).pieces


def hold_piece(
    db: str,
    tag: str,
    for_what: str,
    on: str,
    *,
    until: str = "",
    at: At = None,
    by: str = "",
    anyway: bool = False,
) -> Held:
    request = HoldRequest(tag=tag, for_what=for_what, first=on, last=until, by=by, anyway=anyway)
    return hold(db, request, at=at)


def hold_set(
    db: str, name: str, for_what: str, on: str, *, until: str = "", at: At = None, anyway: bool = False
) -> Held:
    request = HoldRequest(set_name=name, for_what=for_what, first=on, last=until, anyway=anyway)
    return hold(db, request, at=at)


def release_piece(db: str, tag: str, on: str, *, until: str = "", at: At = None, by: str = "") -> Held:
    return release(db, ReleaseRequest(tag=tag, first=on, last=until, by=by), at=at)


def release_set(db: str, name: str, on: str, *, until: str = "", at: At = None) -> Held:
    return release(db, ReleaseRequest(set_name=name, first=on, last=until), at=at)


def inspect_piece(db: str, tag: str, condition: str, *, at: At = None, **typed: str) -> Inspected:
    return inspect(db, InspectRequest(tag=tag, condition=condition, **typed), at=at)


def book_cuts(db: str, tag: str, booking: Booking, *, at: At = None, **typed: str) -> Booked:
    return book(db, BookRequest(tag=tag, **cuts(booking), **typed), at=at)


def found_piece(db: str, tag: str, *, at: At = None, **typed: str) -> FoundPiece:
    return note_found(db, FoundRequest(tag=tag, **typed), at=at)


def lose_piece(db: str, tag: str, *, at: At = None, **typed: str) -> WrittenOff:
    return lost(db, LostRequest(tag=tag, **typed), at=at)


def break_piece(db: str, tag: str, *, at: At = None, **typed: str) -> WrittenOff:
    return broken(db, BrokenRequest(tag=tag, **typed), at=at)


def send_piece(db: str, tag: str, to: str, *, at: At = None, **typed: Any) -> SentOut:
    return send(db, SendRequest(tag=tag, to=to, **typed), at=at)


def receive_piece(db: str, tag: str, *, at: At = None, **typed: str) -> ReceivedBack:
    return receive(db, ReceiveRequest(tag=tag, **typed), at=at)


def retire_piece(db: str, tag: str, *, at: At = None, **typed: str) -> Retired:
    return retire(db, RetireRequest(tag=tag, **typed), at=at)


def join_set(
    db: str, name: str, tags: Sequence[str] = (), *, of_set: str = "", at: At = None, by: str = ""
) -> Moved:
    return join(db, JoinRequest(into=name, tags=tuple(tags), set_name=of_set, by=by), at=at)


def split_set(
    db: str, name: str, tags: Sequence[str] = (), *, into: str = "", at: At = None, by: str = ""
) -> Moved:
    return split(db, SplitRequest(out_of=name, tags=tuple(tags), into=into, by=by), at=at)


def add_piece(
    db: str, kind: Kind, tag: str, values: Mapping[str, str], *, by: str = "", at: At = None
) -> Added:
    return add(db, AddRequest(kind=kind, tag=tag, values=values, by=by), at=at)


def edit_piece(
    db: str,
    tag: str,
    values: Mapping[str, str],
    *,
    seen: Shown | None = None,
    sure: bool = False,
    by: str = "",
    at: At = None,
) -> Edited:
    request = EditRequest(tag=tag, values=values, sure=sure, by=by)
    if seen is not None:
        request = replace(request, shown=seen.record, version=seen.version)
    return edit(db, request, at=at)


def regrind_piece(
    db: str,
    tag: str,
    values: Mapping[str, str],
    *,
    at: At = None,
    note: str = "",
    sure: bool = False,
    by: str = "",
    **grind: str,
) -> Reground:
    request = RegrindRequest(tag=tag, values={**values, **grind}, note=note, sure=sure, by=by)
    return regrind(db, request, at=at)


def count_drawer(db: str, drawer: str, tags: Iterable[str], *, by: str = "", at: At = None) -> Counted:
    return count(db, CountRequest(drawer=drawer, tags=tuple(tags), by=by), at=at)


def settle_count(
    db: str,
    number: int,
    causes: Mapping[str, str],
    *,
    at: At = None,
    zone: tzinfo | None = None,
    moves: Mapping[str, str] | None = None,
    **typed: str,
) -> Settled:
    request = SettleRequest(number=number, causes=causes, moves=moves or {}, **typed)
    return settle(db, request, at=at, zone=zone)


def undo_act(db: str, action: int | None = None, *, by: str = "", at: At = None) -> tuple[Undone, ...]:
    return undo(db, UndoRequest(action=action, by=by), at=at)


def change_setting(db: str, name: str, value: str) -> Settings:
    return change(db, SettingRequest(name=name, value=value))


def import_crib(
    db: str,
    paths: Iterable[Path],
    progress: Progress | None = None,
    *,
    by: str = "",
    at: At = None,
    **taking: bool,
) -> Imported:
    request = ImportRequest(paths=tuple(map(str, paths)), by=by, **taking)
    return bring_in(db, request, progress=progress, at=at)


def preview_import(db: str, paths: Iterable[Path], **taking: bool) -> ImportPreview:
    asked = ImportRequest(paths=tuple(map(str, paths)), **taking)
    return look_at_import(db, ImportPreviewRequest(asked=asked))


def export_crib(db: str, to: Path, **asked: bool) -> Exported:
    return write_out(db, ExportRequest(folder=str(to), **asked))


def restore_data(db: str, file: Path, on: date) -> Restored:
    return put_back(db, RestoreRequest(file=str(file)), on=on)


def upgrade_data(db: str, on: date) -> Upgraded:
    return bring_up(db, UpgradeRequest(), on=on)


def cuts(booking: Booking | None) -> dict[str, Any]:
    if booking is None:
        return {}
    length = write_exact(booking.hub_length)
    return {"hubs": str(booking.hubs), "passes": str(booking.passes), "hub_length": length}
