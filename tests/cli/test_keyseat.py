"""``broachplan keyseat``: its words, its JSON, its exit codes, and what it refuses."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from broachplan.cli.app import run as run_here
from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.cli.validity import schema

HERE = Path(__file__).parent
SCHEMA = schema("keyseat")
FULL = (
    *("--shaft", "7/8 in", "--key", "1/4 in", "--finder", "0.2 in", "--cutter", "1/4 in", "--length", "1 in"),
    *("--step", "0.050 in", "--speed", "90 ft/min", "--depth-limits", "+0.000 -0.010 in"),
)
CASES: dict[str, tuple[str, ...]] = {
    "inch": FULL,
    "metric": (
        *("--shaft", "25 mm +0.0 -0.02", "--cutter", "6 mm", "--length", "30 mm", "--from", "10 mm"),
        *("--step", "1.5 mm", "--speed", "28 m/min", "--finder", "10 mm"),
    ),
    "measured": (*FULL, "--measured", "0.990 in", "--measured-over", "key", "--key-height", "0.2502 in"),
    "woodruff": (
        *("--shaft", "7/8 in", "--number", "406", "--from", "1 in", "--finder", "0.2 in"),
        *("--step", "0.1 in", "--speed", "90 ft/min"),
    ),
    "plain": ("--shaft", "2 in", "--shape", "taper"),
    "large": ("--shaft", "480 mm", "--cutter", "95 mm", "--length", "1.2 m", "--from", "1 m", "--step", "3 mm"),
}  # fmt: skip
SHOWN = """\
Keyseat in a shaft of 7/8 in for key 1/4 x 1/4 in, square, class 1

  depth from top of arc     0.1432 in (3.638 mm)
  your limits               0.1432 to 0.1532 in, aim 0.1482 in
  over shaft and key        0.9818 in (24.937 mm)
  your limits               0.9718 to 0.9818 in, key 0.2500 in high

Centre: touch the shaft's side at its widest with the finder, lift it, then
  move half the finder      0.1000 in
  then half the shaft       0.4375 in
  in all                    0.5375 in

Passes: touch off the top of the arc and set zero
  pass           take          depth    floor reads
     1      0.0500 in      0.0500 in      0.8250 in
     2      0.0500 in      0.1000 in      0.7750 in
     3      0.0482 in      0.1482 in      0.7268 in

Cutter's centre, from the shaft's end (below zero: outside it)
  key with              start          end   seat over all   full width
  round ends       -0.1250 in    0.8750 in       1.0000 in    0.8750 in
  square ends      -0.1250 in    1.0000 in       1.1250 in    1.0000 in

Spindle: 1,375 rev/min
  90.0 ft/min / (pi x 0.2500 in); the cutting speed is yours

