"""The answer first: what a machinist needs at the press on one screen, and the rest behind --full."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from broachplan.cli.layout import sheet_lines
from broachplan.planner.answer import Answer, Caution, Warn
from broachplan.sheets.answer import plan_sheet
from broachplan.sheets.caution_names import NAMES, caution_names
from broachplan.sheets.result import Detail
from broachplan.tooling.drive import Drive, drive_by_note
from tests.cli.conftest import Run
from tests.cli.hand_made import BLOCKED, READY

# Common practice, no source: a terminal as it comes up.
LINES_OF_A_SCREEN = 24
# What the machinist's desk has beside its form on such a screen, behind the mark.
NAME_AT_MOST = 38
HUB = ("plan", "--bore", "1-1/2 in +0.001 -0", "--key", "3/8 in", "--hub-length", "1-3/4 in")


@pytest.fixture
def demo(home: Path, demo_crib: bytes) -> str:
    """A crib with the demo toolroom in it."""
    crib = home / "crib.db"
    crib.write_bytes(demo_crib)
    return str(crib)


def lines(answer: Answer, detail: Detail) -> list[str]:
    return sheet_lines(plan_sheet(answer, detail=detail))


def test_a_plan_of_four_passes_fits_a_screen_with_its_cautions_by_name(run_here: Run, demo: str) -> None:
    ran = run_here(*HUB, "--material", "grey cast iron", "--db", demo)
    shown = ran.stdout.splitlines()

    assert len(shown) <= LINES_OF_A_SCREEN
    assert "4 passes" in shown[0]
    begun = [line.split()[0] for line in shown if line.startswith("  ") and line.split()]
    in_order = [begun.index(word) for word in ("Bushing", "Broach", "Press", "pass", "4", "-")]
    assert in_order == sorted(in_order)
    assert "  Safety glasses on; hands clear of the ram; never pull a broach back." in shown
    assert "The responsible person decides." in shown[-1]

    full = run_here(*HUB, "--material", "grey cast iron", "--full", "--db", demo).stdout
    for part in (
        "Hub ",
        "Keyway ",
        "How to gauge",
        "Cautions",
        "How sure",
        "Other plans",
        "Notes",
        "At the press",
    ):
        assert part in full
    both = run_here(*HUB, "--full", "--brief", "--db", demo)
    assert (both.returncode, both.stderr) == (2, "broachplan: --brief: name --brief or --full, not both\n")


def test_the_brief_answer_counts_the_cautions_that_it_leaves_out() -> None:
    brief = lines(READY, Detail.BRIEF)

    assert brief[0] == lines(READY, Detail.USUAL)[0]
    assert brief[-1] == "  1 caution: shown without --brief."
    assert "Cautions" not in brief


def test_less_than_everything_still_marks_what_is_from_memory() -> None:
    for detail in (Detail.BRIEF, Detail.USUAL):
        text = " ".join(lines(READY, detail))
        assert "FROM MEMORY: check it" in text
        assert "loads from memory" in text


def test_every_caution_has_a_name_that_fits_beside_the_form() -> None:
    assert set(NAMES) == set(Warn)
    assert {name for name in NAMES.values() if len(name) > NAME_AT_MOST} == set()


def test_what_was_not_checked_is_one_line_with_the_pieces_and_a_doubtful_reading_is_said_in_full() -> None:
    named = caution_names(
        (
            Caution(Warn.NOT_CHECKED, "broach B-1: not checked: the chip"),
            Caution(Warn.NOT_CHECKED, "hub: not checked: the throat"),
            Caution(Warn.READING_DOUBTFUL, "it reads like another stack"),
        )
    )

    assert named == ["not checked: figures of broach B-1, hub", "it reads like another stack"]


@pytest.mark.parametrize(
    ("drive", "said", "not_said"),
    [
        (Drive.HAND, "On a press worked by hand the feel is the only sign of the force", "gauge is the only"),
        (Drive.HYDRAULIC, "A hydraulic ram gives no feel: its gauge is the only sign", "by hand"),
        (Drive.NOT_KNOWN, "On a hydraulic press the gauge is the only sign of the force, on a hand press the feel", "so watch it"),
    ],
)  # fmt: skip
def test_the_caution_about_the_force_suits_the_press_at_hand(drive: Drive, said: str, not_said: str) -> None:
    plan = replace(READY.plans[0], drive=drive)
    text = " ".join(" ".join(lines(replace(READY, plans=(plan,)), Detail.FULL)).split())

    assert said in text
    assert not_said not in text


@pytest.mark.parametrize(
    ("note", "drive"),
    [
        ("bench arbor press; the lever gives the feel", Drive.HAND),
        ("ratchet arbor press", Drive.HAND),
        ("hydraulic frame; watch the gauge", Drive.HYDRAULIC),
        ("hydraulic, with a hand wheel for the start", Drive.NOT_KNOWN),
        ("behind the door", Drive.NOT_KNOWN),
        ("", Drive.NOT_KNOWN),
    ],
)
def test_what_drives_a_press_is_taken_from_its_note(note: str, drive: Drive) -> None:
    assert drive_by_note(note) is drive


def test_a_plan_on_a_press_of_the_crib_knows_what_drives_it(run_here: Run, demo: str) -> None:
    hydraulic = run_here(*HUB, "--press", "PR-BISON", "--material", "mild steel", "--full", "--db", demo)
    by_hand = run_here(*HUB, "--press", "PR-ROOK", "--material", "grey cast iron", "--full", "--db", demo)

    assert "A hydraulic ram gives no feel" in hydraulic.stdout
    assert "On a press worked by hand the feel" in by_hand.stdout


def test_where_there_is_no_plan_what_to_make_comes_before_why() -> None:
    shown = lines(BLOCKED, Detail.USUAL)

    heads = [shown.index(head) for head in ("To make or find",)]
    assert heads[0] < 6
    assert not any(line.startswith("  Hub ") for line in shown)
    assert "--full shows the hub's figures" in " ".join(shown)
