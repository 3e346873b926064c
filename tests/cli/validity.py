"""The schemas that answers for other programs keep to. That they are schemas is asked once, for it costs most."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

SCHEMAS = Path(__file__).parent / "schemas"


@cache
def schema(name: str) -> Draft202012Validator:
    """A schema by the name of its answer; its ``validate`` raises what an answer does not keep to."""
    return Draft202012Validator(json.loads((SCHEMAS / f"{name}.schema.json").read_text()))


def valid(output: str, name: str) -> Any:
    """The answer that was printed, once it keeps to its schema."""
    answer = json.loads(output)
    schema(name).validate(answer)
    return answer
