"""What tests ask of the crib: a word for each thing that is asked, in place of a request."""

from __future__ import annotations

from datetime import date
from typing import Any

from broachplan.crib.drafts import Draft
from broachplan.desks.attendant import check_data as check
from broachplan.desks.attendant import count_drawer as counting
from broachplan.desks.attendant import keep_draft as drafting
from broachplan.desks.attendant import list_known as knowing
from broachplan.desks.attendant import list_pieces as listing
from broachplan.desks.attendant import shop_settings as setting
from broachplan.desks.attendant import show_piece as showing
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
