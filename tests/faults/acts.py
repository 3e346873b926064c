"""Every command that writes, on a crib of its own, and whether it did all of it or nothing.

What a command is to leave is learnt by running it once undisturbed on a copy: an act says how it begins, not what it does.
"""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import count
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import typer.main

from broachplan import places
from broachplan.cli.commands import app
from broachplan.errors import ExitCode
from broachplan.store import schema
from broachplan.store.backup import read_backup
from broachplan.store.check import check
from broachplan.store.csv_columns import usual_columns
from broachplan.store.whole_file import COMPANIONS
from broachplan.tooling.figures import Kind
from tests.faults.stage import Run, Stage, Trouble
from tests.store.cribs import fill, small_crib

Words = tuple[str, ...]
State = Mapping[str, tuple[str, ...]]

CRIB, KEPT, OTHER, IN_FILES, LIST = "crib.db", "kept.backup", "other.backup", "files", "jobs.csv"
PIECES = 60
CUTS = ("--hubs", "4", "--passes", "3", "--hub-length", "1 in")
REVISION = """
import sqlalchemy as sa
from alembic import op
revision, down_revision = "next", "{before}"
def upgrade():
    with op.batch_alter_table("setting") as batch:
        batch.add_column(sa.Column("maker", sa.Text, server_default="", nullable=False))
    op.create_table("later", sa.Column("id", sa.Integer, primary_key=True))
"""


@dataclass(frozen=True, slots=True)
class Act:
    """A command that writes.

    ``words`` is its command line, ``{here}`` the folder of the crib; ``before`` are commands that ran earlier.
    ``file`` is what it is about; empty where there are several, of which each may be there without the others.
    What ``on_the_way`` leaves, another command, may be there as well. It ends with ``code`` when it is done.
    """

    words: Words
    before: tuple[Words, ...] = ()
    on_the_way: tuple[Words, ...] = ()
    file: str = CRIB
    named: bool = True
    code: int = ExitCode.DONE

    def arguments(self, here: Path, words: Words | None = None) -> list[str]:
        """The command line on the crib in the folder ``here``."""
        line = [word.replace("{here}", str(here)) for word in words or self.words]
        return [*line, "--db", str(here / CRIB)] if self.named else line


