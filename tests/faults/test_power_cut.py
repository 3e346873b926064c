"""The power fails at any moment, and what was not synced is lost in part or whole: what was acknowledged is there."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from broachplan.errors import BroachplanError
from broachplan.store.backup import back_up
from broachplan.store.restore import restore
from tests.faults.acts import ALL_ACTS, EDIT, HOLD, JOIN, Played, State, Words, seen, whether_done
from tests.faults.disk import Disk, left_by_cuts, read_log
from tests.faults.stage import Trouble

OFF, FULL = 0, 2
REST_OF_DAY: tuple[Words, ...] = (
    EDIT,
    ("crib", "undo"),
    JOIN,
    HOLD,
    ("settings", "set", "hardness_hrc", "33"),
)


class Recorded:
    """Commands one after another in one folder, with each change that they made there."""

    def __init__(self, played: Played, *, more: Sequence[Words] = (), synchronous: int | None = None) -> None:
        """Run the act and the commands after it; ``synchronous`` is SQLite's mode instead of the program's own."""
        act = self.act = played.act
        self.on_the_way = played.on_the_way
        self.here, log = played.copied(), played.new_name()
        self.disk = Disk(self.here)
        self.states: list[State] = [played.before]
        self.ends: list[int] = []
        trouble = Trouble(log=str(log), watched=str(self.here), synchronous=synchronous)
        for words in (act.words, *more):
            run = played.stage.run(act.arguments(self.here, words), self.here, trouble)
            assert (run.code, run.err) == (act.code, ""), run
            self.changes = read_log(log)
            assert self.changes[-1].kind == "a", "acknowledged when all is done, and not before"
            self.ends.append(len(self.changes))
            self.states.append(seen(self.here))

    def turns(self) -> list[int]:
        """The moments around everything that is no mere write, and some between."""
        found = {0, *range(0, len(self.changes), 8)}
        for number, change in enumerate(self.changes):
            if change.kind != "w":
                found |= {number, number + 1}
        return sorted(found)

    def lost(self, made: int, left: Path) -> str:
        """What is not as it must be in the folder ``left`` by a cut after so many changes; empty where all is well."""
        acknowledged = sum(end <= made for end in self.ends)
        before, after = (self.states[min(acknowledged + more, len(self.ends))] for more in (0, 1))
        on_the_way = self.on_the_way if made < self.ends[0] else []
        try:
            whether_done(seen(left), before, after, self.act.file, on_the_way)
        except (AssertionError, BroachplanError, sqlite3.Error) as error:
            return f"after {made} changes: {type(error).__name__} {error}"
        return ""


def losses(recorded: Recorded, moments: Iterable[int], by_chance: int) -> list[str]:
    """Cut the power at each of the moments, and give what is lost."""
    room = recorded.here.with_name(f"{recorded.here.name}-left")
    room.mkdir()
    found = []
    for made, left in left_by_cuts(
        recorded.disk, recorded.changes, moments, room, random.Random(str(recorded.act)), by_chance
    ):
        if lost := recorded.lost(made, left):
            found.append(lost)
        shutil.rmtree(left)
    return found


def test_a_power_cut_at_any_turn_of_a_loan_loses_nothing(watched: Callable[[str], Played]) -> None:
    recorded = Recorded(watched("crib lend"))

    assert losses(recorded, recorded.turns(), 2) == []


@pytest.mark.parametrize("synchronous", [OFF, FULL])
def test_with_less_care_for_the_disk_a_power_cut_loses_a_loan(
    watched: Callable[[str], Played], synchronous: int
) -> None:
    recorded = Recorded(watched("crib lend"), synchronous=synchronous)

    assert losses(recorded, recorded.turns()[-4:], 2) != []


def test_what_is_recorded_is_all_that_was_done(watched: Callable[[str], Played], tmp_path: Path) -> None:
    recorded = Recorded(watched("data restore"))
    for change in recorded.changes:
        recorded.disk.apply(change)

    recorded.disk.write_after_cut(tmp_path / "all", lambda: True, lambda: True, random.Random(0))

    assert files(tmp_path / "all") == files(recorded.here)


def files(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.nightly
@pytest.mark.parametrize("name", ALL_ACTS)
def test_a_power_cut_after_any_change_loses_nothing(watched: Callable[[str], Played], name: str) -> None:
    recorded = Recorded(watched(name))
    moments = range(len(recorded.changes) + 1)

    assert losses(recorded, moments, 8) == []


@pytest.mark.nightly
def test_a_power_cut_at_any_moment_of_a_day_loses_nothing(watched: Callable[[str], Played]) -> None:
    recorded = Recorded(watched("crib lend"), more=REST_OF_DAY)
    moments = range(len(recorded.changes) + 1)

    assert losses(recorded, moments, 8) == []


@pytest.mark.nightly
@pytest.mark.parametrize("synchronous", [OFF, FULL])
@pytest.mark.parametrize(
    "name", ["crib import", "crib return", "settings set", "data upgrade", "the first use"]
)
def test_with_less_care_for_the_disk_a_power_cut_loses_what_was_acknowledged(
    watched: Callable[[str], Played], name: str, synchronous: int
) -> None:
    recorded = Recorded(watched(name), synchronous=synchronous)

    assert losses(recorded, [len(recorded.changes)], 8) != []


def test_a_journal_left_of_data_that_is_gone_does_not_spoil_what_is_restored(
    filled_file: str, tmp_path: Path
) -> None:
    crib, journal = Path(filled_file), Path(f"{filled_file}-journal")
    back_up(filled_file, tmp_path / "kept.backup", date(2031, 5, 2))
    before = seen(tmp_path)
    with closing(sqlite3.connect(filled_file, isolation_level=None)) as other:
        other.executescript("UPDATE piece SET note = 'later'; PRAGMA cache_size = 1; BEGIN")
        other.execute("UPDATE piece SET note = 'later still'")
        other.execute("CREATE TABLE other AS SELECT hex(zeroblob(100000)) AS text")
        half_done = journal.read_bytes()
    crib.unlink()
    journal.write_bytes(half_done)

    restore(filled_file, tmp_path / "kept.backup", date(2031, 5, 3))

    assert seen(tmp_path) == before
