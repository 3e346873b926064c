"""Labels from the command line: what is printed, and the same bytes from another process."""

from __future__ import annotations

from pathlib import Path

import pytest
import typer.main

from broachplan.cli.commands import app
from broachplan.errors import ExitCode
from broachplan.paper.grids import grid_named, grids
from broachplan.questions.files import DEFAULT_GRID
from tests.cli.conftest import Run
from tests.paper.pages import pictures, scanned


@pytest.fixture
def db(home: Path, filled_file: str, monkeypatch: pytest.MonkeyPatch) -> str:  # noqa: ARG001 - the crib lies there
    """A crib with one piece of each kind."""
    monkeypatch.setenv("BROACHPLAN_DB", filled_file)
    return filled_file


@pytest.mark.usefixtures("db")
def test_labels_are_written_and_the_next_step_is_named(run: Run, run_here: Run, home: Path) -> None:
    first = run_here("crib", "labels", "one.pdf", "--kind", "broaches", "--start", "30")
    both = run_here("crib", "labels", "two.pdf", "--tag", "B-250", "--tag", "S-1", "--start", "30")

    assert (first.returncode, first.stdout.splitlines()) == (
        0,
        ["1 label on 1 page of letter-3x10 written to “one.pdf”", "print at actual size (100 %)"],
    )
    assert both.stdout.splitlines() == [
        "2 labels on 2 pages of letter-3x10 written to “two.pdf”",
        "print at actual size (100 %); the last sheet continues at label 2",
    ]
    grid = grid_named(DEFAULT_GRID)
    last, begun = pictures((home / "two.pdf").read_bytes())
    assert (scanned(last, grid, 30)[-1], scanned(begun, grid, 1)) == ("B-250", ["S-1"])
    # Another process orders its sets differently; the file must still be the same.
    again = run("crib", "labels", "again.pdf", "--tag", "B-250", "--tag", "S-1", "--start", "30")
    assert again.returncode == 0
    assert (home / "again.pdf").read_bytes() == (home / "two.pdf").read_bytes()


@pytest.mark.usefixtures("db")
def test_the_outlines_are_written_without_a_piece_being_read(run_here: Run, home: Path) -> None:
    ran = run_here("crib", "labels", "outline.pdf", "--grid", "A4-3x8", "--outline")

    assert (ran.returncode, ran.stdout) == (
        0,
        "the outlines of a4-3x8 written to “outline.pdf”\nprint at actual size (100 %)\n",
    )
    assert len(pictures((home / "outline.pdf").read_bytes())) == 1


def test_the_grids_are_listed_at_80_columns_with_what_is_not_sure_of_them(run_here: Run, home: Path) -> None:
    lines = run_here("crib", "labels", "--grids").stdout.splitlines()

    assert [line.split(" ")[0] for line in lines if line[:1].isalnum()][:-1] == list(grids())
    assert "letter-3x10   3 x 10 labels of 2-5/8 in x 1 in on Letter (the usual one)" in lines
    assert "                gap between labels not sure, by 1/32 in" in lines
    assert max(map(len, lines)) <= 80
    assert not list(home.glob("**/*.db"))


@pytest.mark.usefixtures("db")
@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((), "broachplan: file: nothing was given; name the PDF to write, for example labels.pdf\n"),
        (("x.pdf", "--grid", "a5"), "broachplan: grid: read “a5”; there are: a4-2x4,"),
        (("x.pdf", "--kind", "drill"), "broachplan: kind: read “drill”; there are: broach,"),
        (("x.pdf", "--text", "nowhere"), "broachplan: nothing to print: the crib has no such piece;"),
        (("crib.db", "--overwrite"), "broachplan: “crib.db” is the crib's own file;"),
        (("no/such/x.pdf",), "broachplan: “no/such/x.pdf”: there is no such folder; make it first\n"),
        (("\x1b[31m/x",), "broachplan: “\\u001b[31m/x”: there is no such folder; make it first\n"),
    ],
)
def test_a_refusal_is_one_line(run_here: Run, home: Path, arguments: tuple[str, ...], message: str) -> None:
    ran = run_here("crib", "labels", *arguments)

    assert (ran.returncode, ran.stdout) == (ExitCode.BAD_INPUT, "")
    assert ran.stderr.startswith(message)
    assert ran.stderr.count("\n") == 1
    assert not list(home.glob("*.pdf"))


def test_the_usual_grid_is_the_one_the_help_names() -> None:
    command = typer.main.get_command(app).commands["crib"].commands["labels"]  # type: ignore[attr-defined]

    assert {option.default for option in command.params if option.name == "grid"} == {DEFAULT_GRID}


def test_blanks_are_written_for_one_kind_or_all_and_replace_no_file_unasked(
    run_here: Run, home: Path
) -> None:
    made = run_here("crib", "blanks", "box.pdf", "--kind", "bushing", "--page", "A4")
    assert (made.returncode, made.stdout.startswith("“box.pdf”: 1 page of blanks")) == (0, True)
    before = (home / "box.pdf").read_bytes()
    again = run_here("crib", "blanks", "box.pdf")
    assert (again.returncode, again.stdout) == (ExitCode.BAD_INPUT, "")
    assert "is there already" in again.stderr
    assert (home / "box.pdf").read_bytes() == before
    assert run_here("crib", "blanks", "box.pdf", "--overwrite").stdout.startswith("“box.pdf”: 6 pages")
    wrong = run_here("crib", "blanks", "other.pdf", "--page", "a5")
    assert (wrong.returncode, (home / "other.pdf").exists()) == (ExitCode.BAD_INPUT, False)