LEND = ("crib", "lend", "B-250", "--to", "Kim", "--job", "7031")
SEND = ("crib", "send", "B-250", "--to", "Northside", "--back", "2031-05-28")
LEND_SHORT = ("crib", "lend", "--set", "box Elm", "--without", "G-1000", "--to", "Kim")
HOLD = ("crib", "hold", "B-250", "--for", "J-701", "--day", "2031-05-28", "--until", "2031-06-02")
JOIN = ("crib", "join", "box Elm", "S-1", "G-1000")
EDIT = ("crib", "edit", "S-1", "--home", "drawer 9")
BACK_UP = ("data", "backup", f"{{here}}/{OTHER}")
HOMES = (
    ("crib", "edit", "S-1", "--home", "A/1/01"),
    ("crib", "edit", "G-1000", "--home", "A/1/02"),
)
COUNT = ("crib", "count", "A/1", "S-1", "B-250", "--by", "Kim")
SETTLE = ("crib", "settle", "1", "--all", "not known", "--move", "B-250=A/1/03")
HEIGHTS = ("--first-tooth-height", "0.39 in", "--last-tooth-height", "0.44 in")
EXPORT = ("crib", "export", "{here}/out", "--overwrite")
DEMO_ACT = ("crib", "lend", "BR-0250-A", "--to", "Kim", "--db", "{here}/broachplan/demo.db")
MICROMETER = ("--measured-with", "micrometer")
# A hub of three passes that the small crib can cut once its bushing is fit and it has a few more shims.
RUN_CRIB = (
    ("crib", "inspect", "G-1000", "--condition", "fit"),
    *(("crib", "edit", tag, *MICROMETER) for tag in ("G-1000", "S-1")),
    *(
        ("crib", "add", "shim", tag, "--thickness", thickness, "--width", "0.248 in", *MICROMETER)
        for tag, thickness in (("S-3", "0.12 in"), ("S-4", "0.05 in"), ("S-5", "0.0495 in"))
    ),
)
START = (
    *("run", "start", "--bore", "1 in", "--hub-length", "1 in", "--keyway-width", "0.2505 in ±0.001"),
    *("--reading", "1.09 in ±0.005", "--hubs", "2", "--job", "J-701", "--by", "Kim"),
)
JOB_HUB = ("--bore", "1 in", "--hub-length", "1 in", "--keyway-width", "0.2505 in ±0.001")
ADD_JOB = (
    *("jobs", "add", "J-701", "--due", "2031-05-28", "--quantity", "2", "--days", "3"),
    *(*JOB_HUB, "--reading", "1.09 in ±0.005", "--by", "Kim"),
)
# No bushing of the crib fits that bore.
BLOCKED_JOB = (*RUN_CRIB, (*ADD_JOB, "--bore", "1-1/8 in +0.001 -0", "--reading", "1.24 in ±0.005"))
START_JOB = ("jobs", "start", "J-701", "--by", "Kim")
STARTED_JOB = (*RUN_CRIB, ADD_JOB, START_JOB)
BEGUN = (*RUN_CRIB, START)
PUSHED = ("run", "pushed", "1")
CUT_TO_READ = (*BEGUN, (*PUSHED, "--through", "2"))
READ = ("run", "read", "1", "--measured", "1.0408 in", "--with", "gauge 12")
SHALLOW = ("run", "read", "1", "--measured", "1.0397 in")
PARK = ("run", "park", "1", "--by", "Kim")
RIGHT = ("run", "correct", "1", "--at", "3", "--shims", "S-3,S-5", "--why", "looked again")
WHY = ("--why", "a hard spot")
# One for each command that writes: a test holds them to the commands there are.
ACTS = {
    "crib import": Act(("crib", "import", f"{{here}}/{IN_FILES}")),
    "crib export": Act(EXPORT, file=""),
    "crib overdue": Act(
        ("crib", "overdue", "--file", "{here}/overdue.pdf", "--overwrite"), file="overdue.pdf"
    ),
    "crib blanks": Act(
        ("crib", "blanks", "{here}/blanks.pdf", "--kind", "pin", "--overwrite"), file="blanks.pdf"
    ),
    "crib add": Act(("crib", "add", "shim", "S-2", "--width", "0.25 in")),
    "crib edit": Act(EDIT),
    "crib retire": Act(("crib", "retire", "S-1", "--note", "bent")),
    "crib undo": Act(("crib", "undo"), (LEND,)),
    "crib lend": Act(LEND),
    "crib return": Act(("crib", "return", "B-250", "--condition", "worn", *CUTS), (LEND,)),
    "crib lost": Act(("crib", "lost", "B-250", "--note", "in the chips"), (LEND,)),
    "crib broken": Act(("crib", "broken", "B-250", "--note", "third tooth"), (LEND,)),
    "crib send": Act(SEND),
    "crib receive": Act(("crib", "receive", "B-250"), (SEND,)),
    "crib inspect": Act(("crib", "inspect", "B-250", "--condition", "unfit", "--note", "chipped")),
    "crib book": Act(("crib", "book", "B-250", *CUTS)),
    "crib regrind": Act(("crib", "regrind", "B-250", *HEIGHTS)),
    "crib join": Act(JOIN),
    "crib split": Act(("crib", "split", "box Elm", "S-1"), (JOIN,)),
    "crib hold": Act(HOLD),
    "crib release": Act(("crib", "release", "B-250", "--day", "2031-05-28"), (HOLD,)),
    "crib count": Act(COUNT, HOMES, code=ExitCode.NO),
    "crib settle": Act(SETTLE, (*HOMES, COUNT)),
    "crib found": Act(("crib", "found", "G-1000"), (*HOMES, COUNT, SETTLE)),
    "crib labels": Act(("crib", "labels", "{here}/labels.pdf", "--overwrite"), file="labels.pdf"),
    "run start": Act(START, RUN_CRIB),
    "run pushed": Act(PUSHED, BEGUN),
    "run read": Act(READ, CUT_TO_READ),
    "run again": Act(("run", "again", "1"), (*CUT_TO_READ, SHALLOW)),
    "run replan": Act(("run", "replan", "1"), (*CUT_TO_READ, READ)),
    "run gauging": Act(("run", "gauging", "1", "--read", "every"), BEGUN),
    "run measured": Act(("run", "measured", "1", "web=0.4201 in", "--piece", "G-1000"), BEGUN),
    "run correct": Act(RIGHT, CUT_TO_READ),
    "run gone": Act(("run", "gone", "1", "--shim", "S-1"), BEGUN),
    # The crib has no other broach, so that the step is kept and the answer is no.
    "run broken": Act(("run", "broken", "1", "--broach", "B-250"), BEGUN, code=ExitCode.NO),
    "run scrap": Act(("run", "scrap", "1", "--hub", "1", *WHY), BEGUN),
    "run accept": Act(("run", "accept", "1", "--hub", "1", *WHY, "--by", "Jo"), CUT_TO_READ),
    "run aside": Act(("run", "aside", "1", "--hub", "1", *WHY), BEGUN),
    "run stop": Act(("run", "stop", "1", *WHY), BEGUN),
    "run park": Act(PARK, BEGUN),
    "run resume": Act(("run", "resume", "1", "--by", "Ann"), (*BEGUN, PARK)),
    "run end": Act(("run", "end", "1", "--abandon", *WHY, "--broach-condition", "fit"), (*BEGUN, PUSHED)),
    "run export": Act(("run", "export", "{here}/records", "--overwrite"), BEGUN, file=""),
    "jobs import": Act(("jobs", "import", f"{{here}}/{LIST}"), (ADD_JOB,)),
    "jobs add": Act(ADD_JOB),
    "jobs edit": Act(("jobs", "edit", "J-701", "--state", "coming", "--quantity", "3"), STARTED_JOB),
    "jobs drawing": Act(
        ("jobs", "drawing", "J-701", "{here}/J-701.svg", "--overwrite"), BLOCKED_JOB, file="J-701.svg"
    ),
    "jobs start": Act(START_JOB, (*RUN_CRIB, ADD_JOB)),
    "jobs finish": Act(("jobs", "finish", "J-701"), STARTED_JOB),
    "jobs drop": Act(("jobs", "drop", "J-701"), STARTED_JOB),
    "settings set": Act(("settings", "set", "hardness_hrc", "31")),
    "data backup": Act(("data", "backup", f"{{here}}/{KEPT}", "--overwrite"), file=KEPT),
    "data restore": Act(("data", "restore", f"{{here}}/{OTHER}"), (BACK_UP, EDIT)),
    "data upgrade": Act(("data", "upgrade")),
    "demo": Act(
        ("demo", "--no-screens"),
        (("demo", "--no-screens"), DEMO_ACT),
        file="broachplan/demo.db",
        named=False,
    ),
}
# Other ways of the same: over a backup that is there, as one file, and the first use of a crib that nobody named.
MORE_ACTS = {
    "crib return of a set by its list": Act(
        ("crib", "return", "--set", "box Elm", "--condition", "fit", "--found", "B-250", "--lost", "S-1"),
        (("crib", "join", "box Elm", "S-1", "B-250", "G-1000"), LEND_SHORT),
    ),
    "crib lend over a hold": Act((*LEND, "--due", "2031-06-01", "--anyway"), (HOLD,)),
    "crib undo of a job that was started": Act(("crib", "undo"), STARTED_JOB),
    "crib undo of an addition": Act(("crib", "undo", "1"), (ACTS["crib add"].words, LEND)),
    "crib export over another": Act(EXPORT, (EXPORT, *HOMES), file=""),
    "crib export as a workbook": Act(
        ("crib", "export", "{here}/crib.xlsx", "--overwrite"),
        (("crib", "export", "{here}/crib.xlsx"), *HOMES),
        file="crib.xlsx",
    ),
    "data backup over another": Act(ACTS["data backup"].words, (ACTS["data backup"].words, EDIT), file=KEPT),
    "the first use": Act(
        ("settings", "set", "hardness_hrc", "31"),
        on_the_way=(("settings", "show"),),
        file="broachplan/crib.db",
        named=False,
    ),
}
ALL_ACTS = ACTS | MORE_ACTS
HUB = ("--bore", "1 in +0.001 -0", "--hub-length", "1 in", "--key", "1/4 in")
# The commands that write nothing, each as it may be typed.
READS: dict[str, Words] = {
    "plan": ("plan", *HUB),
    "key": ("key", "--shaft", "1 in", "--key", "1/4 in"),
    "keyseat": ("keyseat", "--shaft", "1 in", "--key", "1/4 in", "--length", "1 in", "--cutter", "1/4 in"),
    "strength": (
        "strength",
        "--shaft",
        "1 in",
        "--torque",
        "100 N m",
        "--length",
        "1 in",
        "--yield",
        "340 MPa",
    ),
    "crib list": ("crib", "list"),
    "crib find": ("crib", "find", "drawer"),
    "crib history": ("crib", "history", "--last", "5"),
    "crib show": ("crib", "show", "B-250"),
    "crib out": ("crib", "out"),
    "crib due": ("crib", "due"),
    "crib sets": ("crib", "sets"),
    "crib holds": ("crib", "holds"),
    "crib to-inspect": ("crib", "to-inspect"),
    "crib counts": ("crib", "counts", "1"),
    "crib missing": ("crib", "missing"),
    "crib stock": ("crib", "stock", "--on", "2026-11-20"),
    "run show": ("run", "show", "1"),
    "run list": ("run", "list"),
    "jobs list": ("jobs", "list"),
    "jobs show": ("jobs", "show", "J-701"),
    "shortages": ("shortages", "--on", "2031-05-02"),
    "data check": ("data", "check"),
    "settings show": ("settings", "show"),
}
# Asks its questions at a terminal, and says elsewhere what to do instead.
ASKS: dict[str, Words] = {"start": ("start", "--plain")}
# The crib is named so that it is never replaced, and needs neither be there nor be sound.
NEVER_OPENED = {"crib blanks"}
# Prepares a crib so that each of those has something to show.
BUSY = (ADD_JOB, *CUT_TO_READ, READ, PARK, *HOMES, COUNT, SETTLE, LEND, HOLD)
_CHECKED: set[tuple[str, ...]] = set()


