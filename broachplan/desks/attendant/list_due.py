"""Which broaches are due for inspection or a regrind, and what each has cut."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from broachplan.crib.wear import Wear, has_limits, why_due
from broachplan.crib.words import read_day
from broachplan.desks.attendant.clock import day
from broachplan.questions.reads import DueRequest
from broachplan.settings import Settings
from broachplan.store.settings_store import load_settings
from broachplan.store.wear import wear_of_broaches
from broachplan.store.work import reading


@dataclass(frozen=True, slots=True)
class Worn:
    """One broach, what it has cut, and what it is due for and why; for nothing where ``due`` is empty."""

    tag: str
    wear: Wear
    due: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WearList:
    """Every broach: those that are due first, then by the cuts since the inspection, the most first."""

    on: date
    settings: Settings
    broaches: tuple[Worn, ...]

    @property
    def has_limits(self) -> bool:
        """Whether the shop has set any limit."""
        return has_limits(self.settings)


def list_due(db: str | None, request: DueRequest) -> WearList:
    """Every broach with its wear.

    Raises
    ------
    InputError : it is no day.
    StorageError : the database cannot be used.
    """
    on = day(read_day(request.on, "on"))
    with reading(db) as work:
        settings, found = load_settings(work), wear_of_broaches(work)
    listed = [Worn(tag, wear, why_due(wear, settings, on)) for tag, wear in found.items()]
    listed.sort(key=lambda each: (not each.due, -each.wear.since_inspection[0], each.tag))
    return WearList(on, settings, tuple(listed))
