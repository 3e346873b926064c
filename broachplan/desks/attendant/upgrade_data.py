"""Bring the crib's database to the revision that this program works with."""

from __future__ import annotations

from datetime import date

from broachplan.questions.files import UpgradeRequest
from broachplan.store.upgrade import Upgraded, UpgradeOutcome, upgrade

__all__ = ["UpgradeOutcome", "Upgraded", "upgrade_data"]


def upgrade_data(db: str | None, _: UpgradeRequest, *, on: date) -> Upgraded:
    """Upgrade the database, or set it up where there is none; ``on`` dates the copy that is made first.

    Raises
    ------
    StorageError : it is no crib, of an unknown revision, or the upgrade failed and was undone.
    """
    return upgrade(db, on)
