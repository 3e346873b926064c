"""Plan one hub from a crib."""

from __future__ import annotations

from dataclasses import replace

from broachplan.crib.words import read_day
from broachplan.planner.answer import Answer
from broachplan.planner.bands import with_bands
from broachplan.planner.bounds import bounds_of
from broachplan.planner.plan import MOST_PLANS, plan
from broachplan.questions.hub import PlanRequest
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.texts import read_plans
from broachplan.store.settings_store import load_settings
from broachplan.store.shelf_read import read_shelf
from broachplan.store.wear import due_broaches
from broachplan.store.work import reading


def plan_hub(db: str | None, request: PlanRequest) -> Answer:
    """The answer to a question about one hub.

    Parameters
    ----------
    db : path or URL of the crib; None for the user's own.

    Raises
    ------
    InputError : a field that cannot be read, or a tag that is not in the crib.
    StorageError : the crib cannot be read.
    """
    hub, keyway = read_hub_question(request)
    day = read_day(request.on, "day")
    most = read_plans(request.plans) if request.plans else MOST_PLANS
    with reading(db) as work:
        settings = load_settings(work)
        bounds = None if request.why else bounds_of(keyway, hub.bore.lower, settings)
        shelf = read_shelf(work, bounds, on=day)
        due = due_broaches(work, (broach.tag for broach in shelf.broaches), settings, day)
    shelf = replace(shelf, due=due)
    answer = plan(
        hub, keyway, shelf, settings, press=request.press or None, why=request.why or None, most_plans=most
    )
    return with_bands(answer, shelf.measured)
