"""Pieces brought in, written out, listed and shown from the command line."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from broachplan.cli import app
from broachplan.desks.attendant.import_crib import ChangedPiece, Difference, Imported
from broachplan.errors import NOBODY_READS, ExitCode
from broachplan.lengths import Length
from broachplan.tooling.figures import Kind
from tests.cli.validity import valid

SHIMS = "tag,thickness,width,length,set,home,condition,note\n"
Here = Callable[..., tuple[int, str, str]]


@pytest.fixture
def here(home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Here:
    """Run a command in this process; exit code, stdout and stderr."""
    monkeypatch.chdir(home)

    def _here(*arguments: str) -> tuple[int, str, str]:
        code = app.run(arguments)
        return (code, *capsys.readouterr())

    return _here


@pytest.fixture
def crib(home: Path, filled: str) -> str:  # noqa: ARG001 - a file lies there
    """A crib with one piece of each kind."""
    return filled


def test_files_are_imported_and_a_second_time_nothing_is_changed(here: Here, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + "S-1,0.05 in,0.248 in,,,,,\nS-2,1 mm,,,,,,\n")

    assert here("crib", "import", "shims.csv") == (0, "2 added, 0 changed, 0 as before\n", "")
    assert here("crib", "import", "shims.csv") == (0, "0 added, 0 changed, 2 as before\n", "")


def test_a_changed_piece_is_shown_figure_by_figure(here: Here, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + "S-1,0.05 in,,,,,,old\n")
    here("crib", "import", "shims.csv")
    (home / "shims.csv").write_text(SHIMS + "S-1,0.05001 in,6 mm,,,,,\n")

    code, out, _ = here("crib", "import", "shims.csv")

    assert code == ExitCode.DONE
    assert out.splitlines()[0] == "0 added, 1 changed, 0 as before"
    message = " ".join(out.split())
    assert "shim S-1: note “old” -> “”; thickness 0.05 in -> 0.05001 in; width not known -> 6 mm" in message


def test_the_changes_of_every_changed_piece_are_shown() -> None:
    changed = tuple(
        ChangedPiece(Kind.SHIM, f"S-{n}", (Difference("thickness", Length(1), Length(2)),)) for n in range(50)
    )

    _, *lines = Imported(0, changed, 0).lines

    assert [line.split(":")[0] for line in lines] == [f"shim S-{n}" for n in range(50)]


def test_a_refused_import_reports_every_bad_row_on_a_line_of_its_own(here: Here, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + "S-1,0.05,,,,,,\nS-2,1 mm,,,,,bent,\nS-3,\x1b[31m,,,,,,\n")

    code, out, err = here("crib", "import", "shims.csv")

    assert (code, out) == (ExitCode.BAD_INPUT, "")
    lines = err.splitlines()
    assert [line.removeprefix("broachplan: ").partition(":")[0] for line in lines] == [
        "shims.csv, row 2, column thickness",
        "shims.csv, row 3, column condition",
        "shims.csv, row 4, column thickness",
    ]
    assert "\x1b" not in err


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("import", "none.csv"), "none.csv: there is no such file"),
        (("import", "."), "it has none of broaches.csv"),
        (("import", "a" * 3000), "cannot be read: file name too long"),
        (("import", "a\0b"), "path: read “a\\u0000b”; it holds characters that no file's name has"),
        (("export", "a\0b"), "path: read “a\\u0000b”; it holds characters that no file's name has"),
        (("export", "no/such/crib.xlsx"), "“no/such/crib.xlsx”: there is no such folder; make it first"),
        (("show", "X"), "tag: read “X”: no such tag"),
        (
            ("list", "--kind", "hammer"),
            "kind: read “hammer”; there are: broach, bushing, shim, press, pin, ring",
        ),
        (("list", "--page", "0"), "--page"),
        (("list", "--limit", "x"), "--limit"),
        (("export", "no/such/folder"), "cannot be written: no such file or directory"),
    ],
)
def test_wrong_input_is_one_line_and_exit_code_2(
    here: Here, arguments: tuple[str, ...], message: str
) -> None:
    code, out, err = here("crib", *arguments)

    assert (code, out) == (ExitCode.BAD_INPUT, "")
    assert message in err
    assert err.count("\n") == 1


def test_an_unusable_database_is_one_line_and_exit_code_4(here: Here, home: Path) -> None:
    (home / "notes.txt").write_text("not a database at all")

    code, out, err = here("crib", "list", "--db", "notes.txt")

    assert (code, out) == (ExitCode.STORAGE, "")
    assert err == "broachplan: “notes.txt” cannot be used: it is not a database\n"


def test_an_export_imports_into_a_crib_that_lists_the_same(here: Here, crib: str) -> None:
    assert here("crib", "export", "out", "--db", crib) == (0, "6 pieces written to “out”\n", "")
    assert here("crib", "import", "out")[0] == 0

    assert here("crib", "list", "--json") == here("crib", "list", "--json", "--db", crib)


def test_a_workbook_imports_into_a_crib_that_lists_the_same(here: Here, crib: str) -> None:
    assert here("crib", "export", "out", "--xlsx", "--db", crib) == (
        0,
        "6 pieces written to “out/crib.xlsx”\n",
        "",
    )
    assert here("crib", "export", "six.xlsx", "--db", crib)[1] == "6 pieces written to “six.xlsx”\n"
    assert here("crib", "import", "out") == (0, "6 added, 0 changed, 0 as before\n", "")
    assert here("crib", "import", "six.xlsx")[1] == "0 added, 0 changed, 6 as before\n"

    assert here("crib", "list", "--json") == here("crib", "list", "--json", "--db", crib)


def test_without_the_library_for_workbooks_one_line_names_the_extra(
    here: Here, crib: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    here("crib", "export", "crib.xlsx", "--db", crib)
    monkeypatch.setitem(sys.modules, "openpyxl", None)

    for arguments in (("export", "new.xlsx"), ("import", "crib.xlsx")):
        code, out, err = here("crib", *arguments, "--db", crib)
        assert (code, out, err.count("\n")) == (ExitCode.BAD_INPUT, "", 1)
        assert "pip install 'broachplan[xlsx]'" in err


def test_the_list_fits_80_columns_and_shows_state_and_home(here: Here, crib: str) -> None:
    _, out, _ = here("crib", "list", "--db", crib)

    assert max(map(len, out.splitlines())) <= 80
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert lines[:3] == [
        "tag kind size home state",
        "B-250 broach 0.2505 in, 0.4500 in high drawer 4 fit",
        "G-1000 bushing 0.9985 in, 0.4200 in web worn",
    ]
    assert "P-1 press 6,744 lbf bench fit" in lines
    assert out.endswith("\n6 pieces\n")


def test_the_list_is_shown_in_the_units_of_the_shop(here: Here, crib: str) -> None:
    here("settings", "set", "units", "mm", "--db", crib)

    _, out, _ = here("crib", "list", "--kind", "shims", "--db", crib)

    assert "S-1  shim  1.270 mm, 6.299 mm wide" in out


def test_the_list_is_filtered_and_paged(here: Here, crib: str) -> None:
    _, out, _ = here("crib", "list", "--text", "-1", "--limit", "2", "--page", "2", "--db", crib)

    assert [line.split()[0] for line in out.splitlines() if line.startswith("  ")] == [
        "tag",
        "P-1",
        "N-1",
    ]
    assert out.endswith("page 2 of 3; 5 pieces in total\n")


def test_a_long_tag_has_a_line_of_its_own(here: Here, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + f"{'T' * 40},1 mm,2 mm,3 mm,,{'h' * 100},,\n")
    here("crib", "import", "shims.csv")

    _, out, _ = here("crib", "list")

    assert f"  {'T' * 40}\n" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_piece_is_shown_with_every_figure_and_how_it_was_measured(here: Here, crib: str) -> None:
    _, out, _ = here("crib", "show", "B-250", "--db", crib)

    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert lines[0] == "B-250, a broach: fit"
    for line in (
        "height over first tooth 0.4000 in",
        "rising teeth 20",
        "gullet area 9 mm^2",
        "measured micrometer, 2031-05-02, by Kim",
        "set inch set",
        "note good, sharp",
    ):
        assert line in lines
    assert max(map(len, out.splitlines())) <= 80


def test_a_piece_that_no_plan_uses_says_what_is_to_be_measured(here: Here, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + "S-1,,,,,,,\n")
    here("crib", "import", "shims.csv")

    _, out, _ = here("crib", "show", "S-1")

    assert "  No plan uses it until these are measured: thickness, width." in out.splitlines()
    assert "not measured" in out


def test_a_piece_is_shown_with_its_history_the_latest_first(
    here: Here, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "UTC")
    (home / "shims.csv").write_text(SHIMS + "S-1,0.05 in,6 mm,,,,,\n")
    here("crib", "import", "shims.csv", "--by", "Ann")
    (home / "shims.csv").write_text(SHIMS + "S-1,0.05001 in,6 mm,,,drawer 4,,\n")
    here("crib", "import", "shims.csv")

    code, out, _ = here("crib", "show", "S-1")
    answer = valid(here("crib", "show", "S-1", "--json")[1], "piece")

    lines = out.partition("History, the latest first\n")[2].splitlines()
    assert code == 0
    assert [line[2:] if line.startswith("    ") else line[20:] for line in lines] == [
        "act 2  changed",
        "  home “” -> “drawer 4”",
        "  thickness 0.05 in -> 0.05001 in",
        "act 1  received by Ann",
    ]
    assert [entry["act"] for entry in answer["history"]] == ["changed", "received"]
    assert answer["history"][0]["changes"] == [
        {"key": "home", "old": "", "new": "drawer 4"},
        {"key": "thickness_nm", "old": 1_270_000, "new": 1_270_254},
    ]


def test_the_list_for_a_program_keeps_its_schema(here: Here, crib: str) -> None:
    answer = valid(here("crib", "list", "--json", "--db", crib)[1], "crib")

    assert [piece["tag"] for piece in answer["pieces"]] == ["B-250", "G-1000", "S-1", "P-1", "N-1", "R-1"]
    assert answer["total"] == 6


@pytest.mark.parametrize("tag", ["B-250", "G-1000", "S-1", "P-1", "N-1", "R-1"])
def test_a_piece_for_a_program_keeps_its_schema(here: Here, crib: str, tag: str) -> None:
    answer = valid(here("crib", "show", tag, "--json", "--db", crib)[1], "piece")

    assert answer["piece"]["tag"] == tag
    assert not any(key.endswith("id") for key in answer["piece"])


def test_a_broach_for_a_program_is_whole_nanometres(here: Here, crib: str) -> None:
    piece = json.loads(here("crib", "show", "B-250", "--json", "--db", crib)[1])["piece"]

    assert piece["keyway_width_nm"] == 6_362_700
    assert piece["gullet_area_nm2"] == 9_000_000_000_000
    assert piece["rising_teeth"] == 20
    assert piece["measured"] == {"with": "micrometer", "on": "2031-05-02", "by": "Kim", "to_nm": None}


def test_a_force_for_a_program_is_newtons(here: Here, crib: str) -> None:
    piece = json.loads(here("crib", "show", "P-1", "--json", "--db", crib)[1])["piece"]

    assert piece["rated_force_n"] == 30_000


def test_a_reader_that_goes_away_early_is_no_fault(filled_file: str, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + "".join(f"L-{n},1 mm,2 mm,3 mm,,,,\n" for n in range(1500)))
    assert app.run(["crib", "import", str(home / "shims.csv"), "--db", filled_file]) == 0
    process = subprocess.Popen(
        [sys.executable, "-m", "broachplan", "crib", "list", "--db", filled_file],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.readline()
    process.stdout.close()
    said = process.stderr.read()
    process.stderr.close()

    assert process.wait(timeout=60) == NOBODY_READS
    assert said == b""


def test_a_bar_is_shown_in_a_terminal_and_nothing_of_it_on_stdout(
    here: Here, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "shims.csv").write_text(SHIMS + "S-1,1 mm,,,,,,\n")
    monkeypatch.setenv("TERM", "xterm")
    outer, inner = pty.openpty()
    with open(inner, "w") as terminal, monkeypatch.context() as patch:
        patch.setattr(sys, "stderr", terminal)
        message = here("crib", "import", "shims.csv")
    shown = os.read(outer, 100_000).decode()
    os.close(outer)

    assert message == (ExitCode.DONE, "1 added, 0 changed, 0 as before\n", "")
    assert "reading rows" in shown


def test_no_bar_is_shown_where_stderr_is_no_terminal(here: Here, home: Path) -> None:
    (home / "shims.csv").write_text(SHIMS + "S-1,1 mm,,,,,,\n")

    assert here("crib", "import", "shims.csv") == (ExitCode.DONE, "1 added, 0 changed, 0 as before\n", "")


@pytest.mark.parametrize(
    "command",
    ["import", "export", "list", "show", "add", "edit", "retire", "undo", "lend", "return", "out", "sets"],
)
def test_every_command_has_help_with_an_example_in_80_columns(here: Here, command: str) -> None:
    code, out, _ = here("crib", command, "--help")

    assert code == 0
    assert f"broachplan crib {command}" in out.split("Example:")[1]
    assert max(map(len, out.splitlines())) <= 80


def test_help_loads_neither_database_nor_units(home: Path) -> None:
    script = (
        "import sys; from broachplan.cli import app; app.run(['crib', 'list', '--help']);"
        "print(sorted({'sqlmodel', 'sqlalchemy', 'alembic', 'pint', 'rich'} & set(sys.modules)))"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, cwd=home, check=True)

    assert ran.stdout.splitlines()[-1] == "[]"


def test_a_list_loads_no_alembic(filled_file: str) -> None:
    script = (
        f"import sys; from broachplan.cli import app; app.run(['crib', 'list', '--kind', 'shim', '--db', {filled_file!r}]);"
        "print(sorted({'alembic', 'openpyxl', 'pint', 'rich', 'textual'} & set(sys.modules)))"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert ran.stdout.splitlines()[-1] == "[]"
