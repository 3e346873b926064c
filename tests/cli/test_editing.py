"""Pieces taken in, changed and retired from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer.main

from broachplan.cli.commands import app
from broachplan.errors import ExitCode
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import FIGURES
from tests.cli.conftest import Run


def test_a_piece_is_taken_in_changed_and_retired_in_one_line_each(run_here: Run) -> None:
    steps = [
        (
            ("add", "shims", "S-1", "--thickness", "1 mm", "--set", "box", "--by", "Ann"),
            "S-1, a shim, is in the crib; no plan uses it until these are measured: width\n",
        ),
        (("edit", "S-1", "--width", "6 mm"), "S-1: width not known -> 6 mm\n"),
        (("edit", "S-1", "--width", "6.00 mm"), "S-1: it is so already\n"),
        (
            ("edit", "S-1", "--thickness", "", "--condition", "worn"),
            "S-1: condition “fit” -> “worn”; thickness 1 mm -> not known\n",
        ),
        (("add", "press", "P-1", "--rated-force", "10 kN"), "P-1, a press, is in the crib\n"),
        (("retire", "S-1", "--note", "bent"), "S-1 is retired\n"),
    ]
    for words, message in steps:
        ran = run_here("crib", *words)
        assert (ran.returncode, ran.stdout, ran.stderr) == (0, message, "")

    history = " ".join(run_here("crib", "show", "S-1").stdout.partition("History")[2].split())
    for message in (
        "retired note: bent",
        "changed condition “fit” -> “worn” thickness 1 mm",
        "received by Ann",
    ):
        assert message in history
    assert run_here("data", "check").returncode == ExitCode.DONE


def test_how_well_a_piece_was_measured_is_kept_shown_changed_and_taken_back(run_here: Run) -> None:
    run_here("crib", "add", "pin", "N-1", "--measured-with", "micrometer", "--measured-to", "±0.0002 in")
    changed = run_here("crib", "edit", "N-1", "--measured-to", "0.01 mm")
    shown = run_here("crib", "show", "N-1").stdout

    assert changed.stdout == "N-1: measured to 0.0002 in -> 0.01 mm\n"
    assert "micrometer, to ±0.0004 in" in shown
    reported = json.loads(run_here("crib", "show", "N-1", "--json").stdout)
    assert reported["piece"]["measured"] == {"with": "micrometer", "on": None, "by": "", "to_nm": 10_000}
    assert reported["history"][0]["changes"] == [{"key": "measured.to_nm", "old": 5_080, "new": 10_000}]

    run_here("crib", "undo")
    assert "micrometer, to ±0.0002 in" in run_here("crib", "show", "N-1").stdout
    assert run_here("data", "check").returncode == ExitCode.DONE


@pytest.mark.parametrize(
    ("words", "code", "message"),
    [
        (
            ("add", "pin", "N-1", "--measured-to", "0.0002"),
            ExitCode.BAD_INPUT,
            "measured to: read “0.0002” without a unit",
        ),
        (("add", "hammer", "H-1"), ExitCode.BAD_INPUT, "kind: read “hammer”; there are: broach"),
        (("add", "shim", "S-1", "--web", "1 in"), ExitCode.BAD_INPUT, "web: a shim has no such figure"),
        (("edit", "S-1"), ExitCode.BAD_INPUT, "nothing to change"),
        (("edit", "S-1", "--home", "x"), ExitCode.BAD_INPUT, "tag: read “S-1”: no such tag"),
        (("retire", "S-1"), ExitCode.BAD_INPUT, "tag: read “S-1”: no such tag"),
    ],
)
def test_what_cannot_be_is_one_line_and_its_exit_code(
    run_here: Run, words: tuple[str, ...], code: ExitCode, message: str
) -> None:
    ran = run_here("crib", *words)

    assert (ran.returncode, ran.stdout) == (code, "")
    assert message in ran.stderr
    assert ran.stderr.count("\n") == 1


@pytest.mark.parametrize("name", ["add", "edit"])
def test_every_figure_of_every_kind_is_an_option(name: str) -> None:
    crib = typer.main.get_group(app).commands["crib"]
    options = {option for each in crib.commands[name].params for option in each.opts}  # type: ignore[attr-defined]

    assert {f"--{figure.name.replace('_', '-')}" for kind in Kind for figure in FIGURES[kind]} <= options


def test_the_last_action_is_undone_and_named(run_here: Run) -> None:
    run_here("crib", "add", "shim", "S-1", "--by", "Ann")
    run_here("crib", "edit", "S-1", "--home", "drawer 4")

    ran = [run_here("crib", "undo") for _ in range(3)]

    assert [each.returncode for each in ran] == [0, 0, ExitCode.STATE]
    assert ran[0].stdout.startswith("undone: S-1, changed 2")
    assert ran[1].stdout.startswith("undone: S-1, received 2")
    assert ran[1].stdout.endswith(" by Ann\n")
    assert ran[2].stderr == "broachplan: there is nothing to undo\n"


def test_how_to_measure_is_shown_without_a_tag_and_names_what_there_is(run_here: Run) -> None:
    web = run_here("crib", "add", "bushing", "--how", "web")
    assert web.returncode == 0
    assert "WEB" in web.stdout
    assert "ball anvil, from the back to the slot floor" in web.stdout
    assert "1 back   2 slot floor" in web.stdout
    every = run_here("crib", "add", "broaches", "--how").stdout
    assert "HEIGHT OVER LAST TOOTH" in every
    assert "GULLET AREA" in every
    assert "outside diameter, slot width, web" in run_here("crib", "add", "--how").stdout
    assert all(len(line) <= 80 for line in every.splitlines())
    # Where a font lacks the dots, the shop's setting draws in blocks.
    assert "⣿" in every
    run_here("settings", "set", "picture", "blocks")
    blocks = run_here("crib", "add", "bushing", "--how", "web").stdout
    assert "█" in blocks
    assert not any(0x2800 <= ord(each) < 0x2900 for each in blocks)
    wrong = run_here("crib", "add", "shim", "--how", "web")
    assert (wrong.returncode, wrong.stdout) == (ExitCode.BAD_INPUT, "")
    assert "read “web”; a shim has: thickness, width, length" in wrong.stderr
    bare = run_here("crib", "add", "shim")
    assert (bare.returncode, bare.stderr.startswith("broachplan: tag: nothing was given")) == (2, True)


def test_a_web_over_a_broach_is_the_reading_less_its_height_and_keeps_both_tags(
    run_here: Run, home: Path
) -> None:
    broach = (
        "--keyway-width",
        "0.2505 in",
        "--first-tooth-height",
        "0.7 in",
        "--last-tooth-height",
        "0.8132 in",
    )
    run_here("crib", "add", "broach", "BR-1", *broach, "--measured-to", "0.0002 in")
    bushing = ("crib", "add", "bushing", "GU-1", "--outside-diameter", "1 in", "--slot-width", "0.252 in")
    early = run_here(*bushing, "--web", "1.4382 in over BR-9")
    assert (early.returncode, "no broach in the crib has; take the broach in first" in early.stderr) == (
        2,
        True,
    )
    added = run_here(*bushing, "--web", "1.4382 in over BR-1", "--measured-to", "0.0001 in")
    words = "micrometer over broach BR-1, last tooth: 1.4382 in less 0.8132 in"
    assert added.stdout.splitlines() == ["GU-1, a bushing, is in the crib", f"web 0.625 in: {words}"]

    def kept() -> dict[str, object]:
        piece = json.loads(run_here("crib", "show", "GU-1", "--json").stdout)["piece"]
        return {"web_nm": piece["web_nm"], **piece["measured"]}

    assert (kept()["web_nm"], kept()["with"], kept()["to_nm"]) == (15_875_000, words, 7_620)
    # Out and in again nothing of it is lost.
    run_here("crib", "export", "out")
    assert words in (home / "out" / "bushings.csv").read_text()
    assert run_here("crib", "import", "out").stdout == "0 added, 0 changed, 2 as before\n"
    run_here("crib", "edit", "GU-1", "--web", "1.325 in over BR-1 first tooth")
    assert (kept()["web_nm"], "first tooth: 1.325 in less 0.7 in" in str(kept()["with"])) == (
        15_875_000,
        True,
    )
    run_here("crib", "edit", "GU-1", "--web", "0.6251 in")
    assert (kept()["with"], kept()["to_nm"]) == ("", None)


def test_a_web_that_contradicts_the_slot_depth_is_taken_only_by_somebody_who_is_sure(run_here: Run) -> None:
    bushing = ("crib", "add", "bushing", "GU-1", "--outside-diameter", "1 in", "--slot-width", "1/4 in")
    slip = run_here(*bushing, "--slot-depth", "0.6 in", "--web", "0.45 in")
    assert (slip.returncode, slip.stdout) == (ExitCode.BAD_INPUT, "")
    assert "outside diameter less slot depth is 0.4 in: 0.05 in apart" in slip.stderr
    assert run_here(*bushing, "--slot-depth", "0.6 in", "--web", "0.45 in", "--sure").returncode == 0
    again = run_here("crib", "add", "bushing", "GU-2", *bushing[4:], "--web", "0.4 in")
    assert "look again: web 0.4 in, but GU-1, of the same diameter and slot, has 0.45 in" in again.stdout
    assert run_here("crib", "add", "shim", "S-1", "--slot-depth", "1 in").returncode == ExitCode.BAD_INPUT


def test_a_preview_and_a_jump_have_their_exit_codes(run_here: Run, home: Path) -> None:
    run_here("crib", "add", "shim", "S-1", "--thickness", "0.0312 in", "--measured-on", "2031-05-02")
    file = home / "shims.csv"
    file.write_text("tag,thickness,width\nS-1,0.0310 in,\nS-2,0.0150 in,\n")

    shown = run_here("crib", "import", "shims.csv", "--preview")
    refused = run_here("crib", "import", "shims.csv")
    taken = run_here("crib", "import", "shims.csv", "--preview", "--older")
    jumped = run_here("crib", "edit", "S-1", "--thickness", "0.0612 in")
    kept = run_here("crib", "edit", "S-1", "--thickness", "0.0612 in", "--sure")

    assert (shown.returncode, refused.returncode, taken.returncode) == (ExitCode.NO, ExitCode.BAD_INPUT, 0)
    assert shown.stdout.splitlines()[0] == (
        "preview, nothing is written: 1 to add, 0 to change, 0 as before, 1 refused"
    )
    assert "2031-05-02" in refused.stderr
    assert "row 2" in refused.stderr
    assert "to change: shim S-1: thickness 0.0312 in -> 0.031 in" in taken.stdout
    assert (jumped.returncode, jumped.stdout, kept.returncode) == (ExitCode.BAD_INPUT, "", 0)
    assert "read 0.0612 in; it was 0.0312 in" in jumped.stderr
