"""Commands killed at any moment: what was acknowledged is there, and nothing is half there."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from tests.faults.acts import ALL_ACTS, Played
from tests.faults.stage import Stage, Trouble

KILLED = -9
# A thousand, over all commands that write.
EACH = -(-1000 // len(ALL_ACTS))


def killed_again_and_again(stage: Stage, name: str, folder: Path, times: int) -> dict[str, int]:
    """Kill one command ``times`` times, look after each, and count what came of them."""
    played, chance = Played(stage, ALL_ACTS[name], folder), random.Random(f"{name} {times}")
    seconds = [played.seconds]
    counts = {"killed": 0, "done": 0}
    for number in range(times):
        # A moment of each part of the run, however slow the machine is just now.
        share = 1.1 * ((number * 7) % times + chance.random()) / times
        run, here = played.run(Trouble(kill_after=share * min(seconds)))
        if run.code == played.act.code:
            seconds.append(run.seconds)
        done = played.happened(here)
        assert run.code in (played.act.code, KILLED), run
        assert done or not run.out, f"acknowledged and lost: {run}"
        counts["killed"] += run.code == KILLED
        counts["done"] += done
        if not done:
            # The next one finds all in order, whatever was left behind.
            again, _ = played.run(Trouble(), here)
            assert (again.code, again.err) == (played.act.code, ""), again
            assert played.is_done(here)
        shutil.rmtree(here)
    return counts


@pytest.mark.parametrize("name", ["crib lend", "crib import", "crib export over another", "data restore"])
def test_a_command_killed_five_times_loses_nothing_and_leaves_nothing_half_done(
    stage: Stage, tmp_path: Path, name: str
) -> None:
    assert killed_again_and_again(stage, name, tmp_path, 5)["killed"] > 0


@pytest.mark.nightly
@pytest.mark.parametrize("name", ALL_ACTS)
def test_a_command_killed_again_and_again_loses_nothing_and_leaves_nothing_half_done(
    stage: Stage, tmp_path: Path, name: str
) -> None:
    counts = killed_again_and_again(stage, name, tmp_path, EACH)

    assert counts["killed"] > EACH // 2
    assert counts["done"] < EACH
