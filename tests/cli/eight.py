"""Eight processes that begin one act at the same moment, on the database that is named; what came of each, as JSON.

The libraries are loaded once and the eight are forked from that process, so that they meet within the act and not
within the imports.
"""

from __future__ import annotations

import io
import json
import os
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, datetime
from typing import Any

from broachplan.cli import app, run_kept
from broachplan.desks.attendant import lend_piece
from broachplan.desks.machinist.runs import cutting, start
from broachplan.errors import BroachplanError
from broachplan.sheets import run as run_words
from broachplan.store.engine import engine_for
from broachplan.store.location import located
from tests.desks.doing import add_piece, edit_piece
from tests.desks.looking import show_piece
from tests.desks.machinist.runs.press import HUB, crib

Act = Callable[[int], Any]
LOADED = (add_piece, lend_piece, cutting, run_kept, run_words, start)


def at_once(act: Act, processes: int = 8) -> list[Any]:
    """Fork them, let them all go when all are there, and gather what each returned."""
    waiting, gate = os.pipe()
    answers = []
    for number in range(processes):
        read, write = os.pipe()
        if os.fork() == 0:
            os.close(gate)
            os.read(waiting, 1)
            with open(write, "w") as answer:
                json.dump(act(number), answer)
                answer.flush()
                os._exit(0)
        os.close(write)
        answers.append(read)
    os.close(waiting)
    os.close(gate)
    found = []
    for read in answers:
        with open(read) as answer:
            found.append(json.loads(answer.read() or '"no answer"'))
        os.wait()
    return found


def run(*arguments: str) -> tuple[int, str, str]:
    """Run a command here: exit code, stdout and stderr."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = app.run(arguments)
    return int(code), out.getvalue(), err.getvalue()


def main(db: str) -> None:
    """Add a piece each to a database that is not set up yet, lend one, edit one that all have looked at.

    Then start a job each that wants the same pieces on one day, start a run each with them today, and book a push each on the one that was started.
    """

    def add(number: int) -> tuple[int, str, str]:
        return run("crib", "add", "shim", f"S-{number}", "--thickness", "1 mm", "--width", "6 mm", "--db", db)

    def lend(number: int) -> tuple[int, str, str]:
        return run("crib", "lend", "S-1", "--to", f"Holder {number}", "--db", db)

    def edit(number: int) -> str:
        try:
            edit_piece(db, "S-2", {"home": f"drawer {number}"}, seen=seen, at=datetime.now(UTC))
        except BroachplanError as error:
            return str(error)
        return "done"

    options = [word for name, text in HUB.items() for word in (f"--{name.replace('_', '-')}", text)]

    def start_job(number: int) -> tuple[int, str, str]:
        return run("jobs", "start", f"J-{number}", "--db", db)

    def start_run(number: int) -> tuple[int, str, str]:
        return run("run", "start", *options, "--by", f"Holder {number}", "--db", db)

    def push(number: int) -> tuple[int, str, str]:
        return run("run", "pushed", "1", "--step", "1", "--by", f"Holder {number}", "--db", db)

    # Loads what the acts need, the driver of a server too, and connects to nothing.
    engine_for(located(db))
    for name in ("add", "lend"):
        run("crib", name, "--help")
    run("run", "show", "--help")
    run("jobs", "show", "--help")
    shown = {"added": at_once(add), "lent": at_once(lend)}
    seen = show_piece(db, "S-2")
    shown["edited"] = at_once(edit)
    crib(db)
    for number in range(8):
        run("jobs", "add", f"J-{number}", "--due", "2040-05-28", "--quantity", "1", *options, "--db", db)
    shown["jobs"] = at_once(start_job)
    shown["started"] = at_once(start_run)
    shown["pushed"] = at_once(push)
    print(json.dumps(shown))


if __name__ == "__main__":
    main(sys.argv[1])
