"""The frame: exit codes, where each message goes, and that no traceback reaches a user."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
import typer
import typer.main

from broachplan.cli import app as frame
from broachplan.cli.commands import COMMANDS, app
from broachplan.errors import OUTPUT_FAILED, CribStateError, ExitCode, InputError, StorageError
from broachplan.planner.answer import Answer
from tests.cli.conftest import Run
from tests.cli.hand_made import BLOCKED, READY

PLAN = ("plan", "--bore", "1-1/2 in", "--hub-length", "1-3/4 in")
HEAVY = ("sqlmodel", "sqlalchemy", "alembic", "pint", "textual", "rich", "platformdirs", "tui", "json")
COMMAND_MODULES = {late.module for late in COMMANDS.values()}


@pytest.fixture
def answer(monkeypatch: pytest.MonkeyPatch) -> Callable[[object], None]:
    """Let the machinist's desk answer with this, or raise it."""

    def _set(result: object) -> None:
        def plan_hub(*_: object, **__: object) -> Answer:
            if isinstance(result, BaseException):
                raise result
            assert isinstance(result, Answer)
            return result

        name = "broachplan.desks.machinist.plan_hub"
        monkeypatch.setitem(sys.modules, name, SimpleNamespace(plan_hub=plan_hub))  # type: ignore[misc]

    return _set


def test_a_plan_exits_0_and_a_blocked_hub_3(
    answer: Callable[[object], None], capsys: pytest.CaptureFixture[str]
) -> None:
    answer(READY)
    assert frame.run(PLAN) == ExitCode.DONE
    answer(BLOCKED)
    assert frame.run([*PLAN, "--json"]) == ExitCode.NO

    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("error", [InputError, StorageError, CribStateError])
def test_an_error_a_user_can_act_on_is_one_line_on_stderr(
    error: type[InputError], answer: Callable[[object], None], capsys: pytest.CaptureFixture[str]
) -> None:
    answer(error("bore: what was read and what would be right \x1b[31m"))

    code = frame.run(PLAN)

    message = capsys.readouterr()
    assert code == error.code
    assert message.out == ""
    assert message.err == "broachplan: bore: what was read and what would be right \\u001b[31m\n"


def test_an_error_about_many_rows_has_a_line_for_each(
    answer: Callable[[object], None], capsys: pytest.CaptureFixture[str]
) -> None:
    answer(InputError("shims.csv, row 2: one thing\nshims.csv, row 9: another"))

    assert frame.run(PLAN) == ExitCode.BAD_INPUT
    assert capsys.readouterr().err == "broachplan: shims.csv, row 2: one thing\nshims.csv, row 9: another\n"


