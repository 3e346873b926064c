"""What is left after a reading, at the command line: words, JSON, exit codes; how to gauge; who has what."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from broachplan.errors import ExitCode
from tests.cli.conftest import Ran, Run
from tests.cli.validity import schema

HUB = ("--bore", "1 in +0.001 -0", "--hub-length", "1-1/8 in", "--material", "mild steel")
PAIR = ("--broach", "BR-0250-A", "--bushing", "GU-1000-0250-A")
INCH = 25_400_000
# Web 0.4193, height over the last tooth 0.6056: no shim reads 1.0249, SH-0250-02 of 0.0470 makes 1.0719.
Asked = Callable[..., Ran]


@pytest.fixture
def asked(run_here: Run, monkeypatch: pytest.MonkeyPatch, home: Path, demo_crib: bytes) -> Asked:
    """``plan`` of the demo's everyday hub with its pair; the demo toolroom is the crib."""
    crib = home / "crib.db"
    crib.write_bytes(demo_crib)
    monkeypatch.setenv("BROACHPLAN_DB", str(crib))

    def ask(*arguments: str, hub: tuple[str, ...] = (*HUB, *PAIR)) -> Ran:
        return run_here("plan", *hub, *arguments)

    return ask


def answer(ran: Ran) -> Any:
    found = json.loads(ran.stdout)
    schema("plan").validate(found)
    return found


def test_a_reading_short_of_the_limits_leaves_passes_and_says_what_it_means(asked: Asked) -> None:
    ran = asked("--last-shims", "SH-0250-02", "--measured", "1.0739 in", "--json")

    found = answer(ran)
    assert (ran.returncode, found["verdict"]) == (ExitCode.DONE, "ready")
    after = found["after"]
    assert (after["outcome"], after["doubtful"], after["reads_as"]) == ("short", False, [])
    assert after["offset_nm"] == after["top_nm"] - after["plain_nm"] == INCH * 20 // 10_000
    (plan,) = found["plans"]
    assert [one["number"] for one in plan["passes"]] == [1]
    limits = found["keyway"]["reading_lower_nm"], found["keyway"]["reading_upper_nm"]
    assert limits[0] <= plan["reading_nm"] <= limits[1]

    words = " ".join(asked("--last-shims", "SH-0250-02", "--measured", "1.0739 in").stdout.split())
    assert (
        "after SH-0250-02 it reads 1.0739 in: 0.0020 in deep; as planned (SH-0250-01 + SH-0250-02)" in words
    )


def test_nothing_is_left_to_do_within_the_limits(asked: Asked) -> None:
    ran = asked("--last-shims", "SH-0250-02,SH-0250-01", "--measured", "1.119 in", "--json")

    found = answer(ran)
    assert (ran.returncode, found["verdict"], found["after"]["outcome"]) == (0, "ready", "within")
    (plan,) = found["plans"]
    assert (plan["passes"], plan["reading_nm"]) == ([], 28_422_600)
    assert (plan["reading_low_nm"], plan["reading_high_nm"]) == (28_412_600, 28_432_600)
    assert found["after"]["push_again"] is None


def test_a_bore_without_limits_is_said_to_be_taken_as_exact_after_a_reading_too(asked: Asked) -> None:
    exact = ("--bore", "1 in", *HUB[2:], *PAIR)
    found = answer(
        asked("--last-shims", "SH-0250-02,SH-0250-01", "--measured", "1.119 in", "--json", hub=exact)
    )

    assert "the bore was given without limits and is taken as exact" in found["notes"]


