"""Plan one hub from a crib."""

from __future__ import annotations

from dataclasses import replace

from broachplan.crib.loans import Asker
from broachplan.crib.words import read_day
from broachplan.errors import InputError
from broachplan.planner.after import PressReading
from broachplan.planner.after_bands import answer_after
from broachplan.planner.answer import Answer
from broachplan.planner.bands import with_bands
from broachplan.planner.bounds import bounds_of
from broachplan.planner.plan import MOST_PLANS, plan
from broachplan.planner.tried import Trial
from broachplan.questions.hub import PlanRequest
from broachplan.questions.read_after import AfterQuestion, read_after_question
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
    after = read_after_question(request)
    day = read_day(request.on, "day")
    most = read_plans(request.plans) if request.plans else MOST_PLANS
    with reading(db) as work:
        settings = load_settings(work).as_typed_in(hub.system)
        whole = request.why or request.broach or request.bushing
        bounds = None if whole else bounds_of(keyway, hub.bore.lower, settings)
        shelf = read_shelf(work, bounds, on=day, asker=Asker(request.by))
        due = due_broaches(work, (broach.tag for broach in shelf.broaches), settings, day)
    shelf = replace(shelf, due=due).only(request.broach, request.bushing)
    press, why = request.press or None, request.why or None
    if after is not None:
        trial = Trial(hub, keyway, shelf, settings, press)
        return answer_after(trial, press_reading(after, trial), why=why)
    answer = plan(hub, keyway, shelf, settings, press=press, why=why, most_plans=most)
    return with_bands(answer, shelf.measured)


def press_reading(after: AfterQuestion, trial: Trial) -> PressReading:
    """What was typed of a reading as T on the pieces of the crib.

    Raises
    ------
    InputError : a shim that the crib does not have, or a size that the way of gauging needs is not known.
    """
    (broach,), (bushing,) = trial.shelf.broaches, trial.shelf.bushings
    if broach.keyway_width is None:
        raise InputError(f"broach {broach.tag}", f"not measured: {', '.join(broach.missing)}")
    way = after.way.on(trial.hub, broach.keyway_width)
    top, *others = (way.t_of(read) for read in after.read)
    return PressReading(
        broach=broach,
        bushing=bushing,
        stack=trial.shelf.stack(after.shims),
        top=top,
        bottom=others[0] if others else None,
        before=way.t_of(after.before) if after.before else None,
    )
