"""The plan for other programs: schema, golden bytes."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from broachplan.cli.plan_json import as_dict
from broachplan.planner.answer import Answer, Rule
from tests.cli.hand_made import AFTER, BLOCKED, NOT_KNOWN, READY
from tests.cli.validity import schema

HERE = Path(__file__).parent
SCHEMA = schema("plan")
GOLDEN = {"ready": READY, "blocked": BLOCKED, "after": AFTER}


@pytest.mark.parametrize("answer", GOLDEN.values(), ids=GOLDEN)
def test_a_plan_in_json_keeps_to_its_schema(answer: Answer) -> None:
    SCHEMA.validate(as_dict(answer))


@pytest.mark.parametrize(("name", "answer"), GOLDEN.items())
def test_a_plan_in_json_is_the_golden_file_byte_for_byte(name: str, answer: Answer) -> None:
    golden = (HERE / "golden" / f"plan_{name}.json").read_bytes()

    assert (json.dumps(as_dict(answer), indent=2) + "\n").encode("ascii") == golden


def test_the_schema_misses_every_key_that_is_taken_away() -> None:
    whole = as_dict(READY)

    for key in whole:
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate({name: value for name, value in whole.items() if name != key})


def test_the_schema_misses_every_key_of_what_a_reading_means() -> None:
    for key in as_dict(AFTER)["after"]:
        answer = as_dict(AFTER)
        del answer["after"][key]
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate(answer)


def test_the_schema_misses_every_key_of_a_pass() -> None:
    for key in as_dict(READY)["plans"][0]["passes"][0]:
        answer = as_dict(READY)
        del answer["plans"][0]["passes"][0][key]
        with pytest.raises(jsonschema.ValidationError, match="is a required property"):
            SCHEMA.validate(answer)


def test_the_schema_knows_every_rule() -> None:
    refused = SCHEMA.schema["properties"]["refusals"]["items"]["properties"]["rule"]["enum"]

    assert refused == [rule.value for rule in Rule]


def test_figures_that_follow_from_teeth_or_pitch_are_null_where_those_are_not_known() -> None:
    whole = as_dict(NOT_KNOWN)

    SCHEMA.validate(whole)
    for one in whole["plans"][0]["passes"]:
        assert one["first_bite_nm"] is not None
        left = ("largest_bite_nm", "teeth_cutting", "teeth_in_cut", "force_low_n", "force_high_n")
        assert {one[name] for name in left} == {None}


def test_forces_are_newtons_to_three_decimals_and_null_without_a_material() -> None:
    first, second = as_dict(READY)["plans"]

    assert first["passes"][0]["force_high_n"] == 6543.211
    assert second["passes"][0]["force_high_n"] is None