def test_past_the_limit_there_is_no_plan_and_exit_three(asked: Asked) -> None:
    ran = asked("--last-shims", "SH-0250-02,SH-0250-01", "--measured", "1.1245 in", "--json")

    found = answer(ran)
    assert (ran.returncode, found["verdict"], found["plans"]) == (ExitCode.NO, "blocked", [])
    assert found["after"]["outcome"] == "past"
    (refusal,) = found["refusals"]
    assert (refusal["rule"], refusal["count"]) == ("reading", 1)
    assert "more air over the key" in refusal["nearest"][0]["text"]
    words = asked("--last-shims", "SH-0250-02,SH-0250-01", "--measured", "1.1245 in")
    assert words.stdout.startswith("NO PLAN: the keyway is past its limit.")


def test_two_ends_give_an_offset_each(asked: Asked) -> None:
    found = answer(
        asked("--last-shims", "SH-0250-02", "--top", "1.0739 in", "--bottom", "1.0729 in", "--json")
    )

    after = found["after"]
    assert after["offset_top_nm"] - after["offset_bottom_nm"] == INCH // 1000
    assert after["offset_nm"] * 2 == after["offset_top_nm"] + after["offset_bottom_nm"]


def test_an_empty_list_of_shims_is_no_shim(asked: Asked) -> None:
    for nothing in ("", "none"):
        found = answer(asked("--last-shims", nothing, "--measured", "1.0255 in", "--json"))

        assert found["after"]["shims"] == []
        assert found["after"]["plain_nm"] == 26_032_460


def test_a_doubtful_reading_names_the_shims_that_it_reads_like(asked: Asked) -> None:
    found = answer(asked("--last-shims", "SH-0250-02", "--measured", "1.026 in", "--json"))

    assert found["after"]["doubtful"]
    assert found["after"]["reads_as"][0] == []
    words = " ".join(asked("--last-shims", "SH-0250-02", "--measured", "1.026 in").stdout.split())
    assert "gauge again and look at the shims" in words


def test_a_shallow_reading_offers_a_second_push_of_the_same_shims_first(asked: Asked) -> None:
    found = answer(asked("--last-shims", "SH-0250-02", "--measured", "1.0714 in", "--json"))

    again = found["after"]["push_again"]
    assert (again["from_nm"], again["to_nm"]) == (27_213_560, found["after"]["plain_nm"])
    words = asked("--last-shims", "SH-0250-02", "--measured", "1.0714 in").stdout
    assert "push the same shims once more" in words


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--measured", "0.9 in"), "more than the bore"),
        (("--measured", "1.3 in", "--last-shims", "SH-0250-02"), "the thickest stack the crib has"),
        (("--measured", "1.06 in", "--last-shims", "SH-0250-02", "--before", "1.07 in"), "takes metal away"),
        (("--measured", "1.07 in", "--top", "1.07 in"), "not both"),
        (("--top", "1.07 in"), "type both"),
        (("--measured", "1.07"), "without a unit"),
        (("--last-shims", "SH-0250-02"), "it goes with a reading"),
        (("--before", "1.07 in"), "it goes with a reading"),
        (("--measured", "1.07 in", "--last-shims", "SH-9"), "no shim of the crib has this tag"),
        (("--measured", "1.07 in", "--last-shims", "BR-0250-A"), "no shim of the crib has this tag"),
        (("--measured", "1.07 in", "--last-shims", "SH-0250-02,SH-0250-02"), "each tag once"),
        (("--measured", "1.119 in", "--last-shims", "SH-0250-01,SH-0250-02", "--press", "PR-9"), "PR-WREN"),
        (
            ("--measured", "1.119 in", "--last-shims", "SH-0250-01,SH-0250-02", "--why", "X-9"),
            "write all, or",
        ),
        (("--measured", "1.07 in", "--way", "block"), "type the height of the block"),
        (("--measured", "0.1 in", "--way", "wall"), "measure the bore"),
        (("--measured", "1.07 in", "--way", "outside"), "write inside, block, wall, floor"),
    ],
)
def test_what_cannot_be_read_or_cannot_be_is_one_line_and_exit_two(
    asked: Asked, arguments: tuple[str, ...], message: str
) -> None:
    ran = asked(*arguments, "--json")

    assert (ran.returncode, ran.stdout) == (ExitCode.BAD_INPUT, "")
    assert message in ran.stderr
    assert len(ran.stderr.splitlines()) == 1


