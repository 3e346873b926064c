"""What is typed in millimetres is answered in millimetres, in inches in inches, unless the shop has set its units."""

from __future__ import annotations

import json

import pytest

from tests.cli.conftest import Run

METRIC = ("plan", "--bore", "25 mm +0.021 0", "--hub-length", "40 mm", "--full")
INCH = ("plan", "--bore", "1 in +0.001 0", "--hub-length", "1-1/2 in", "--full")


def shown(run_here: Run, *arguments: str) -> str:
    return " ".join(run_here(*arguments).stdout.split())


@pytest.fixture
def crib(demo_crib: bytes, home: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """The demo toolroom is the crib."""
    (home / "crib.db").write_bytes(demo_crib)  # type: ignore[operator]
    monkeypatch.setenv("BROACHPLAN_DB", "crib.db")


@pytest.mark.usefixtures("crib")
def test_the_bore_decides_what_a_plan_is_shown_in_unless_the_shop_has_set_its_units(run_here: Run) -> None:
    metric, inch = shown(run_here, *METRIC), shown(run_here, *INCH)
    assert "bore 25.000 mm (25.000 to 25.021 mm); 40.000 mm long" in metric
    assert " in;" not in metric
    assert "bore 1.0000 in (1.0000 to 1.0010 in); 1.5000 in long" in inch
    assert " mm" not in inch.partition("Notes")[0]

    numbers = {name: run_here(*METRIC[:-1], "--json").stdout for name in ("as typed",)}
    run_here("settings", "set", "units", "inch")
    assert "bore 0.9843 in" in shown(run_here, *METRIC)
    numbers["inch"] = run_here(*METRIC[:-1], "--json").stdout
    run_here("settings", "set", "units", "mm")
    assert "bore 25.400 mm (25.400 to 25.4254 mm)" in shown(run_here, *INCH)
    assert run_here("settings", "set", "units", "As Typed").stdout == "units: as typed\n"
    assert "bore 25.000 mm" in shown(run_here, *METRIC)

    typed, set_to = (json.loads(text) for text in numbers.values())
    assert typed["keyway"]["reading_nm"] == set_to["keyway"]["reading_nm"]
    assert [one["reading_nm"] for one in typed["plans"]] == [one["reading_nm"] for one in set_to["plans"]]


@pytest.mark.usefixtures("crib")
def test_a_list_has_no_typed_unit_and_is_in_inches_until_the_shop_says_otherwise(run_here: Run) -> None:
    assert "0.8651 in" in run_here("crib", "show", "GU-22M-06M-A").stdout
    run_here("settings", "set", "units", "mm")
    assert " mm" in run_here("crib", "show", "GU-22M-06M-A").stdout


def test_the_shaft_decides_what_key_and_keyseat_are_shown_in(run_here: Run) -> None:
    by_hand = run_here("key", "--shaft", "30 mm", "--standard", "inch").stdout
    assert "mm (" in by_hand
    assert "mm" in run_here("keyseat", "--shaft", "30 mm", "--standard", "inch", "--cutter", "6 mm").stdout
    assert " in (" in run_here("key", "--shaft", "1-3/16 in", "--standard", "metric").stdout
