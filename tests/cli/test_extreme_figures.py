"""Every figure that can be typed, however tiny or huge: an answer or a refusal, and never a fault of the program."""

from __future__ import annotations

import io
from collections.abc import Mapping
from contextlib import redirect_stderr, redirect_stdout

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from broachplan.cli import app as frame
from broachplan.errors import ExitCode
from broachplan.questions import kinds
from broachplan.questions.hub import PlanRequest
from broachplan.questions.line import Line, ValueKind, lines_of
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion, StrengthQuestion
from tests.databases import examples

# Each command with a question that has an answer.
ASKED: Mapping[str, tuple[type, Mapping[str, str]]] = {
    "plan": (PlanRequest, {"bore": "1 in +0.001 -0", "hub_length": "1 in", "key": "1/4 in"}),
    "key": (JointQuestion, {"shaft": "1-3/8 in"}),
    "keyseat": (KeyseatQuestion, {"shaft": "34 mm", "cutter": "10 mm", "length": "40 mm"}),
    "strength": (StrengthQuestion, {"shaft": "34 mm", "torque": "200 N m", "safety_factor": "2", "key_yield": "340 MPa"}),
}  # fmt: skip

digits = st.sampled_from("123456789")
numbers = st.one_of(
    st.sampled_from(["0", "0.0000001", "0.000001", "0.00001", "0.001", "0.5", "1", "2", "7", "25", "1000", "9999999"]),
    st.builds(lambda first, zeros: first + "0" * zeros, digits, st.integers(0, 16)),
    st.builds(lambda last, zeros: "0." + "0" * zeros + last, digits, st.integers(0, 12)),
    st.decimals(0, 100, places=4).map(str),
)  # fmt: skip


def with_unit(*units: str) -> st.SearchStrategy[str]:
    return st.builds(lambda number, unit: f"{number} {unit}", numbers, st.sampled_from(units))


lengths = with_unit("in", "mm", "thou", "m")
deviations = st.builds(lambda low, high: f"+{high} -{low}", numbers, numbers)
limits = st.one_of(lengths, st.builds(lambda size, both: f"{size} {both}", lengths, deviations))
FIGURES: Mapping[ValueKind, st.SearchStrategy[str]] = {
    kinds.SIZE_WITH_LIMITS: limits,
    kinds.LIMITS: limits,
    kinds.LENGTH: lengths,
    kinds.KEY: st.one_of(lengths, st.builds(lambda one, other: f"{one} x {other}", lengths, lengths)),
    kinds.HUB_KEY: st.one_of(lengths, st.builds(lambda one, other: f"{one} x {other}", lengths, lengths)),
    kinds.KEY_NUMBER: st.sampled_from(["202", "808", "1012", "9999"]),
    kinds.DEVIATIONS: st.builds(lambda both, unit: f"{both} {unit}", deviations, st.sampled_from(["in", "mm"])),
    kinds.HARDNESS: with_unit("HRC", "HB"),
    kinds.STACK: numbers,
    kinds.HOW_MANY: numbers,
    kinds.SPEED: with_unit("m/min", "ft/min"),
    kinds.TORQUE: with_unit("N m", "lbf in", "kN m"),
    kinds.POWER: with_unit("W", "kW", "hp"),
    kinds.REVOLUTIONS: numbers,
    kinds.SAFETY: numbers,
    kinds.STRESS: st.one_of(st.just("0.000001 MPa"), with_unit("MPa", "psi", "ksi")),
    kinds.DAY: st.sampled_from(["0001-01-01", "9999-12-31", "2031-05-28"]),
}  # fmt: skip
CHOSEN: Mapping[ValueKind, tuple[str, ...]] = {
    kinds.STANDARD: ("inch", "metric", "woodruff", "woodruff-metric"),
    kinds.SHAPE: ("square", "rectangular", "taper"),
    kinds.FIT: ("1", "2", "close", "normal", "free"),
    kinds.BORE_FORM: ("through", "blind", "tapered"),
    kinds.OVER: ("key", "floor"),
    kinds.MATERIAL: ("mild steel", "grey iron 200 HB"),
}


def typed(command: str) -> st.SearchStrategy[dict[str, str]]:
    """The command's options: those that have an answer, some of them with another figure, and others beside them."""
    question, usual = ASKED[command]
    others = {}
    for each in lines_of(question):
        if each.kind in FIGURES:
            others[each.name] = FIGURES[each.kind]
        elif each.kind in CHOSEN:
            others[each.name] = st.sampled_from(CHOSEN[each.kind])
    return st.sets(st.sampled_from(sorted(others)), max_size=4).flatmap(
        lambda names: st.fixed_dictionaries({name: others[name] for name in sorted(names)}).map(
            lambda new: {**usual, **new}
        )
    )


def options(question: type, values: Mapping[str, str]) -> list[str]:
    by_name: Mapping[str, Line] = {each.name: each for each in lines_of(question)}
    return [f"{by_name[name].option}={value}" for name, value in values.items()]


@pytest.mark.usefixtures("home")
@pytest.mark.parametrize("command", ASKED)
def test_any_figure_in_any_option_is_answered_or_refused(filled_file: str, command: str) -> None:
    @settings(
        max_examples=examples(30), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
    )
    @given(typed(command), st.booleans())
    def answered(values: dict[str, str], as_json: bool) -> None:
        words = [command, *options(ASKED[command][0], values), *(["--json"] if as_json else [])]
        if command == "plan":
            words += ["--db", filled_file]
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            code = frame.run(words)
        assert code in (ExitCode.DONE, ExitCode.BAD_INPUT, ExitCode.NO), (words, err.getvalue())
        assert (err.getvalue().count("\n"), out.getvalue() == "") == ((1, True) if code == 2 else (0, False))

    answered()
