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
    *("--shaft", "1-3/8 in", "--key", "3/8 in", "--finder", "0.5 in", "--cutter", "3/8 in"),
    *("--length", "2 in", "--step", "0.060 in", "--speed", "80 ft/min", "--depth-limits", "+0.000 -0.012 in"),
)
CASES: dict[str, tuple[str, ...]] = {
    "inch": FULL,
    "metric": (
        *("--shaft", "25 mm +0.0 -0.02", "--cutter", "6 mm", "--length", "30 mm", "--from", "10 mm"),
        *("--step", "1.5 mm", "--speed", "25 m/min", "--finder", "10 mm"),
    ),
    "measured": (*FULL, "--measured", "1.545 in", "--measured-over", "key", "--key-height", "0.3752 in"),
    "woodruff": (
        *("--shaft", "13/16 in", "--number", "607", "--from", "1-1/2 in", "--finder", "0.5 in"),
        *("--step", "0.08 in", "--speed", "80 ft/min"),
    ),
    "plain": ("--shaft", "2 in", "--shape", "taper"),
    "large": ("--shaft", "480 mm", "--cutter", "95 mm", "--length", "1.2 m", "--from", "1 m", "--step", "3 mm"),
}  # fmt: skip
SHOWN = """\
Keyseat in a shaft of 1-3/8 in for key 3/8 x 3/8 in, square, class 1

Depth, by your limits
  depth from top of arc    0.2136 in (5.425 mm)
  limits                   0.2136 to 0.2255 in
  aim                      0.2196 in
  over shaft and key       1.5364 in (39.025 mm)
  limits                   1.5245 to 1.5364 in
  height of the key        0.3750 in

Centre: touch the shaft's side at its widest with the finder, lift it, then
  move half the finder     0.2500 in
  then half the shaft      0.6875 in
  total                    0.9375 in

Passes: 4; touch off the top of the arc and set zero
  pass       take      depth  floor reads
     1  0.0600 in  0.0600 in    1.3150 in
     2  0.0600 in  0.1200 in    1.2550 in
     3  0.0600 in  0.1800 in    1.1950 in
     4  0.0396 in  0.2196 in    1.1554 in

Cutter's centre, from the shaft's end (below zero: outside it)
  key with          start        end  seat over all  full width
  round ends   -0.1875 in  1.8125 in      2.0000 in   1.8125 in
  square ends  -0.1875 in  2.0000 in      2.1875 in   2.0000 in

Spindle: 815 rev/min
  80.0 ft/min / (pi x 0.3750 in); the cutting speed is yours

"""
# By ASME B17.1 and the geometry of a round shaft: y = (D - sqrt(D^2 - W^2)) / 2 = 0.02606 in, so the floor lies
# y + W / 2 = 0.21356 in below the top; over the key D - y + W / 2; 12 x 80 / (pi x 3/8) turns a minute.
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

    shown = capsys.readouterr()
    assert shown.out.startswith(SHOWN)
    assert shown.err == ""


@pytest.mark.parametrize("arguments", CASES.values(), ids=CASES)
def test_words_fit_80_columns_and_carry_every_remark(
    arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    remarks = in_json(capsys, *arguments)["remarks"]
    shown = in_words(capsys, *arguments)

    assert max(map(len, shown.splitlines())) <= 80
    assert all(f"Note: {remark}" in " ".join(shown.split()) for remark in remarks)


def test_a_seat_that_is_past_exits_3_and_the_others_0(capsys: pytest.CaptureFixture[str]) -> None:
    def code(measured: str, *more: str) -> int:
        return run_here(["keyseat", *FULL, "--measured", measured, "--measured-over", "floor", *more])

    assert code("1.168 in") == ExitCode.DONE
    assert "STILL TO TAKE OFF: 0.0126 in" in capsys.readouterr().out
    assert code("1.152 in") == ExitCode.DONE
    assert "DONE: 1.1520 in over the floor is within the limits" in capsys.readouterr().out
    assert code("1.147 in") == code("1.147 in", "--json") == ExitCode.NO
    assert "PAST: 1.1470 in over the floor is 0.0024 in too deep" in capsys.readouterr().out


def test_a_narrow_cutter_gets_its_move_to_each_side(capsys: pytest.CaptureFixture[str]) -> None:
    shown = in_words(capsys, *CASES["metric"])

    assert "Width: 7.964 to 8.000 mm with a cutter of 6.000 mm" in shown
    assert "off centre to each side  0.982 to 1.000 mm" in shown


def test_a_half_that_does_not_come_out_in_tenths_is_shown_in_full(
    capsys: pytest.CaptureFixture[str],
) -> None:
    shown = " ".join(in_words(capsys, "--shaft", "57/64 in", "--finder", "0.5 in").split())
    metric = " ".join(in_words(capsys, "--shaft", "25.005 mm", "--finder", "10 mm").split())

    assert "then half the shaft 0.4453125 in" in shown
    assert "then half the shaft 12.5025 mm" in metric


def test_both_datums_of_a_woodruff_feed_are_named(capsys: pytest.CaptureFixture[str]) -> None:
    shown = " ".join(in_words(capsys, *CASES["woodruff"]).split())

    assert "crown datum 0.2873 in (7.297 mm)" in shown
    assert "edge datum 0.2763 in (7.018 mm)" in shown
    assert "Cutter 607 (from memory)" in shown
    assert "some figures from memory" in shown


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (("--shaft", "1-3/8"), "broachplan: shaft: read “1-3/8” without a unit; "),
        (("--shaft", "1 in", "--step", "0 in"), "broachplan: step: read “0 in”; it must be above zero"),
        (("--shaft", "1 in", "--finder", "1 m"), "broachplan: finder: read 1000 mm; it is the diameter of an edge"),
        (("--shaft", "1 in", "--cutter", "1 in"), "broachplan: cutter: read 1 in; it must not be wider than the"),
        (("--shaft", "1 in", "--key", "1 in"), "broachplan: keyway width 1 in: it must be less than"),
        (("--shaft", "1 in", "--number", "999"), "broachplan: key number: read “999”; the table here leaves that number out, "),
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

    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.startswith(line)
    assert shown.err.count("\n") == 1


def test_a_process_of_its_own_makes_a_card_without_a_crib(run: Run, home: Path) -> None:
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
