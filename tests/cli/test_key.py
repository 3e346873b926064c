"""``broachplan key``: its words, its JSON, and what it refuses."""

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
SCHEMA = schema("key")
CASES: dict[str, tuple[str, ...]] = {
    "off_table": ("--shaft", "1-3/8 in", "--key", "3/8 in"),
    "taper": ("--shaft", "2 in", "--shape", "taper", "--fit", "1"),
    "metric": ("--shaft", "25 mm", "--fit", "close"),
    "no_top_clearance": ("--shaft", "30 mm", "--no-top-clearance"),
    "stepped": ("--shaft", "1 in", "--key", "1/4 in", "--hub-key", "5/16 in"),
    "leaning": ("--shaft", "3 in", "--length", "6 in"),
    "woodruff": ("--shaft", "13/16 in", "--number", "607"),
    "woodruff_metric": ("--shaft", "17 mm", "--standard", "woodruff-metric"),
}
SHOWN = """\
Shaft 1 in: key 1/4 x 1/4 in, square, class 1

Shaft
  floor to opposite side  0.8591 in (21.821 mm)
  limits                  0.8442 to 0.8591 in
  top of arc to floor     0.1409 in (3.578 mm)
  depth at side wall      0.1250 in (3.175 mm)
  keyseat width           0.2500 to 0.2520 in

Hub
  floor to opposite wall  1.1142 in (28.299 mm)
  limits                  1.1142 to 1.1241 in
  depth at side wall      0.1300 in (3.302 mm)
  keyway width            0.2500 to 0.2520 in

Shaft with its key
  over shaft and key      1.1091 in (28.171 mm)
  limits                  1.0922 to 1.1091 in
  height of arc           0.0159 in (0.403 mm)

Key: bar stock
  width                   0.2480 to 0.2500 in
  height                  0.2480 to 0.2500 in
  side clearance          0.0000 to 0.0040 in
  top clearance           0.0050 to 0.0320 in

Key: key stock
  width                   0.2500 to 0.2510 in
  height                  0.2500 to 0.2510 in
  side clearance          -0.0010 to 0.0020 in (below zero: tight)
  top clearance           0.0040 to 0.0300 in

Position, at most
  off centre              0.0100 in, shaft and hub each
  lean                    0.0020 in, to 4 in long
                          0.0005 in an inch, to 10 in long
                          0.0050 in, over 10 in long

Source: ASME B17.1-1967 (R2013), as in Machinery's Handbook, 31st ed., p. 2551,
  tables 1 and 2; p. 2557, table 8
"""
HEAVY = ("sqlmodel", "sqlalchemy", "alembic", "pint", "textual", "rich", "platformdirs", "tui", "json")


def in_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    assert run_here(["key", *arguments, "--json"]) == ExitCode.DONE
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


