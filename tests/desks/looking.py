"""What tests ask of the crib: a word for each thing that is asked, in place of a request."""

from __future__ import annotations

from datetime import date, datetime, tzinfo
from typing import Any

from broachplan.crib.drafts import Draft
from broachplan.desks.attendant import check_data as check
from broachplan.desks.attendant import count_drawer as counting
from broachplan.desks.attendant import hold_piece as holding
from broachplan.desks.attendant import keep_draft as drafting
from broachplan.desks.attendant import list_actions as acting
from broachplan.desks.attendant import list_counts as counts
from broachplan.desks.attendant import list_due as due
from broachplan.desks.attendant import list_known as knowing
from broachplan.desks.attendant import list_missing as missing
from broachplan.desks.attendant import list_out as out
from broachplan.desks.attendant import list_pieces as listing
from broachplan.desks.attendant import list_sets as sets
from broachplan.desks.attendant import shop_settings as setting
from broachplan.desks.attendant import show_piece as showing
from broachplan.desks.attendant import stock_on as stock
from broachplan.questions import reads
from broachplan.questions.acts import KeepDraftRequest
from broachplan.settings import Settings

Db = Any


def list_pieces(db: Db, **asked: Any) -> listing.PieceList:
    return listing.list_pieces(db, reads.ListRequest(**asked))


def show_piece(db: Db, tag: str, on: date | None = None) -> showing.Shown:
    return showing.show_piece(db, reads.ShowRequest(tag=tag, on=on))


def list_known(db: Db, on: date | None = None) -> knowing.Known:
    return knowing.list_known(db, reads.KnownRequest(on=on))


def show_settings(db: Db) -> Settings:
    return setting.show_settings(db, reads.SettingsRequest())


def drawer_to_count(db: Db, text: str) -> str:
    return counting.drawer_to_count(db, reads.DrawerRequest(drawer=text))


def keep_draft(db: Db, draft: Draft) -> None:
    drafting.keep_draft(db, KeepDraftRequest(draft=draft))


def kept_drafts(db: Db) -> tuple[Draft, ...]:
    return drafting.kept_drafts(db, reads.DraftsRequest())


def check_data(db: Db) -> tuple[str, ...]:
    return check.check_data(db, reads.CheckRequest())


def list_out(db: Db, on: date | None = None) -> out.OutList:
    return out.list_out(db, reads.OutRequest(on=written(on)))


def list_sets(db: Db) -> tuple[sets.ToolSet, ...]:
    return sets.list_sets(db, reads.SetsRequest())


def list_missing(db: Db) -> tuple[missing.GonePiece, ...]:
    return missing.list_missing(db, reads.MissingRequest())


def list_holds(db: Db, first: date | None = None) -> tuple[holding.Hold, ...]:
    return holding.list_holds(db, reads.HoldsRequest(first=written(first)))


def list_due(db: Db, on: date | None = None) -> due.WearList:
    return due.list_due(db, reads.DueRequest(on=written(on)))


def list_counts(db: Db) -> counts.CountList:
    return counts.list_counts(db, reads.CountsRequest())


def show_count(db: Db, number: int) -> counts.ShownCount:
    return counts.show_count(db, reads.OneCountRequest(number=number))


def list_actions(db: Db, most: int = 100) -> tuple[acting.Action, ...]:
    return acting.list_actions(db, reads.ActionsRequest(most=most))


def stock_on(
    db: Db, on: date | None = None, *, at: datetime | None = None, zone: tzinfo | None = None, **asked: str
) -> stock.Stock:
    return stock.stock_on(db, reads.StockRequest(on=written(on), **asked), at=at, zone=zone)


def written(on: date | None) -> str:
    return on.isoformat() if on else ""
