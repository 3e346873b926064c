"""Commands killed at any moment: what was acknowledged is there, and nothing is half there."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.store.cribs import fill, small_crib
from tests.store.stage import Stage
from tests.store.staged import ACTS, migrations_with_one_more

KILLED = -9


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stage]:
    folder = tmp_path_factory.mktemp("stage")
    made = Stage(folder, migrations_with_one_more(folder / "migrations"))
    yield made
    made.close()


def killed_again_and_again(stage: Stage, name: str, db: Path, times: int) -> dict[str, int]:
    """Kill one command ``times`` times, look after each, and count what came of them."""
    fill(str(db), small_crib())
    act, chance = ACTS[name](db), random.Random(f"{name} {times}")
    seconds = []
    for _ in range(2):
        whole = stage.run(act.prepare())
        assert (whole.code, whole.err) == (0, "")
        assert act.happened()
        seconds.append(whole.seconds)
    counts = {"killed": 0, "done": 0}
    for number in range(times):
        # A moment of each part of the run, however slow the machine is just now.
        share = 1.1 * ((number * 7) % times + chance.random()) / times
        run = stage.run(act.prepare(), kill_after=share * min(seconds))
        if run.code == 0:
            seconds.append(run.seconds)
        done = act.happened()
        assert run.code in (0, KILLED), run
        assert done or not run.out, f"acknowledged and lost: {run}"
        counts["killed"] += run.code == KILLED
        counts["done"] += done
    # The next one finds all in order, whatever the last left behind.
    assert stage.run(act.prepare()).code == 0
    assert act.happened()
    return counts


@pytest.mark.parametrize("name", ["settings set", "crib import", "data restore"])
def test_a_command_killed_five_times_loses_nothing_and_leaves_nothing_half_done(
    stage: Stage, tmp_path: Path, name: str
) -> None:
    assert killed_again_and_again(stage, name, tmp_path / "crib.db", 5)["killed"] > 0


@pytest.mark.nightly
@pytest.mark.parametrize("name", ACTS)
def test_a_command_killed_two_hundred_times_loses_nothing_and_leaves_nothing_half_done(
    stage: Stage, tmp_path: Path, name: str
) -> None:
    counts = killed_again_and_again(stage, name, tmp_path / "crib.db", 200)

    assert counts["killed"] > 100
    assert 0 < counts["done"] < 200
