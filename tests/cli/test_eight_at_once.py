"""Eight stations on one crib in the same moment: one gets the piece, and each of the others sees what happened."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import date
from pathlib import Path

from broachplan.errors import ExitCode
from broachplan.store.check import check
from tests.desks.looking import list_holds, list_pieces, show_piece
from tests.desks.machinist.runs.press import cuts_of, look_at


def test_eight_stations_at_once_set_up_one_crib_lend_one_piece_edit_one_start_one_job_and_push_once(
    empty: str, tmp_path: Path
) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "tests.cli.eight", empty],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        cwd=Path(__file__).parents[2],
        env={**os.environ, "HOME": str(tmp_path)},
    )

    assert (ran.returncode, ran.stderr) == (0, "")
    shown = json.loads(ran.stdout)
    assert shown["added"] == [[0, f"S-{number}, a shim, is in the crib\n", ""] for number in range(8)]
    assert list_pieces(empty, text="S-").total == 8
    assert check(empty) == ()

    codes = [code for code, _, _ in shown["lent"]]
    assert sorted(codes) == [ExitCode.DONE] + [ExitCode.STATE] * 7
    holder = codes.index(ExitCode.DONE)
    for code, out, err in shown["lent"]:
        if code == ExitCode.STATE:
            assert (out, err.count("\n")) == ("", 1)
            assert err.startswith(f"broachplan: S-1 is lent to Holder {holder} since ")

    first = shown["edited"].index("done")
    assert show_piece(empty, "S-2").record.home == f"drawer {first}"
    changed = f"S-2 was changed meanwhile: home “” -> “drawer {first}”"
    assert all(line.startswith(changed) for number, line in enumerate(shown["edited"]) if number != first)

    starter = one_done(shown["jobs"])
    for code, _, err in shown["jobs"]:
        if code == ExitCode.STATE:
            assert f"K (held on 2040-05-28 for J-{starter})" in err
    assert {each.for_what for each in list_holds(empty, date(2040, 5, 1))} == {f"J-{starter}"}

    check_runs(empty, shown["started"], shown["pushed"])


def check_runs(db: str, started: list[tuple[int, str, str]], pushed: list[tuple[int, str, str]]) -> None:
    """One run was started and one push booked; seven are refused and learn by whom."""
    starter, pusher = (one_done(answers) for answers in (started, pushed))
    for code, _, err in started:
        if code == ExitCode.STATE:
            assert (
                f"K is lent to Holder {starter} since " in err or f"K (lent to Holder {starter} since " in err
            )
    for code, _, err in pushed:
        if code == ExitCode.STATE:
            expected = f"broachplan: run 1 is at step 2 (pushed by Holder {pusher}), not at step 1; nothing was written"
            assert err.startswith(expected)
    assert len(look_at(db, "1").state.steps) == 2
    assert cuts_of(db) == 1
    assert check(db) == ()


def one_done(answers: list[tuple[int, str, str]]) -> int:
    """Which of eight did it, the others being refused in one line."""
    codes = [code for code, _, _ in answers]
    assert sorted(codes) == [ExitCode.DONE] + [ExitCode.STATE] * 7, answers
    assert all((out, err.count("\n")) == ("", 1) for code, out, err in answers if code)
    return codes.index(ExitCode.DONE)
