"""Plan one hub from a crib."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from broachplan.errors import InputError, quoted
from broachplan.planner.answer import Answer
from broachplan.planner.bounds import bounds_of
from broachplan.planner.plan import MOST_PLANS, plan
from broachplan.planner.question import Question, read_plans, read_question
from broachplan.store.settings_store import load_settings
from broachplan.store.shelf_read import read_shelf
from broachplan.store.wear import due_broaches
from broachplan.store.work import reading


def plan_hub(
    db: str | None, question: Question, *, press: str = "", on: str = "", why: str = "", plans: str = ""
) -> Answer:
    """The answer to a question about one hub.

    Parameters
    ----------
    db : path or URL of the crib; None for the user's own.
    press : tag of the press to use; empty leaves the choice to the planner.
    on : the day of the work, ``2026-12-01``, for which pieces may be held; empty asks for no day.
    why : ``all``, or the tag of one piece, to have every refusal told; empty for the nearest.
    plans : how many pairs to work out in full, or ``all``; empty for the best twelve.

    Raises
    ------
    InputError : a field that cannot be read, or a tag that is not in the crib.
    StorageError : the crib cannot be read.
    """
    hub, keyway = read_question(question)
    day = read_day(on) if on else None
    most = read_plans(plans) if plans else MOST_PLANS
    with reading(db) as work:
        settings = load_settings(work)
        bounds = None if why else bounds_of(keyway, hub.bore.lower, settings)
        shelf = read_shelf(work, bounds, on=day)
        due = due_broaches(work, (broach.tag for broach in shelf.broaches), settings, day)
    shelf = replace(shelf, due=due)
    return plan(hub, keyway, shelf, settings, press=press or None, why=why or None, most_plans=most)


def read_day(text: str) -> date:
    """Read a day of the calendar, year first."""
    try:
        return date.fromisoformat(text.strip()) if len(text) < 20 else date.fromisoformat("")
    except ValueError:
        raise InputError(f"day: read {quoted(text)}; write year-month-day, for example 2026-12-01") from None
