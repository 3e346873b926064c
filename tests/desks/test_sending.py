"""Every request is answered by one desk's function, and by no other."""

from __future__ import annotations

import dataclasses
import inspect
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

from broachplan.desks.sending import CHANGES, READS, desk_for

ROOT = Path(__file__).parents[2] / "broachplan"


def requests() -> dict[str, type]:
    """The requests that are declared, by name."""
    found = {}
    for name in (*modules("questions"), *modules("guide")):
        for each in vars(import_module(name)).values():
            if inspect.isclass(each) and each.__module__ == name and each.__name__.endswith("Request"):
                found[each.__name__] = each
    return found


def modules(room: str) -> Iterator[str]:
    for path in sorted((ROOT / room).rglob("*.py")):
        if path.stem != "__init__":
            yield ".".join(("broachplan", *path.relative_to(ROOT).with_suffix("").parts))


def taking(request: str) -> list[Callable[..., Any]]:
    """The functions of the desks that take a database and a request."""
    return [
        each
        for name in modules("desks")
        for each in vars(import_module(name)).values()
        if inspect.isfunction(each)
        and each.__module__ == name
        and not each.__name__.startswith("_")
        and {"str | None", request}
        <= {str(of.annotation) for of in inspect.signature(each).parameters.values()}
    ]


def test_every_request_is_answered_by_just_one_function_of_a_desk() -> None:
    declared = requests()

    assert {*CHANGES, *READS} == set(declared)
    assert not set(CHANGES) & set(READS)
    for name, request in declared.items():
        assert taking(name) == [desk_for(request)], name


def test_a_request_cannot_be_changed_once_it_is_made() -> None:
    for request in requests().values():
        assert request.__dataclass_params__.frozen, request  # type: ignore[attr-defined]
        assert dataclasses.is_dataclass(request)
