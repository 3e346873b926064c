"""A disk that takes no more, at every size a file may reach: an honest refusal, and all as it was."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from broachplan.errors import ExitCode
from tests.store.cribs import fill, small_crib
from tests.store.stage import Run, Stage
from tests.store.staged import ACTS, migrations_with_one_more


@pytest.fixture(scope="module")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stage]:
    folder = tmp_path_factory.mktemp("stage")
    made = Stage(folder, migrations_with_one_more(folder / "migrations"))
    yield made
    made.close()


def refused_or_done(run: Run, done: bool) -> None:
    """Done with exit code 0, or not done with exit code 4, nothing on stdout and one plain line."""
    if run.code == 0:
        assert done
        return
    assert (run.code, run.out, done) == (ExitCode.STORAGE, "", False), run
    assert run.err.startswith("broachplan: ")
    assert run.err.count("\n") == 1
    assert "Traceback" not in run.err


def run_in_every_size(stage: Stage, name: str, db: Path, times: int) -> int:
    """Let one command write files of at most this and that size; how often it was refused."""
    fill(str(db), small_crib())
    act, chance = ACTS[name](db), random.Random(name)
    size, refusals = db.stat().st_size, 0
    sizes = [0, 1, 600, 4096, size - 1, size, *(chance.randrange(2 * size) for _ in range(times - 6))]
    for most_bytes in sizes:
        run = stage.run(act.prepare(), most_bytes=most_bytes)
        refused_or_done(run, act.happened())
        refusals += run.code != 0
        assert not list(db.parent.glob(".broachplan-*")), "what was begun is swept up"
    assert stage.run(act.prepare()).code == 0
    assert act.happened()
    return refusals


@pytest.mark.parametrize("name", ACTS)
def test_a_full_disk_is_an_honest_refusal_and_all_is_as_it_was(
    stage: Stage, tmp_path: Path, name: str
) -> None:
    assert run_in_every_size(stage, name, tmp_path / "crib.db", 8) >= 3


@pytest.mark.nightly
@pytest.mark.parametrize("name", ACTS)
def test_a_disk_full_at_any_of_two_hundred_sizes_is_an_honest_refusal(
    stage: Stage, tmp_path: Path, name: str
) -> None:
    assert run_in_every_size(stage, name, tmp_path / "crib.db", 200) > 10


def test_a_full_disk_where_there_is_no_crib_yet_is_told(stage: Stage, tmp_path: Path) -> None:
    run = stage.run(["settings", "set", "units", "mm", "--db", str(tmp_path / "crib.db")], most_bytes=0)

    refused_or_done(run, done=False)
    assert run.code == ExitCode.STORAGE
    assert stage.run(["settings", "show", "--db", str(tmp_path / "crib.db")]).code == 0
