"""The differences of a count as rows that get their causes."""

from __future__ import annotations

from broachplan.crib.count_words import SHORT
from broachplan.crib.counts import MAY_MOVE, ComparedLine, Mismatch
from broachplan.crib.homes import Home
from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Row
from tui.drafts import Causes

# The ready causes, each given by one key.
READY_LINE = "F3 wrong place  F4 not signed out  F5 broken  F6 not known  F8 same for rest"
READY = (
    "put in the wrong place",
    "taken or brought back without signing for it",
    "broken or thrown away",
    "not known",
)
DIFFERENCE_COLUMNS = (
    TAG,
    Column("found", least=10),
    Column("cause", least=16),
    Column("then", least=12),
)


def difference_row(each: ComparedLine, causes: Causes, drawer: Home) -> Row:
    """One difference, its cause, and what settling does about it."""
    tag = each.line.tag
    return (tag, SHORT[each.line.mismatch], causes.words.get(tag, ""), then_words(each, causes, drawer))


def may_stay(each: ComparedLine) -> bool:
    """Whether a piece was found where it does not live, so that it may stay there."""
    return each.line.mismatch in MAY_MOVE and not each.changed and each.books is not None


def then_words(each: ComparedLine, causes: Causes, drawer: Home) -> str:
    """What settling does: corrects the books, has a piece put back, or nothing."""
    mismatch, tag = each.line.mismatch, each.line.tag
    if each.changed or each.books is None or mismatch is Mismatch.RETIRED:
        return "noted only"
    stays = f"stays: {drawer.at(causes.stays[tag])}" if tag in causes.stays else ""
    home = stays or (f"goes to {each.books.home}" if each.books.home else "has no home")
    if mismatch is Mismatch.ABSENT:
        return "is missing"
    if mismatch is Mismatch.STRAY:
        return home
    return f"{'is back' if mismatch is Mismatch.BACK else 'is found'}; {home}"
