"""The settings, shown with their meaning and source, and changed."""

from __future__ import annotations

import json

from broachplan.cli.settings import as_dict, in_words
from broachplan.errors import ExitCode
from broachplan.settings import NAMES, Settings, changed, written
from tests.cli.conftest import Run


def test_every_setting_is_shown_with_value_meaning_and_source() -> None:
    rows = as_dict(Settings())["settings"]

    assert [row["name"] for row in rows] == list(NAMES)
    assert all(row["value"] and row["about"] and row["source"] for row in rows)


def test_a_changed_setting_says_what_the_default_is_and_where_that_comes_from() -> None:
    rows = as_dict(changed(Settings(), "press_share", "0.6"))["settings"]
    row = next(row for row in rows if row["name"] == "press_share")

    assert row["value"] == "3/5"
    assert row["source"] == "set by the shop; 7/10 when not set: from memory"


def test_settings_in_words_fit_80_columns() -> None:
    lines = in_words(changed(Settings(), "wall_least", "1/8 in"))

    assert max(map(len, lines)) <= 80
    blank = lines.index("")
    assert [line.split()[0] for line in lines[:blank] if not line.startswith(" ")] == list(NAMES)


def test_every_constant_that_decides_is_shown_with_its_source_and_status() -> None:
    """What the rules use beside the settings: E, the root's stress, P^2/9, 327 HB, the share of the shear yield, the taper, the thinnest pieces."""
    reported = " ".join(" ".join(in_words(Settings())).split())

    for shown in (
        "column_modulus 207,000 N/mm2", "root_stress 667 N/mm2", "gullet_share P^2/9", "hardness_35_hrc_in_hb 327 HB",
        "key_shear_share 1/2", "key_taper 1/96", "thinnest_web 1/16 in", "thinnest_shim 0.002 in",
    ):  # fmt: skip
        assert shown in reported
    rows = as_dict(Settings())["constants"]
    assert {row["status"] for row in rows} <= {"memory", "read", "ours"}
    assert all(row["about"] and row["source"] and row["value"] for row in rows)
    assert "Shigley uses 0.577" in reported
    assert "St 50-2" in reported


def test_the_share_of_a_press_and_the_chip_factors_are_from_memory() -> None:
    for name in ("press_share", "chip_factor_brittle", "chip_factor_ductile", "column_safety", "column_ends"):
        assert "memory" in next(
            row["source"] for row in as_dict(Settings())["settings"] if row["name"] == name
        )


def test_a_setting_that_was_set_is_shown_from_then_on(run_here: Run) -> None:
    assert run_here("settings", "set", "units", "mm").stdout == "units: mm\n"
    rows = json.loads(run_here("settings", "show", "--json").stdout)["settings"]

    assert rows[0]["value"] == "mm"
    assert rows[1]["value"] == written(Settings(), "bushing_clearance")


def test_an_unknown_setting_is_refused_with_the_names_there_are(run_here: Run) -> None:
    ran = run_here("settings", "set", "colour", "blue")

    assert ran.returncode == ExitCode.BAD_INPUT
    assert ran.stdout == ""
    assert ran.stderr.count("\n") == 1
    assert "bushing_clearance" in ran.stderr