"""
HEAVY = ("sqlmodel", "sqlalchemy", "alembic", "pint", "textual", "rich", "platformdirs", "tui", "json")


def in_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    assert run_here(["keyseat", *arguments, "--json"]) == ExitCode.DONE
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def in_words(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    run_here(["keyseat", *arguments])
    return capsys.readouterr().out


@pytest.mark.parametrize("name", CASES)
def test_a_card_in_json_keeps_to_its_schema(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    SCHEMA.validate(in_json(capsys, *CASES[name]))


@pytest.mark.parametrize("name", ["inch", "metric", "measured", "woodruff"])
def test_a_card_in_json_is_the_golden_file_byte_for_byte(
    name: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    run_here(["keyseat", *CASES[name], "--json"])

    assert capfdbinary.readouterr().out == (HERE / "golden" / f"keyseat_{name}.json").read_bytes()


@pytest.mark.parametrize("part", [None, "shaft", "key", "seat", "depth_from_top", "over_key", "centre", "spindle"])  # fmt: skip
def test_the_schema_misses_every_key_that_is_taken_away(
    part: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = in_json(capsys, *CASES["inch"])

    for name in list(whole[part] if part else whole):
        answer = json.loads(json.dumps(whole))
        del (answer[part] if part else answer)[name]
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate(answer)


def test_a_card_in_words_has_the_main_figures_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_here(["keyseat", *FULL]) == ExitCode.DONE

    told = capsys.readouterr()
    assert told.out.startswith(SHOWN)
    assert told.err == ""


@pytest.mark.parametrize("arguments", CASES.values(), ids=CASES)
def test_words_fit_80_columns_and_carry_every_remark(
    arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    remarks = in_json(capsys, *arguments)["remarks"]
    told = in_words(capsys, *arguments)

    assert max(map(len, told.splitlines())) <= 80
    assert all(f"Note: {remark}" in " ".join(told.split()) for remark in remarks)


def test_a_seat_that_is_past_exits_3_and_the_others_0(capsys: pytest.CaptureFixture[str]) -> None:
    def code(measured: str, *more: str) -> int:
        return run_here(["keyseat", *FULL, "--measured", measured, "--measured-over", "floor", *more])

    assert code("0.74 in") == ExitCode.DONE
    assert "STILL TO TAKE OFF: 0.0132 in" in capsys.readouterr().out
    assert code("0.725 in") == ExitCode.DONE
    assert "DONE: 0.7250 in over the floor is within the limits" in capsys.readouterr().out
    assert code("0.72 in") == code("0.72 in", "--json") == ExitCode.NO
    assert "PAST: 0.7200 in over the floor is 0.0018 in too deep" in capsys.readouterr().out


def test_a_narrow_cutter_is_told_how_far_to_go_to_each_side(capsys: pytest.CaptureFixture[str]) -> None:
    told = in_words(capsys, *CASES["metric"])

    assert "Width: 7.964 to 8.000 mm with a cutter of 6.000 mm" in told
    assert "off centre to each side   0.982 to 1.000 mm" in told


def test_a_half_that_does_not_come_out_in_tenths_is_told_in_full(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = in_words(capsys, "--shaft", "57/64 in", "--finder", "0.2 in")
    metric = in_words(capsys, "--shaft", "25.005 mm", "--finder", "10 mm")

    assert "then half the shaft       0.4453125 in" in told
    assert "then half the shaft       12.5025 mm" in metric


def test_both_datums_of_a_woodruff_feed_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    told = in_words(capsys, *CASES["woodruff"])

    assert "crown datum               0.2500 in (6.350 mm)" in told
    assert "edge datum                0.2455 in (6.236 mm)" in told
    assert "Cutter 406 (from memory)" in told
    assert "some figures from memory" in " ".join(told.split())


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (("--shaft", "7/8"), "broachplan: shaft: read “7/8” without a unit; "),
        (("--shaft", "1 in", "--step", "0 in"), "broachplan: step: read “0 in”; it must be above zero"),
        (("--shaft", "1 in", "--finder", "1 m"), "broachplan: finder: read 1000 mm; it is the diameter of an edge"),
        (("--shaft", "1 in", "--cutter", "1 in"), "broachplan: cutter: read 1 in; it must not be wider than the"),
        (("--shaft", "1 in", "--key", "1 in"), "broachplan: keyway width 1 in: it must be less than"),
        (("--shaft", "1 in", "--number", "999"), "broachplan: key number: read “999”; the table here leaves that number out; the table has"),
        (("--shaft", "1 in", "--measured", "1 in"), "broachplan: measured over: nothing was given; write key or"),
        (("--shaft", "1 in", "--measured", "2 in", "--measured-over", "key"), "broachplan: measured: read 2 in over"),
        (("--shaft", "1 in", "--speed", "90"), "broachplan: speed: read “90”; write a number and its unit"),
        ((), "broachplan keyseat: Missing option '--shaft'"),
    ],
)  # fmt: skip
def test_wrong_input_is_one_line_on_stderr_and_nothing_on_stdout(
    arguments: tuple[str, ...], line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_here(["keyseat", *arguments, "--json"]) == ExitCode.BAD_INPUT

    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(line)
    assert told.err.count("\n") == 1


def test_a_card_is_told_by_a_process_of_its_own_without_a_crib(run: Run, home: Path) -> None:
    ran = run("keyseat", *FULL)

    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.startswith(SHOWN)
    assert list(home.iterdir()) == []


def test_nothing_heavy_is_loaded_for_a_card_without_a_speed() -> None:
    script = (
        "import sys; from broachplan.cli.app import run; run(['keyseat', '--shaft', '1 in']); "
        f"print(sorted(set(sys.modules) & {set(HEAVY)!r}), file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert ran.stderr == "[]\n"
