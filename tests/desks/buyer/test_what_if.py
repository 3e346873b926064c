"""What a job moved, added or dropped would do to the others; nothing is changed by asking."""

from __future__ import annotations

import pytest

from broachplan.buying.verdicts import Verdict
from broachplan.desks.buyer.what_if import JobDifference, VerdictChange, what_if
from broachplan.errors import CribStateError, InputError
from broachplan.questions.what_if import WhatIfRequest
from tests.desks.buyer.acting import DUE, add, crib, drop, shown
from tests.jobs.some import QUESTION

READY, CLASH = Verdict.READY, Verdict.CLASH


def would(db: str, number: str, **asked: object) -> JobDifference:
    return what_if(db, WhatIfRequest(number=number, on="2031-05-26", **asked))  # type: ignore[arg-type]


def test_of_two_jobs_that_want_one_broach_the_one_that_is_moved_frees_both(db: str) -> None:
    crib(db)
    add(db, "J-1")
    add(db, "J-2")

    found = would(db, "j-2", values={"due": "2031-05-27"})

    assert found.own == VerdictChange("J-2", CLASH, READY)
    assert found.others == ()
    assert found.ready == (1, 2)
    assert shown(db, "J-2").listed.job.due.isoformat() == DUE


def test_a_job_that_comes_before_another_takes_its_pieces_and_gives_them_back_when_it_goes(db: str) -> None:
    crib(db)
    add(db, "J-1")
    one_more = {"due": DUE, "quantity": "1", "priority": "1", **QUESTION}

    found = would(db, "J-2", new=True, values=one_more)

    assert found.own == VerdictChange("J-2", None, READY)
    assert found.others == (VerdictChange("J-1", READY, CLASH),)
    add(db, "J-2", priority="1")
    dropped = would(db, "J-2", dropped=True)
    assert dropped.own == VerdictChange("J-2", READY, None)
    assert dropped.others == (VerdictChange("J-1", CLASH, READY),)


def test_a_job_marked_as_following_another_is_ready_with_it(db: str) -> None:
    crib(db)
    add(db, "J-1")
    add(db, "J-2")

    assert would(db, "J-2", values={"after": "J-1"}).own.after is READY
    with pytest.raises(InputError, match="after: read “J-9”; write the number of a job of the list"):
        would(db, "J-2", values={"after": "J-9"})


def test_a_number_that_is_taken_and_a_job_that_is_over_are_refused(db: str) -> None:
    crib(db)
    add(db, "J-1")
    with pytest.raises(InputError, match="number: read “J-1”; job J-1 has it"):
        would(db, "J-1", new=True, values={"due": DUE, "quantity": "1", **QUESTION})
    drop(db, "J-1")
    with pytest.raises(CribStateError, match="job J-1 is dropped"):
        would(db, "J-1", values={"due": DUE})
    with pytest.raises(InputError, match="no such job"):
        would(db, "J-7", dropped=True)
