"""When an act is done and by whom: the one place of the attendant's desk that reads the clock."""

from __future__ import annotations

import platform
from datetime import date, datetime, tzinfo

from broachplan.crib.entries import Stamp
from broachplan.crib.words import LONGEST_NAME, checked_words
from broachplan.questions.reads import TodayRequest


def stamped(by: str, at: datetime | None) -> Stamp:
    """The stamp of an act: ``at`` or else now, who did it, if given, and at which station.

    Raises
    ------
    InputError : a name that is too long or holds what does not show.
    """
    return Stamp(at or datetime.now().astimezone(), checked_words(by, "by", LONGEST_NAME), station())


def station() -> str:
    """The name of this machine, which marks its own acts among those of other windows."""
    return "".join(each for each in platform.node() if each.isascii() and each.isprintable())[:LONGEST_NAME]


def day(on: date | None) -> date:
    """The day asked about, else today."""
    return on or date.today()


def today(_db: str | None, _: TodayRequest) -> date:
    """The day by this machine's clock."""
    return day(None)


def day_of(moment: datetime, zone: tzinfo | None = None) -> date:
    """The day of a moment on the clocks of a zone, else of this machine."""
    return moment.astimezone(zone).date()