def test_an_interruption_is_quiet(
    answer: Callable[[object], None], capsys: pytest.CaptureFixture[str]
) -> None:
    answer(KeyboardInterrupt())

    assert frame.run(PLAN) == 130
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["plan"], "Missing option '--bore'"),
        (["plan", "--bore"], "requires an argument"),
        (["plan", "--bor", "1 in"], "No such option: --bor"),
        (["plna"], "No such command 'plna'"),
        ([*PLAN, "\x1b[31m"], "unexpected extra argument"),
        (["9" * 5000], "No such command"),
        (["plan", "--" + "9" * 5000], "No such option"),
        ([*PLAN, "a\nb"], "unexpected extra argument"),
        ([*PLAN, "\udcff"], "unexpected extra argument"),
    ],
)
def test_a_wrong_command_line_is_one_clear_line_and_exit_2(
    arguments: list[str], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code = frame.run(arguments)

    said = capsys.readouterr()
    assert code == ExitCode.BAD_INPUT
    assert said.out == ""
    assert message in said.err
    assert said.err.count("\n") == 1
    assert len(said.err) < 400
    assert said.err.rstrip("\n").isprintable()


def test_all_commands_have_help_with_an_example_within_80_columns(run_here: Run) -> None:
    for words in _commands(typer.main.get_command(app), ()):
        shown = run_here(*words, "--help")

        assert shown.returncode == 0, words
        assert shown.stderr == ""
        assert "Example" in shown.stdout or words in [
            ("crib",),
            ("run",),
            ("jobs",),
            ("data",),
            ("settings",),
        ], words
        assert f"broachplan {' '.join(words)}".strip() in shown.stdout
        assert max(map(len, shown.stdout.splitlines())) <= 80, words


def test_a_command_s_line_in_the_list_is_the_first_of_its_own_help() -> None:
    for name, command in typer.main.get_group(app).commands.items():
        assert COMMANDS[name].line == command.help.partition("\n\n")[0].strip()


def _commands(command: object, words: tuple[str, ...]) -> list[tuple[str, ...]]:
    found = [words]
    for name, sub in getattr(command, "commands", {}).items():
        found += _commands(sub, (*words, name))
    return found


def test_without_a_command_and_without_a_terminal_the_help_is_printed(run_here: Run) -> None:
    bare = run_here()

    assert bare.returncode == ExitCode.DONE
    assert bare.stdout == run_here("--help").stdout


def test_the_screens_open_with_nothing_of_the_commands_loaded() -> None:
    opened = (
        "import sys; from broachplan.cli import app, screens; app.in_terminal = lambda: True;"
        "screens.open_screens = lambda: print(*sys.modules); app.run([])"
    )
    ran = subprocess.run([sys.executable, "-c", opened], capture_output=True, text=True, check=True)

    loaded = set(ran.stdout.split())
    assert "broachplan.cli.screens" in loaded
    assert not loaded & {"typer", "broachplan.cli.commands", "importlib.metadata", *HEAVY, *COMMAND_MODULES}


def test_the_version_is_printed(run: Run) -> None:
    assert run("--version").stdout == "broachplan 0.1.0\n"


@pytest.mark.parametrize(
    "code", ["import broachplan.cli.app", "from broachplan.cli.app import run; run(['--help'])"]
)
def test_starting_up_imports_nothing_that_only_a_command_needs(code: str) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print('\\n', *sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )

    loaded = set(ran.stdout.splitlines()[-1].split())
    assert not loaded & {*HEAVY, *COMMAND_MODULES}


@pytest.mark.parametrize(
    "bore",
    [
        "9" * 5000 + " in",
        "9**9**9",
        "9**9**9 in",
        "\x1b[31m1-1/2 in",
        "1e9999 in",
        "\u202e1-1/2 in",
        "",
        "1-1/2",
    ],
)
def test_hostile_text_is_refused_in_one_line_within_a_second(bore: str, run_here: Run) -> None:
    # Time of the processor, so that a busy machine does not count.
    before = time.process_time()
    ran = run_here("plan", "--bore", bore, "--hub-length", "1 in", "--db", "never-made.db")
    taken = time.process_time() - before

    assert ran.returncode == ExitCode.BAD_INPUT
    assert ran.stdout == ""
    assert ran.stderr.startswith("broachplan: bore")
    assert ran.stderr.count("\n") == 1
    assert ran.stderr.rstrip("\n").isprintable()
    assert taken < 1


def test_bytes_that_are_no_text_are_refused_in_one_line(run: Run) -> None:
    ran = run("plan", "--bore", b"\xff\xfe in", "--hub-length", "1 in", "--db", "never-made.db")

    assert ran.returncode == ExitCode.BAD_INPUT
    assert ran.stderr.count("\n") == 1


def test_a_terminal_that_knows_only_ascii_gets_the_rest_as_numbers(run: Run) -> None:
    ran = run("plan", "--bore", "⅞ é", "--hub-length", "1 in", PYTHONIOENCODING="ascii")

    assert ran.returncode == ExitCode.BAD_INPUT
    assert ran.stderr.count("\n") == 1


def test_a_reader_that_stops_reading_is_no_fault() -> None:
    reader, writer = os.pipe()
    os.close(reader)
    ran = subprocess.run(
        [sys.executable, "-m", "broachplan", "plan", "--help"],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)

    assert ran.stderr == b""
    assert ran.returncode == 141


def test_where_neither_output_nor_messages_can_be_written_the_exit_code_is_all_that_is_left(
    home: Path,
) -> None:
    for redirected, code in (
        (">/dev/full 2>/dev/full", OUTPUT_FAILED),
        (">&- 2>&-", OUTPUT_FAILED),
        ("--wrong 2>/dev/full", ExitCode.BAD_INPUT),
        # A message never goes to stdout because there is no other place.
        ("--wrong 2>&- | grep . && exit 99; exit 2", ExitCode.BAD_INPUT),
    ):
        line = f'"{sys.executable}" -m broachplan key --shaft "1-1/8 in" {redirected}'
        assert subprocess.run(line, shell=True, check=False, cwd=home).returncode == code, redirected