def commands(inside: Any = None, words: Words = ()) -> Iterator[tuple[Words, Any]]:
    """Every command that the program has: its words, and what typer knows of it."""
    command = inside or typer.main.get_command(app)
    subs = getattr(command, "commands", None)
    if subs is None:
        yield words, command
        return
    for name, sub in subs.items():
        yield from commands(sub, (*words, name))


@dataclass(frozen=True, slots=True)
class Tried:
    """A command as it is typed, and the commands that ran before it."""

    words: Words
    before: tuple[Words, ...]


def on_a_crib() -> Iterator[Tried]:
    """Every command that opens a crib, and once more with ``--json`` where it takes that."""
    for words, command in commands():
        options = {option for parameter in command.params for option in parameter.opts}
        name = " ".join(words)
        if "--db" not in options or name in ASKS or name in NEVER_OPENED:
            continue
        act = ACTS.get(name)
        line, before = (act.words, act.before) if act else (READS[name], BUSY)
        yield Tried(line, before)
        if "--json" in options:
            yield Tried((*line, "--json"), before)


def migrations_with_one_more(folder: Path) -> Path:
    """A copy of the migrations with the revision ``next`` after the last."""
    shutil.copytree(places.migrations(), folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "2031_05_02_next.py").write_text(REVISION.format(before=schema.current()))
    return folder


