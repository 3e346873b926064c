"""Acts on jobs killed at any moment, on a file and on a server: a job holds all of its pieces or none."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from broachplan.jobs.job import JobState
from broachplan.store.check import check
from tests.desks.buyer.acting import NOW, add, crib, shown
from tests.desks.looking import list_holds
from tests.faults.stage import Stage, Trouble

KILLED = -9
START = ("jobs", "start", "J-1", "--by", "Kim")
BACK = ("jobs", "edit", "J-1", "--state", "coming", "--by", "Ann")
# In 2040, so that the job is never late, whatever the day is.
DUE = "2040-05-28"


def killed(stage: Stage, db: str, home: Path, times: int) -> dict[str, int]:
    """Start a job and set it back again and again, killed on the way; how often it was killed, and done all the same."""
    add(crib(db), due=DUE, days="3")
    chance, counts = random.Random(f"jobs {times}"), {"killed": 0, "done": 0}
    seconds = {words: stage.run([*words, "--db", db], home).seconds for words in (START, BACK)}
    for number in range(times):
        words, after = (START, JobState.STARTED) if number % 2 == 0 else (BACK, JobState.COMING)

        moment = 1.1 * chance.random() * seconds[words]

        run = stage.run([*words, "--db", db], home, Trouble(kill_after=moment))

        assert run.code in (ExitCode.DONE, KILLED), run
        # The next writer waits until a server has noticed what became of the one before.
        again = stage.run([*words, "--db", db], home)
        done = "already" in again.out + again.err
        assert again.code == (ExitCode.STATE if done and words is START else ExitCode.DONE), again
        assert done or not run.out, f"acknowledged and lost: {run}"
        assert shown(db).listed.job.state is after
        held = {each.tag for each in list_holds(db, NOW.date())}
        assert held == set(shown(db).listed.job.pieces)
        assert bool(held) is (after is JobState.STARTED)
        assert check(db) == ()
        counts["killed"] += run.code == KILLED
        counts["done"] += done
    return counts


def test_a_start_that_is_killed_holds_every_piece_on_every_day_or_none(
    stage: Stage, db: str, tmp_path: Path
) -> None:
    assert killed(stage, db, tmp_path, 6)["killed"] > 0


@pytest.mark.nightly
def test_a_start_that_is_killed_again_and_again_holds_every_piece_or_none(
    stage: Stage, db: str, tmp_path: Path
) -> None:
    counts = killed(stage, db, tmp_path, 60)

    assert counts["killed"] > 30
    assert counts["done"] < 60
