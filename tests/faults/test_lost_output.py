"""Output that cannot be written: one line says so, and that what was asked is saved all the same."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from broachplan.errors import OUTPUT_FAILED
from tests.faults.acts import ACTS, BUSY, READS, Act, Played, begin
from tests.faults.stage import CLOSED, Stage, Trouble
from tests.ground import emptied

WHYS = {"/dev/full": "no space left on device", CLOSED: "it is closed"}
# The file itself is what these were asked for.
FILES = ("crib export", "crib labels", "crib blanks", "run export", "jobs drawing", "data backup", "demo")


def says_that_it_is_kept(played: Played, name: str) -> None:
    kept = "what was to be written is there" if name in FILES else "the change is saved"
    for output, why in WHYS.items():
        run, here = played.run(Trouble(output=output))

        assert played.is_done(here)
        assert (run.code, run.out) == (OUTPUT_FAILED, "")
        assert run.err == f"broachplan: {kept}, but the output could not be written: {why}\n"


@pytest.mark.parametrize("name", ["crib lend", "crib export", "data restore", "data upgrade"])
def test_a_change_is_reported_as_saved_where_the_output_cannot_be_written(
    plays: Callable[[str], Played], name: str
) -> None:
    says_that_it_is_kept(plays(name), name)


@pytest.mark.nightly
@pytest.mark.parametrize("name", ACTS)
def test_every_change_is_reported_as_saved_where_the_output_cannot_be_written(
    plays: Callable[[str], Played], name: str
) -> None:
    says_that_it_is_kept(plays(name), name)


@pytest.mark.parametrize("every", [False, pytest.param(True, marks=pytest.mark.nightly)])
def test_a_command_that_changes_nothing_says_only_that_its_output_cannot_be_written(
    stage: Stage, every: bool
) -> None:
    here = emptied("lost")
    begin(here)
    for words in BUSY:
        stage.run(Act(words).arguments(here), here)

    for turn, (name, words) in enumerate(READS.items()):
        act = Act(words, named=not name.startswith(("key", "strength")))
        # One way each, by turns; every night both.
        for output, why in [*WHYS.items()] if every else [[*WHYS.items()][turn % 2]]:
            run = stage.run(act.arguments(here), here, Trouble(output=output))
            # A check that finds nothing has nothing to say.
            expected = (
                (0, "")
                if name == "data check"
                else (OUTPUT_FAILED, f"broachplan: the output could not be written: {why}\n")
            )
            assert (run.code, run.err) == expected, name
    for words in (("--help",), ("plan", "--help"), ("--version",)):
        run = stage.run(words, here, Trouble(output="/dev/full"))
        assert (run.code, run.err.count("\n")) == (OUTPUT_FAILED, 1)
