"""One stage for all tests of faults, and each act played on it once: both take longer than most of the tests."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.faults.acts import ALL_ACTS, Played, migrations_with_one_more
from tests.faults.shim import compiled, compiler
from tests.faults.stage import Stage

IN_MEMORY = Path("/dev/shm")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what needs the shim where there is no compiler; the end of the run says so."""
    if compiler() is not None:
        return
    out = [item for item in items if "watched" in getattr(item, "fixturenames", ())]
    config.hook.pytest_deselected(items=out)
    items[:] = [item for item in items if item not in out]


@pytest.fixture(scope="session")
def stage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stage]:
    """A process to fork commands from, with the shim before it where this machine has a compiler."""
    folder = tmp_path_factory.mktemp("stage")
    made = Stage(folder, migrations_with_one_more(folder / "migrations"), compiled(folder))
    yield made
    made.close()


@pytest.fixture(scope="session")
def plays(stage: Stage, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str], Played]]:
    """Each act by its name, in memory where the machine has such a place: what is tried there waits for no disk."""
    with tempfile.TemporaryDirectory(
        prefix="broachplan-faults-",
        dir=IN_MEMORY if os.access(IN_MEMORY, os.W_OK) else tmp_path_factory.mktemp("plays"),
    ) as folder:
        numbers = {name: str(number) for number, name in enumerate(ALL_ACTS)}

        @cache
        def played(name: str) -> Played:
            return Played(stage, ALL_ACTS[name], Path(folder) / numbers[name])

        yield played


@pytest.fixture(scope="session")
def watched(plays: Callable[[str], Played]) -> Callable[[str], Played]:
    """The same, for tests that need the shim: they are left out where there is no compiler."""
    return plays