@pytest.mark.parametrize(
    ("named", "message"),
    [
        (("--bushing", "GU-1000-0250-A"), "name the broach too"),
        (("--broach", "BR-0250-A"), "name the bushing too"),
        (("--broach", "BR-9", "--bushing", "GU-1000-0250-A"), "no broach of the crib has this tag"),
        (("--broach", "BR-0250-A", "--bushing", "BR-0250-A"), "no bushing of the crib has this tag"),
    ],
)
def test_a_reading_is_compared_with_pieces_that_are_named_and_there(
    asked: Asked, named: tuple[str, ...], message: str
) -> None:
    ran = asked("--measured", "1.0739 in", hub=(*HUB, *named))

    assert (ran.returncode, ran.stdout) == (ExitCode.BAD_INPUT, "")
    assert message in ran.stderr


def test_a_pair_that_is_named_is_the_only_one_planned_with(asked: Asked) -> None:
    named = answer(asked("--json"))

    assert [(one["broach"], one["bushing"]) for one in named["plans"]] == [("BR-0250-A", "GU-1000-0250-A")]
    assert named["more_pairs"] == 0
    assert "after" not in named


def test_what_is_lent_to_the_one_who_asks_counts_as_on_the_shelf(asked: Asked, run_here: Run) -> None:
    run_here("crib", "lend", "BR-0250-A", "--to", "Kim")
    reading = ("--last-shims", "SH-0250-02", "--measured", "1.0739 in", "--json")

    other, mine = answer(asked(*reading)), answer(asked(*reading, "--by", "kim"))

    assert [one["rule"] for one in other["refusals"]] == ["on_shelf"]
    assert other["after"] == mine["after"] | {"planned": []}
    assert mine["plans"]


# -- how to gauge ------------------------------------------------------------------------------------------------------


def test_the_same_keyway_read_in_four_ways_is_the_same_t(asked: Asked) -> None:
    # T 1.0739 in: 0.8239 over a block of 0.25; with the bore 1.0005 in and a broach of 0.2508 in the corner lies at
    # (1.0005 + sqrt(1.0005^2 - 0.2508^2)) / 2 = 0.984528 in; floor to floor with 1.1191 opposite 1.1925.
    bore = ("--bore-is", "1.0005 in")
    inside = answer(asked("--last-shims", "SH-0250-02", "--measured", "1.0739 in", "--json", *bore))
    others = {
        "block": ("--measured", "0.8239 in", "--block", "0.25 in"),
        "wall": ("--measured", "0.089372 in"),
        "floor": ("--measured", "1.1925 in", "--other-reading", "1.1191 in"),
    }
    for way, typed in others.items():
        found = answer(asked("--last-shims", "SH-0250-02", "--way", way, *typed, "--json", *bore))

        assert found["after"]["top_nm"] == pytest.approx(inside["after"]["top_nm"], abs=30)
        reads, plan = found["gauging"]["reads_nm"][-1], found["plans"][0]
        assert reads == plan["passes"][-1]["reading_nm"] - found["gauging"]["less_nm"]


def test_a_plan_says_how_to_gauge_and_when_not_yet(asked: Asked) -> None:
    words = " ".join(asked("--full").stdout.split())

    assert "How to gauge" in words
    assert "Inside, with a ball or a knife edge: 1.1188 in after the last pass." in words
    assert "Depth at the side wall: only with the bore measured" in words
    with_bore = " ".join(
        asked("--full", "--bore-is", "1.0005 in", "--way", "block", "--block", "0.25 in").stdout.split()
    )
    assert "By the way block the gauge reads 0.2500 in less than T: pass 1 0.7749 in" in with_bore
    assert "Depth at the side wall: 0.1343 in, with the bore as it was measured." in with_bore