def begin(here: Path) -> None:
    """Put a small crib into a folder, and a file to import."""
    fill(str(here / CRIB), small_crib())
    columns = usual_columns(Kind.SHIM)
    rows = [
        ",".join({"tag": f"S-2-{each}", "width": "0.25 in"}.get(name, "") for name in columns)
        for each in range(PIECES)
    ]
    jobs = [
        f"J-{701 + each},2031-05-28,{each + 1},1 in,1 in,0.2505 in ±0.001,1.09 in ±0.005"
        for each in range(PIECES)
    ]
    header = "number,due,quantity,bore,hub_length,keyway_width,reading"
    (here / LIST).write_text("\n".join([header, *jobs, ""]), encoding="utf-8")
    (here / IN_FILES).mkdir()
    (here / IN_FILES / "shims.csv").write_text("\n".join([",".join(columns), *rows, ""]))


class Played:
    """An act that can be tried again and again, each time in a new folder that begins the same."""

    def __init__(self, stage: Stage, act: Act, folder: Path) -> None:
        self.act = act
        self.stage = stage
        self._folder = folder
        self._numbers = count()
        self.start = folder / "start"
        self.start.mkdir(parents=True)
        begin(self.start)
        for words in act.before:
            run = stage.run(act.arguments(self.start, words), self.start)
            assert run.code in (ExitCode.DONE, ExitCode.NO), run
        self.before = seen(self.start)
        self.on_the_way = [self._left(words) for words in act.on_the_way]
        self.after = self._left(act.words)
        assert self.after != self.before

    def _left(self, words: Words) -> State:
        here = self.copied()
        run = self.stage.run(self.act.arguments(here, words), here)
        assert run.code in (ExitCode.DONE, self.act.code), run
        assert run.err == ""
        self.seconds = run.seconds
        left = seen(here)
        shutil.rmtree(here)
        return left

    def run(self, trouble: Trouble, here: Path | None = None) -> tuple[Run, Path]:
        """Run it in a new folder, or in ``here``; ``trouble`` watches that folder where it has a log or a failure."""
        here = here or self.copied()
        watches = trouble.log or trouble.fail_at
        asked = replace(trouble, watched=str(here)) if watches else trouble
        return self.stage.run(self.act.arguments(here), here, asked), here

    def copied(self) -> Path:
        """A new folder that is as at the start."""
        here = self._folder / str(next(self._numbers))
        shutil.copytree(self.start, here)
        return here

    def new_name(self) -> Path:
        """A name beside its folders that nothing has."""
        return self._folder / f"other-{next(self._numbers)}"

    def is_done(self, here: Path) -> bool:
        """Whether all of it is there, perhaps beside what an earlier run left."""
        now = seen(here)
        return all(now.get(name) == text for name, text in self.after.items())

    def happened(self, here: Path) -> bool:
        """Whether all of it was done; False where nothing was. Anything between fails an assertion."""
        return whether_done(seen(here), self.before, self.after, self.act.file, self.on_the_way)


