"""Runs on a crib in a database, as tests write them: the set-up whose numbers come out whole, and a word for each act.

Bore 25 mm, T 28.05 to 28.15 mm: no shim reads 25.2 mm, then a, a with b, and all three read 26.2, 27.2 and 28.1 mm.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import select

from broachplan.crib.records import Measurement, Record
from broachplan.desks.machinist.runs.cutting import change_gauging, push, read_gauge, take_other_plan
from broachplan.desks.machinist.runs.keeping import Kept
from broachplan.desks.machinist.runs.looking import ShownRun, list_runs, show_run
from broachplan.desks.machinist.runs.pausing import end_run, park_run, resume_run, stop_run
from broachplan.desks.machinist.runs.righting import correct, measure_piece
from broachplan.desks.machinist.runs.start import start_run
from broachplan.desks.machinist.runs.trouble import (
    accept_hub,
    broach_broken,
    scrap_hub,
    set_hub_aside,
    shim_gone,
)
from broachplan.questions import runs as ask
from broachplan.store.run_list import ListedRun
from broachplan.store.tables import PIECE, WEAR
from broachplan.store.work import reading
from broachplan.tooling.pieces import Piece
from tests.planner.setups import BASE
from tests.store.cribs import fill

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
DAY = NOW.date()
HUB = {
    "bore": "25 mm +0 -0",
    "hub_length": "17 mm",
    "keyway_width": "7 mm ±0.02",
    "reading": "28.1 mm ±0.05",
    "hub_od": "60 mm",
}
TOOLS = ("G", "K", "a", "b", "c")


def crib(db: str, *more: Record) -> str:
    """The pieces of the set-up, measured with a micrometer, and others."""
    pieces: list[Piece] = [BASE.broach, BASE.bushing, *BASE.shims]
    if BASE.press:
        pieces.append(BASE.press)
    fill(db, [*(Record(piece=piece, measured=Measurement("micrometer")) for piece in pieces), *more])
    return db


def begin(db: str, *, at: datetime = NOW, **typed: Any) -> Kept:
    """A run of the set-up's hub, started by Kim unless said otherwise."""
    kept = start_run(db, ask.RunStartRequest(**{**HUB, "by": "Kim", **typed}), at=at)
    assert isinstance(kept, Kept)
    return kept


def pushed(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return push(db, ask.RunPushedRequest(run=run, **typed), at=at)


def read(db: str, measured: str = "", run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return read_gauge(db, ask.RunReadRequest(run=run, measured=measured, **typed), at=at)


def gauging(db: str, read_each: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return change_gauging(db, ask.RunGaugingRequest(run=run, read_each=read_each, **typed), at=at)


def replanned(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return take_other_plan(db, ask.RunReplanRequest(run=run, **typed), at=at)


def corrected(db: str, step: int, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    asked = {"why": "looked again", "by": "Kim", **typed}
    return correct(db, ask.RunCorrectRequest(run=run, at=str(step), **asked), at=at)


def measured(db: str, piece: str, *figures: str, run: str = "1", at: datetime = NOW, **typed: Any) -> Kept:
    request = ask.RunMeasuredRequest(run=run, piece=piece, figures=figures, **typed)
    return measure_piece(db, request, at=at)


def gone(db: str, shim: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return shim_gone(db, ask.RunGoneRequest(run=run, shim=shim, **typed), at=at)


def broken(db: str, broach: str = "K", run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return broach_broken(db, ask.RunBrokenRequest(run=run, broach=broach, **typed), at=at)


def scrapped(db: str, hub: int, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return scrap_hub(db, ask.RunScrapRequest(run=run, hub=str(hub), **{"why": "too deep", **typed}), at=at)


def accepted(db: str, hub: int, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    asked = {"why": "the key fits", "by": "Jo", **typed}
    return accept_hub(db, ask.RunAcceptRequest(run=run, hub=str(hub), **asked), at=at)


def aside(db: str, hub: int, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    asked = {"why": "a hard spot", **typed}
    return set_hub_aside(db, ask.RunAsideRequest(run=run, hub=str(hub), **asked), at=at)


def stopped(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return stop_run(db, ask.RunStopRequest(run=run, **{"why": "end of the shift", **typed}), at=at)


def parked(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return park_run(db, ask.RunParkRequest(run=run, **typed), at=at)


def resumed(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return resume_run(db, ask.RunResumeRequest(run=run, **typed), at=at)


def ended(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return end_run(db, ask.RunEndRequest(run=run, **typed), at=at)


def look_at(db: str, run: str) -> ShownRun:
    return show_run(db, ask.RunRequest(run=run))


def runs_of(db: str, *, only_open: bool = False) -> tuple[ListedRun, ...]:
    return list_runs(db, ask.RunsRequest(only_open=only_open))


def first_hub(db: str, run: str = "1", *readings: str) -> Kept:
    """The first hub through all its passes, gauged after the last but one and the last."""
    third, last = readings or ("27.2 mm", "28.1 mm")
    pushed(db, run, through="3")
    read(db, third, run)
    pushed(db, run)
    return read(db, last, run)


def cuts_of(db: str, tag: str = "K") -> int:
    """What a piece has cut, as the crib has it."""
    with reading(db) as work:
        query = select(WEAR.c.cuts).join(PIECE, PIECE.c.id == WEAR.c.piece_id).where(PIECE.c.tag == tag)
        return work.connection.scalar(query) or 0