@pytest.mark.parametrize("name", CASES)
def test_a_key_in_json_keeps_to_its_schema(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    SCHEMA.validate(in_json(capsys, *CASES[name]))


@pytest.mark.parametrize("name", CASES)
def test_a_key_in_json_is_the_golden_file_byte_for_byte(
    name: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    run_here(["key", *CASES[name], "--json"])

    assert capfdbinary.readouterr().out == (HERE / "golden" / f"key_{name}.json").read_bytes()


@pytest.mark.parametrize(
    ("case", "part"),
    [
        *((case, part) for case in ("metric", "woodruff") for part in (None, "key", "shaft", "hub")),
        ("metric", "corners"),
        ("taper", "position"),
        ("stepped", "stepped"),
        ("woodruff", "cutter"),
        ("woodruff", "depths"),
    ],
)
def test_the_schema_misses_every_key_that_is_taken_away(
    case: str, part: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = in_json(capsys, *CASES[case])

    for name in list(whole[part] if part else whole):
        answer = json.loads(json.dumps(whole))
        del (answer[part] if part else answer)[name]
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate(answer)


@pytest.mark.parametrize("case", ["metric", "stepped", "woodruff"])
def test_the_schema_misses_every_figure_of_a_stock(case: str, capsys: pytest.CaptureFixture[str]) -> None:
    whole = in_json(capsys, *CASES[case])

    for name in whole["stocks"][0]:
        answer = json.loads(json.dumps(whole))
        del answer["stocks"][0][name]
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate(answer)


def test_the_schema_knows_a_cutter_only_for_woodruff_keys(capsys: pytest.CaptureFixture[str]) -> None:
    cutter = in_json(capsys, *CASES["woodruff"])["cutter"]

    with pytest.raises(jsonschema.ValidationError, match="False schema does not allow"):
        SCHEMA.validate({**in_json(capsys, *CASES["metric"]), "cutter": cutter})


def test_a_quarter_inch_key_in_seven_eighths_comes_out_as_in_the_shop(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Common practice, no source: arc 0.0182, floor 0.1432 below its top, 0.982 over shaft and key."""
    answer = in_json(capsys, "--shaft", "7/8 in", "--key", "1/4 in")

    assert answer["arc_nm"] == pytest.approx(0.0182 * 25_400_000, abs=0.00005 * 25_400_000)
    assert answer["shaft"]["depth_from_top_nm"] == pytest.approx(
        0.1432 * 25_400_000, abs=0.00005 * 25_400_000
    )
    assert answer["over_key_nm"] == pytest.approx(0.982 * 25_400_000, abs=0.0005 * 25_400_000)


def test_a_key_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_here(["key", "--shaft", "1 in"]) == ExitCode.DONE

    shown = capsys.readouterr()
    assert shown.out == SHOWN
    assert shown.err == ""


@pytest.mark.parametrize("arguments", CASES.values(), ids=CASES)
def test_words_fit_80_columns_and_carry_every_remark(
    arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    remarks = in_json(capsys, *arguments)["remarks"]
    run_here(["key", *arguments])
    shown = capsys.readouterr().out

    assert all(len(line) <= 80 for line in shown.splitlines())
    assert remarks or "Note:" not in shown
    assert all(f"Note: {remark}" in " ".join(shown.split()) for remark in remarks)


def test_what_rests_on_memory_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    run_here(["key", *CASES["taper"]])
    shown = " ".join(capsys.readouterr().out.split())

    assert (
        "Source: ASME B17.1-1967 (R2013), as in Machinery's Handbook, 31st ed., p. 2551, tables 1 and 2; p. 2557, table 8; some figures from memory"
        in shown
    )
    assert "Note: from memory, not seen in print: width limits of class 2, depth limits of class 2" in shown


def test_a_woodruff_key_shows_both_feeds_and_its_cutter(capsys: pytest.CaptureFixture[str]) -> None:
    """ASME B17.2 by Shigley (Table 7-7): number 607 goes 0.2763 deep at the edge. From the crown it is the arc more:
    (D - sqrt(D^2 - W^2)) / 2 = 0.0110 in for 3/16 in of 13/16 in."""
    run_here(["key", *CASES["woodruff"]])
    shown = " ".join(capsys.readouterr().out.split())

    assert "Shaft 13/16 in: Woodruff key 607 (3/16 x 7/8 in) " in shown
    assert "top of arc to floor 0.2873 in" in shown
    assert "depth at side wall 0.2763 in" in shown
    assert "shops that feed 0.2763 in from the crown cut 0.0110 in shallower" in shown
    assert "Cutter 607 (from memory) width 0.1863 to 0.1880 in diameter 0.8750 to 0.8950 in" in shown


def test_a_stepped_key_is_shown_part_by_part(capsys: pytest.CaptureFixture[str]) -> None:
    run_here(["key", *CASES["stepped"]])
    shown = " ".join(capsys.readouterr().out.split())

    assert "key 1/4 x 1/4 in in the shaft and 5/16 x 5/16 in in the hub, class 1" in shown
    assert "width in shaft 0.2480 to 0.2500 in width in hub 0.3105 to 0.3125 in" in shown
    assert "bottom to step 0.1400 to 0.1420 in step at each side 0.0312 in" in shown


def test_the_lean_of_a_keyseat_is_given_for_its_length_or_for_every_length(
    capsys: pytest.CaptureFixture[str],
) -> None:
    run_here(["key", *CASES["leaning"]])
    assert "lean                    0.0030 in over 6 in\n" in capsys.readouterr().out

    run_here(["key", *CASES["off_table"]])
    assert "0.0005 in an inch, to 10 in long\n" in capsys.readouterr().out


def test_limits_of_the_shaft_are_accepted_and_its_nominal_size_used(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert in_json(capsys, "--shaft", "25 mm -0.007 -0.020") == in_json(capsys, "--shaft", "25 mm")


def test_the_standard_follows_the_unit_unless_it_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert in_json(capsys, "--shaft", "25 mm")["standard"] == "metric"
    assert in_json(capsys, "--shaft", "25 mm", "--standard", "inch", "--key", "1/4 in")["standard"] == "inch"


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (("--shaft", "1-3/8"), "broachplan: shaft: read “1-3/8” without a unit; "),
        (("--shaft", "1 in", "--key", "0 in"), "broachplan: key width: read “0 in”; it must be above zero"),
        (("--shaft", "1 in", "--standard", "round"), "broachplan: standard: read “round”; write inch, metric, woodruff or "),
        (("--shaft", "1 in", "--standard", "own"), "broachplan: standard: read “own”; write inch, metric, woodruff or "),
        (("--shaft", "1 in", "--shape", "oval"), "broachplan: shape: read “oval”; write square, "),
        (("--shaft", "1 in", "--fit", "close"), "broachplan: fit: read close; the inch standard has class 1 or 2"),
        (("--shaft", "1/4 in"), "broachplan: key: the inch table goes from over 5/16 in to 30 in"),
        (("--shaft", "25 mm", "--key", "7 mm"), "broachplan: key: the metric table has no key 7 mm wide; "),
        (("--shaft", "1/4 in", "--key", "1/4 in"), "broachplan: keyway width 0.25 in: it must be less than"),
        (("--shaft", "1 in", "--number", "909"), "broachplan: key number: read “909”; the table here leaves that number out, "),
        (("--shaft", "1 in", "--number", "808", "--standard", "inch"),
         "broachplan: key number: read “808”; only inch Woodruff keys have numbers, not inch ones"),
        (("--shaft", "1 in", "--number", "808", "--key", "1/4 in"),
         "broachplan: key: read “1/4 in” and the number “808”; give one of them"),
        (("--shaft", "1 in", "--number", "808", "--length", "1 in"),
         "broachplan: length: a Woodruff keyseat is as long as its cutter makes it"),
        (("--shaft", "1/4 in", "--number", "808"), "broachplan: keyway width 0.25 in: it must be less than"),
        (("--shaft", "1/2 in", "--number", "1212"),
         "broachplan: key 1212 (3/8 x 1-1/2 in): its keyseat is 0.4485 in deep, too deep for a shaft or bore of 1/2 in"),
        (("--shaft", "1 in", "--standard", "woodruff"),
         "broachplan: key: the Woodruff keys for 1 in are 403, 404, 405, "),
        (("--shaft", "1 in", "--number", "808", "--fit", "1"),
         "broachplan: fit: read 1; inch Woodruff keyseats have one fit"),
        (("--shaft", "1 in", "--number", "808", "--shape", "taper"),
         "broachplan: shape: read taper; a Woodruff key has a shape of its own"),
        (("--shaft", "25 mm", "--shape", "taper"), "broachplan: shape: read taper; the metric table has parallel"),
        (("--shaft", "60 mm", "--standard", "woodruff-metric"),
         "broachplan: key: the metric Woodruff table goes from over 3 mm to 38 mm for shafts that carry torque"),
        (("--shaft", "1 in", "--shape", "taper", "--hub-key", "5/16 in"),
         "broachplan: hub key: a stepped key is made of two parallel keys, and 1/4 x 1/4 in is taper"),
        (("--shaft", "1 in", "--length", "6"), "broachplan: length: read “6” without a unit; "),
        ((), "broachplan key: Missing option '--shaft'"),
    ],
)  # fmt: skip
def test_wrong_input_is_one_line_on_stderr_and_nothing_on_stdout(
    arguments: tuple[str, ...], line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_here(["key", *arguments, "--json"]) == ExitCode.BAD_INPUT

    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.startswith(line)
    assert shown.err.count("\n") == 1


def test_a_process_of_its_own_looks_up_a_key_without_a_crib(run: Run, home: Path) -> None:
    ran = run("key", "--shaft", "1 in")

    assert (ran.returncode, ran.stdout, ran.stderr) == (0, SHOWN, "")
    assert list(home.iterdir()) == []


def test_nothing_heavy_is_loaded_for_a_key() -> None:
    script = (
        "import sys; from broachplan.cli.app import run; run(['key', '--shaft', '1 in']); "
        f"print(sorted(set(sys.modules) & {set(HEAVY)!r}), file=sys.stderr)"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)

    assert ran.stderr == "[]\n"
