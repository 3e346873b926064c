"""``broachplan strength``: its words, its JSON, its exit codes, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from broachplan.cli.app import run as run_here
from broachplan.errors import ExitCode
from tests.cli.conftest import Run
from tests.cli.validity import schema

HERE = Path(__file__).parent
SCHEMA = schema("strength")
CASES: dict[str, tuple[str, ...]] = {
    "torque": (
        *("--shaft", "35 mm", "--torque", "300 N m", "--safety", "2", "--length", "40 mm"),
        *("--yield", "360 MPa", "--shaft-yield", "420 MPa", "--hub-yield", "260 MPa"),
    ),
    "power": ("--shaft", "1-1/2 in", "--power", "5 hp", "--rpm", "340", "--yield", "60 ksi", "--safety", "3"),
    "shaft": (
        *("--shaft", "45 mm", "--key", "14 x 9 mm", "--shaft-yield", "400 MPa", "--yield", "340 MPa"),
        *("--safety", "2"),
    ),
    "carries": (
        *("--shaft", "50 mm", "--key", "12.5 x 12.5 mm", "--shear-strength", "200 N/mm2"),
        *("--length", "37.5 mm", "--safety", "1"),
    ),
    "factor": ("--shaft", "2 in", "--torque", "500 lbf ft", "--length", "2 in", "--bearing-strength", "40 ksi"),
}  # fmt: skip


def in_json(capsys: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    assert run_here(["strength", *arguments, "--json"]) == ExitCode.DONE
    answer: dict[str, Any] = json.loads(capsys.readouterr().out)
    return answer


def in_words(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    run_here(["strength", *arguments])
    return capsys.readouterr().out


@pytest.mark.parametrize("name", CASES)
def test_an_advisory_in_json_keeps_to_its_schema(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    SCHEMA.validate(in_json(capsys, *CASES[name]))


@pytest.mark.parametrize("name", ["torque", "power", "carries"])
def test_an_advisory_in_json_is_the_golden_file_byte_for_byte(
    name: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    run_here(["strength", *CASES[name], "--json"])

    assert capfdbinary.readouterr().out == (HERE / "golden" / f"strength_{name}.json").read_bytes()


@pytest.mark.parametrize("part", [None, "key", "load"])
def test_the_schema_misses_every_key_that_is_taken_away(
    part: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = in_json(capsys, *CASES["torque"])

    for name in list(whole[part] if part else whole):
        answer = json.loads(json.dumps(whole))
        del (answer[part] if part else answer)[name]
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate(answer)


@pytest.mark.parametrize("arguments", CASES.values(), ids=CASES)
def test_every_advisory_says_that_it_is_no_release_and_where_it_is_from(
    arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    answer, shown = in_json(capsys, *arguments), in_words(capsys, *arguments)
    flat = " ".join(shown.split())

    assert "never a release for use" in answer["advice"]
    assert answer["advice"] in flat
    assert answer["status"] == "memory"
    assert f"Source: {answer['source']}; formulas from memory" in flat
    assert all(said in flat for said in (*answer["assumptions"], *answer["remarks"]))
    assert max(map(len, shown.splitlines())) <= 80


@pytest.mark.parametrize(
    ("name", "first"),
    [
        ("torque", "LENGTH NEEDED: 32.968 mm (1.2980 in); weakest: hub in bearing."),
        ("shaft", "LENGTH NEEDED: 103.950 mm (4.0926 in); weakest: key in bearing."),
        ("carries", "CARRIES: 2,343.8 N m (20,744 lbf in); weakest: key in shear."),
        ("factor", "FACTOR REACHED: 3.33, no safety factor chosen; weakest: key in bearing."),
    ],
)
def test_the_first_line_gives_the_answer_and_the_weakest_part(
    name: str, first: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """By hand: 300 N m on 17.5 mm is 17.14 kN, over 4 mm x 130 N/mm2; 6000 lbf in on 1 in over 0.25 in x 2 in."""
    assert in_words(capsys, *CASES[name]).splitlines()[0] == first


def test_a_length_that_is_short_exits_3_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 5 hp at 340 a minute is 927 lbf in, 1,236 lbf on 3/4 in, three times that over 3/8 in x 30,000 psi."""
    arguments = [*CASES["power"], "--length", "0.3 in"]

    assert run_here(["strength", *arguments]) == ExitCode.NO
    shown = capsys.readouterr().out
    assert shown.startswith("LENGTH NEEDED: 0.3296 in (8.371 mm); 0.3000 in is TOO SHORT; weakest: ")
    assert run_here(["strength", *arguments, "--json"]) == ExitCode.NO


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        (("--shaft", "25"), "broachplan: shaft: read “25” without a unit; "),
        (("--shaft", "25 mm", "--torque", "9"), "broachplan: torque: read “9”; write a number and its unit"),
        (("--shaft", "25 mm", "--torque", "9 N m"), "broachplan: strength: give the key's length, or the safety"),
        (("--shaft", "25 mm", "--torque", "9 N m", "--safety", "2"), "broachplan: strength: give the key's yield"),
        (("--shaft", "25 mm", "--safety", "2"), "broachplan: load: give the torque, or the power and the speed"),
        (("--shaft", "25 mm", "--power", "1 kW", "--safety", "2"), "broachplan: load: power and speed go together"),
        (("--shaft", "25 mm", "--torque", "9 N m", "--safety", "0.5"), "broachplan: safety: read “0.5”; write a number from 1 to 1,000"),
        (("--shaft", "25 mm", "--standard", "woodruff"), "broachplan: standard: read woodruff; strength is reckoned"),
        (("--shaft", "8 mm", "--key", "9 x 9 mm", "--torque", "9 N m", "--safety", "2"), "broachplan: keyway width 9 mm: "),
        ((), "broachplan strength: Missing option '--shaft'"),
    ],
)  # fmt: skip
def test_wrong_input_is_one_line_on_stderr_and_nothing_on_stdout(
    arguments: tuple[str, ...], line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_here(["strength", *arguments, "--json"]) == ExitCode.BAD_INPUT

    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.startswith(line)
    assert shown.err.count("\n") == 1


def test_a_process_of_its_own_gives_an_advisory_without_a_crib(run: Run, home: Path) -> None:
    ran = run("strength", *CASES["torque"])

    assert (ran.returncode, ran.stderr) == (0, "")
    assert ran.stdout.startswith("LENGTH NEEDED: ")
    assert list(home.iterdir()) == []
