"""Can we do it? The answer is that of `shortages` and `plan`, and nothing is kept by asking."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from broachplan.desks.buyer.can_we import CanWe, CanWeSay, can_we
from broachplan.desks.buyer.shortages import find_shortages
from broachplan.desks.machinist.plan_hub import plan_hub
from broachplan.errors import InputError
from broachplan.lengths import Units
from broachplan.questions.can_we import CanWeRequest
from broachplan.questions.hub import PlanRequest
from broachplan.questions.shortages import ShortagesRequest
from broachplan.runs.push_time import push_time
from broachplan.views.can_we import answer_words, with_what
from tests.desks.buyer.acting import DUE, add, crib, listed
from tests.desks.doing import lend_piece
from tests.jobs.some import QUESTION

TODAY = "2031-05-26"
NOON = datetime(2031, 5, 26, 12, tzinfo=UTC)


def ask(db: str, **typed: str) -> CanWe:
    return can_we(db, CanWeRequest(values={**QUESTION, **typed}, on=TODAY))


def test_the_answer_is_that_of_shortages_once_it_is_a_job_and_that_of_plan_on_its_day(db: str) -> None:
    crib(db)
    add(db, "J-7", due="2031-06-03")

    found = ask(db, quantity="3", due=DUE)

    assert listed(db) == ["J-7"]
    add(db, found.shortage.job.number, quantity="3")
    shortages = find_shortages(db, ShortagesRequest(on=TODAY))
    (kept,) = [one for one in shortages.jobs if one.job.number == "J-8"]
    assert (found.shortage.judged, found.shortage.made) == (kept.judged, kept.made)
    planned = plan_hub(db, PlanRequest(**QUESTION, on=DUE)).plans[0]
    assert found.made is not None
    assert found.made == planned
    assert found.pushes == 3 * len(planned.passes)
    assert answer_words(found) == "YES, by Wed 28 May, from Mon 26 May on"
    assert with_what(found, Units.INCH) == f"K in G; {found.pushes} pushes, minutes not known"


def test_a_day_on_which_another_job_has_the_pieces_leads_to_an_earlier_one_or_to_a_later_one(db: str) -> None:
    crib(db)
    add(db, "J-1")

    earlier = ask(db, due=DUE)
    assert (earlier.says, earlier.press_by) == (CanWeSay.EARLIER, date(2031, 5, 27))
    assert answer_words(earlier) == "YES, if it is cut on Tue 27 May; not on Wed 28 May"
    assert earlier.made is not None

    add(db, "J-2", due=TODAY)
    later = ask(db, due=TODAY)
    assert (later.says, later.first) == (CanWeSay.LATER, date(2031, 5, 27))
    assert answer_words(later) == "NOT BY Mon 26 May; from Tue 27 May on"

    anyhow = ask(db)
    assert (anyhow.says, anyhow.shortage.job.due) == (CanWeSay.YES, date(2031, 5, 27))


def test_a_broach_that_is_lent_makes_it_a_later_day_and_a_bore_without_a_bushing_a_no(db: str) -> None:
    crib(db)
    no = ask(db, bore="30 mm", reading="33.1 mm ±0.05")
    lend_piece(db, "K", "Kim", due="2031-06-02", at=NOON)
    later = ask(db, due=DUE)

    assert (later.says, later.first) == (CanWeSay.LATER, date(2031, 6, 3))
    assert no.says is CanWeSay.NO
    assert with_what(no, Units.INCH).startswith("missing: bushing 30 mm, key 7 mm")
    with pytest.raises(InputError, match="by: read “2031-05-25”; write a day from 2031-05-26 on"):
        ask(db, due="2031-05-25")


def test_a_push_takes_the_median_time_between_those_that_were_booked_and_breaks_do_not_count() -> None:
    """Ten pushes two minutes apart, three of them booked in one go after six minutes, and an hour's break."""
    start = datetime(2031, 5, 26, 8, tzinfo=UTC)
    minutes = [0, 2, 4, 10, 10, 10, 12, 72, 74, 76, 78]
    booked = [(1, start + timedelta(minutes=at)) for at in minutes]

    assert push_time(booked) is None
    assert push_time([*booked, (1, start + timedelta(minutes=80)), (2, start)]) == (120.0, 10)
