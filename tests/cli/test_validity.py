"""The schemas themselves."""

from __future__ import annotations

import pytest

from tests.cli.validity import SCHEMAS, schema


@pytest.mark.parametrize("name", sorted(path.name.partition(".")[0] for path in SCHEMAS.iterdir()))
def test_a_schema_is_one_and_bears_the_name_of_its_answer(name: str) -> None:
    ready = schema(name)

    ready.check_schema(ready.schema)
    assert ready.schema["$schema"] == ready.META_SCHEMA["$id"]
    assert ready.schema["title"].startswith(f"broachplan.{name}/")
