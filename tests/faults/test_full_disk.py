"""A disk that takes no more, at every size a file may reach: an honest refusal, and all as it was."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable

import pytest

from broachplan.errors import ExitCode
from tests.faults.acts import ALL_ACTS, CRIB, IN_FILES, LIST, Played, seen
from tests.faults.stage import Trouble
from tests.faults.test_failing_writes import code_of, reported_plainly


def run_in_every_size(played: Played, name: str, times: int) -> int:
    """Let one command write files of at most this and that size; how often it was refused."""
    chance = random.Random(name)
    size, refusals = (played.start / CRIB).stat().st_size, 0
    sizes = [0, 1, 600, 4096, size - 1, size, *(chance.randrange(2 * size) for _ in range(times - 6))]
    for most_bytes in sizes:
        run, here = played.run(Trouble(most_bytes=most_bytes))
        done = played.happened(here)
        if run.code == played.act.code:
            assert done
        else:
            assert not done
            if not played.act.file:
                assert seen(here) == played.before, "all of several files, or none"
            reported_plainly(run, code_of(name))
            refusals += 1
        assert not [path for path in here.rglob("*") if path.name.startswith((".", "demo-"))], "swept up"
        shutil.rmtree(here)
    return refusals


@pytest.mark.parametrize("name", ["crib lend", "data restore", "data upgrade"])
def test_a_full_disk_is_an_honest_refusal_and_all_is_as_it_was(
    plays: Callable[[str], Played], name: str
) -> None:
    assert run_in_every_size(plays(name), name, 6) >= 3


@pytest.mark.parametrize(
    "name", ["crib export", "crib export over another", "crib export as a workbook", "crib labels"]
)
def test_an_export_on_a_disk_that_is_full_at_any_of_its_files_leaves_all_old_ones(
    plays: Callable[[str], Played], name: str
) -> None:
    played = plays(name)
    done = played.copied()
    played.run(Trouble(), done)
    # What lies there for imports is none of the files that the export makes.
    written = (path for path in done.rglob("*") if path.suffix in (".csv", ".xlsx", ".pdf"))
    made = [path for path in written if path.parent.name != IN_FILES and path.name != LIST]

    assert made
    for size in {path.stat().st_size for path in made}:
        # A workbook bears the moment of its making, so its size is not always quite the same.
        run, here = played.run(Trouble(most_bytes=size - 20))
        assert seen(here) == played.before
        reported_plainly(run, ExitCode.BAD_INPUT)


@pytest.mark.nightly
@pytest.mark.parametrize("name", ALL_ACTS)
def test_a_disk_full_at_any_of_a_hundred_sizes_is_an_honest_refusal(
    plays: Callable[[str], Played], name: str
) -> None:
    # Some write small files only.
    assert run_in_every_size(plays(name), name, 100) >= 1