def whether_done(
    now: State, before: State, after: State, about: str, on_the_way: Sequence[State] = ()
) -> bool:
    """Whether a folder is as ``after`` the act on the file ``about``; else it must be as ``before`` or on the way."""
    names = now.keys() | before.keys() | after.keys()
    for name in names:
        may_be = [state.get(name) for state in (before, after, *on_the_way)]
        assert now.get(name) in may_be, f"{name} is half done"
    if not about:
        return now == after
    if now.get(about) != after.get(about):
        return False
    assert now == after, "what was to be kept of before is not there"
    return True


def seen(here: Path) -> State:
    """What is in a folder, each file as text; a write cut short is undone first, and what was only begun is left out.

    Every crib is held to its invariants, every backup to its sum.
    """
    found: dict[str, tuple[str, ...] | None] = {}
    for path in sorted(here.rglob("*")):
        name = str(path.relative_to(here))
        begun = path.name.startswith((".broachplan-", ".")) or "/demo-" in f"/{name}"
        if begun or not path.is_file() or path.name.endswith(COMPANIONS):
            continue
        found[_undated(name)] = _text(path)
    return {name: text for name, text in found.items() if text is not None}


def _text(path: Path) -> tuple[str, ...] | None:
    if path.suffix == ".backup":
        with closing(sqlite3.connect(":memory:")) as connection:
            connection.deserialize(read_backup(path).content)
            return _dumped(connection)
    if path.suffix == ".xlsx":
        # It bears the moment of its making.
        with ZipFile(path) as book:
            return tuple(
                book.read(name).decode() for name in sorted(book.namelist()) if name != "docProps/core.xml"
            )
    if path.suffix != ".db":
        return tuple(path.read_text("latin-1").splitlines())
    with closing(sqlite3.connect(path)) as connection:
        # What is undone here need not outlast the test, and waiting for the disk takes longer than all the rest.
        connection.execute("PRAGMA synchronous = OFF")
        dump = _dumped(connection)
        damage = [line for (line,) in connection.execute("PRAGMA integrity_check")]
        assert damage == ["ok"], damage
    if len(dump) <= 2:
        # Nothing in it is as good as no crib: the next command sets it up.
        return None
    # A check takes ten times as long as all the rest, and what is the same is found the same.
    if dump not in _CHECKED and not any("'next'" in line for line in dump):
        assert check(str(path)) == ()
        _CHECKED.add(dump)
    return dump


def _dumped(connection: sqlite3.Connection) -> tuple[str, ...]:
    return tuple(map(_undated, connection.iterdump()))


def _undated(text: str) -> str:
    """The text without the days and moments of now, and the digests of them, which differ from one run to the next."""
    today = date.today()
    days = "|".join((today - timedelta(days=past)).isoformat() for past in (0, 1))
    return re.sub(rf"({days})(T\d\d:\d\d:\d\dZ)?|'[0-9a-f]{{64}}'", "NOW", text)
