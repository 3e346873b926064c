"""Runs on a crib in a database, as tests write them: the set-up whose numbers come out whole, and a word for each act.

Bore 25 mm, T 28.05 to 28.15 mm: no shim reads 25.2 mm, then a, a with b, and all three read 26.2, 27.2 and 28.1 mm.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import select

from broachplan.crib.records import Measurement, Record
from broachplan.desks.machinist.runs.cutting import push
from broachplan.desks.machinist.runs.keeping import Kept
from broachplan.desks.machinist.runs.start import start_run
from broachplan.questions.runs import RunPushedRequest, RunStartRequest
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
    kept = start_run(db, RunStartRequest(**{**HUB, "by": "Kim", **typed}), at=at)
    assert isinstance(kept, Kept)
    return kept


def pushed(db: str, run: str = "1", *, at: datetime = NOW, **typed: Any) -> Kept:
    return push(db, RunPushedRequest(run=run, **typed), at=at)


def cuts_of(db: str, tag: str = "K") -> int:
    """What a piece has cut, as the crib has it."""
    with reading(db) as work:
        query = select(WEAR.c.cuts).join(PIECE, PIECE.c.id == WEAR.c.piece_id).where(PIECE.c.tag == tag)
        return work.connection.scalar(query) or 0
