"""A run at the press, killed at random moments: it is at the last confirmed step or the one after, and continues from there."""

from __future__ import annotations

import random
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from tests.faults.acts import CRIB, PARK, PUSHED, READ, RUN_CRIB, START, State, Words, begin, seen
from tests.faults.stage import Stage, Trouble

KILLED = -9
LAST = ("run", "read", "1", "--measured", "1.0905 in")
RESUME = ("run", "resume", "1", "--by", "Ann")
END = ("run", "end", "1", "--broach-condition", "fit")
# Two hubs of three passes: the first gauged twice, the second parked after its first pass and resumed by another.
SCRIPT = (
    *(START, PUSHED, PUSHED, READ, PUSHED, LAST),
    *(PUSHED, PARK, RESUME, PUSHED, PUSHED, LAST, END),
)


@dataclass
class Rehearsed:
    """The script as it goes when nobody disturbs it: the folder, what is in it, and how long, before each command."""

    folders: list[Path]
    states: list[State]
    seconds: list[float]


@pytest.fixture(scope="module")
def rehearsed(stage: Stage, tmp_path_factory: pytest.TempPathFactory) -> Rehearsed:
    """The script run once, its folder kept before each command and after the last."""
    here, kept = tmp_path_factory.mktemp("script"), tmp_path_factory.mktemp("kept")
    begin(here)
    for words in RUN_CRIB:
        assert stage.run(line(words, here), here).code == ExitCode.DONE
    folders, states, seconds = [], [], []
    for number, words in enumerate((*SCRIPT, None)):
        folders.append(Path(shutil.copytree(here, kept / str(number))))
        states.append(seen(here))
        if words is not None:
            run = stage.run(line(words, here), here)
            assert (run.code, run.err) == (ExitCode.DONE, ""), (words, run)
            seconds.append(run.seconds)
    return Rehearsed(folders, states, seconds)


def line(words: Words, here: Path, step: int | None = None) -> list[str]:
    """The command line on the crib in a folder, with the last step that was seen where there is one."""
    seen_step = [] if not step else ["--step", str(step)]
    return [*words, *seen_step, "--db", str(here / CRIB)]


def killed(stage: Stage, rehearsed: Rehearsed, folder: Path, times: int) -> dict[str, int]:
    """Kill the command at a random place of the script, look, and continue; how many were killed and done."""
    chance, counts = random.Random(f"a run {times}"), {"killed": 0, "done": 0}
    for number in range(times):
        place = chance.randrange(len(SCRIPT))
        here = Path(shutil.copytree(rehearsed.folders[place], folder / str(number)))
        before, after = rehearsed.states[place : place + 2]
        moment = 1.1 * chance.random() * rehearsed.seconds[place]

        run = stage.run(line(SCRIPT[place], here, place), here, Trouble(kill_after=moment))

        now = seen(here)
        assert run.code in (ExitCode.DONE, KILLED), run
        assert now in (before, after), f"{SCRIPT[place]}: neither before nor after"
        done = now == after
        assert done or not run.out, f"confirmed and lost: {run}"
        counts["killed"] += run.code == KILLED
        counts["done"] += done
        continue_from(stage, rehearsed, here, place, done=done)
        shutil.rmtree(here)
    return counts


def continue_from(stage: Stage, rehearsed: Rehearsed, here: Path, place: int, *, done: bool) -> None:
    """The same command again is refused where it was done, and is done where it was not; the next one follows."""
    again = stage.run(line(SCRIPT[place], here, place), here)
    if done and place:
        assert again.code == ExitCode.STATE, again
        assert f"run 1 is at step {place + 1} (" in again.err
    elif not done:
        assert (again.code, again.err) == (ExitCode.DONE, ""), again
    assert seen(here) == rehearsed.states[place + 1]


def test_a_run_killed_twenty_times_is_at_the_last_confirmed_step_or_the_one_after(
    stage: Stage, rehearsed: Rehearsed, tmp_path: Path
) -> None:
    assert killed(stage, rehearsed, tmp_path, 20)["killed"] > 5


@pytest.mark.nightly
def test_a_run_killed_two_hundred_times_is_at_the_last_confirmed_step_or_the_one_after(
    stage: Stage, rehearsed: Rehearsed, tmp_path: Path
) -> None:
    counts = killed(stage, rehearsed, tmp_path, 200)

    assert counts["killed"] > 100
    assert counts["done"] < 200
