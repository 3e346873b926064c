"""What a face shows as a limit, typed back as a reading, is within; whichever shaft, standard, unit and gauge place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest

from broachplan.cli.layout import sheet_lines
from broachplan.keyways.milling_card import State
from broachplan.lengths import Length, Units, parse_length, write_exact
from broachplan.questions.hub import PlanRequest
from broachplan.questions.read_hub import read_hub_question
from broachplan.questions.read_joint import read_joint
from broachplan.questions.read_keyseat import read_card
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion
from broachplan.sheets.answer import keyway_points
from broachplan.sheets.joint import joint_sheet
from broachplan.sheets.milling import milling_sheet
from broachplan.standards.inch_keys import inch_keys
from broachplan.standards.metric_keys import metric_keys
from broachplan.standards.woodruff import inch_woodruffs, metric_woodruffs
from tui.sheet import sheet_text

# What a gauge resolves: a tenth of a thou, or a micrometre.
STEP = {Units.INCH: Length.inches("0.0001"), Units.MM: Length.mm("0.001")}
# The room for figures on a screen of 80 columns.
NARROW = 41
LIMITS = re.compile(r"(-?[\d.]+) to (-?[\d.]+) (in|mm)")


def seats() -> Iterator[KeyseatQuestion]:
    """A shaft from the middle of each row of every standard's table, at a size nobody would choose."""
    for inch in inch_keys():
        yield KeyseatQuestion(
            shaft=write_exact(Length((inch.shaft_over.nm + 2 * inch.shaft_to.nm) // 3)), standard="inch"
        )
    for metric in metric_keys():
        yield KeyseatQuestion(
            shaft=write_exact(Length((metric.shaft_over.nm + 2 * metric.shaft_to.nm) // 3)), standard="metric"
        )
    for number in ("204", "608", "1212"):
        yield KeyseatQuestion(shaft="1-1/16 in", number=number)


SEATS = tuple(seats())


def shown(lines: list[str], name: str, nth: int = 0) -> tuple[str, str]:
    """The limits in the row of that name, or in the one below where there is no room, with their unit."""
    rows = [place for place, line in enumerate(lines) if line.strip().startswith(f"{name} ")]
    found = LIMITS.search(" ".join(lines[rows[nth] : rows[nth] + 2]))
    assert found, lines
    return f"{found[1]} {found[3]}", f"{found[2]} {found[3]}"


def state(question: KeyseatQuestion, reading: str, over: str, key_height: str = "") -> State:
    after = read_card(replace(question, measured=reading, measured_over=over, key_height=key_height)).after
    assert after is not None
    return after.state


def test_every_table_is_tried() -> None:
    assert len(SEATS) == len(inch_keys()) + len(metric_keys()) + 3
    assert len(inch_keys()) >= 20
    assert inch_woodruffs()
    assert metric_woodruffs()


@pytest.mark.parametrize(
    "question", SEATS, ids=lambda question: f"{question.standard}{question.shaft}{question.number}"
)
def test_a_reading_at_a_shown_limit_is_within_and_one_beyond_is_not(question: KeyseatQuestion) -> None:
    card = read_card(question)
    lines = sheet_lines(milling_sheet(card))
    units = Units.MM if question.standard == "metric" else Units.INCH
    key_height = write_exact(card.key_height)
    screen = sheet_text(milling_sheet(card, units), NARROW).plain.splitlines()

    for lower, upper in (shown(lines, "limits", 2), shown(screen, "floor")):
        assert state(question, lower, "floor") is state(question, upper, "floor") is State.WITHIN
        assert state(question, write_exact(parse_length(lower) - STEP[units]), "floor") is State.PAST
        assert state(question, write_exact(parse_length(upper) + STEP[units]), "floor") is State.SHORT
    for lower, upper in (shown(lines, "limits", 1), shown(screen, "over key")):
        for known in ("", key_height):
            assert (
                state(question, lower, "key", known) is state(question, upper, "key", known) is State.WITHIN
            )
        below = write_exact(parse_length(lower) - STEP[units])
        assert state(question, below, "key", key_height) is State.PAST
        # The key may be a low one, and then the seat is not too deep.
        assert state(question, below, "key") is State.UNSURE


@pytest.mark.parametrize(
    "question", SEATS[::3], ids=lambda question: f"{question.standard}{question.shaft}{question.number}"
)
def test_what_is_still_to_take_off_at_least_and_at_most_ends_within(question: KeyseatQuestion) -> None:
    card = read_card(question)
    reads = card.floor.upper + Length(1_234_567)
    lines = sheet_lines(
        milling_sheet(read_card(replace(question, measured=write_exact(reads), measured_over="floor")))
    )

    for name in ("at least", "at most"):
        (taken,) = (line.split(name)[1].strip() for line in lines if line.strip().startswith(name))
        assert reads - parse_length(taken) in card.floor


@pytest.mark.parametrize(
    "question", SEATS, ids=lambda question: f"{question.standard}{question.shaft}{question.number}"
)
def test_the_limits_of_a_fit_hold_every_size_typed_as_they_are_shown(question: KeyseatQuestion) -> None:
    joint = read_joint(
        JointQuestion(shaft=question.shaft, standard=question.standard, number=question.number)
    )
    units = Units.MM if question.standard == "metric" else Units.INCH
    lines = sheet_lines(joint_sheet(joint))
    screen = sheet_text(joint_sheet(joint, units), NARROW).plain.splitlines()

    for found, limits in (
        (shown(lines, "limits", 0), joint.shaft.reading),
        (shown(lines, "limits", 1), joint.hub.reading),
        (shown(lines, "limits", 2), joint.over_key_limits),
        (shown(lines, "keyway width"), joint.hub.width),
        (shown(lines, "keyseat width"), joint.shaft.width),
        (shown(screen, "S"), joint.shaft.reading),
        (shown(screen, "T"), joint.hub.reading),
        (shown(screen, "over key"), joint.over_key_limits),
    ):
        assert all(parse_length(text) in limits for text in found), found


@pytest.mark.parametrize("bore", ["1-1/16 in", "25 mm", "31.7 mm", "0.9371 in"])
@pytest.mark.parametrize("units", [Units.INCH, Units.MM])
def test_an_aim_typed_as_a_shown_limit_of_the_reading_is_taken(bore: str, units: Units) -> None:
    hub = PlanRequest(bore=bore, hub_length="1 in")
    _, keyway = read_hub_question(hub)[:2]
    (line,) = (line for line in keyway_points(keyway, units) if line.startswith("T "))

    for text in shown([line], "T"):
        read_hub_question(replace(hub, aim=text))


def test_a_metric_keyway_with_an_odd_grade_is_shown_to_half_a_micrometre() -> None:
    """ISO 773 takes JS9 for the hub: 43 micrometres at 12 mm (ISO 286-2, IT9 of 10 to 18 mm), so 21.5 to each side."""
    joint = read_joint(JointQuestion(shaft="40 mm"))

    assert shown(sheet_lines(joint_sheet(joint)), "keyway width") == ("11.9785 mm", "12.0215 mm")


def test_a_seat_past_its_limits_by_next_to_nothing_is_never_said_to_be_past_by_nothing() -> None:
    question = SEATS[3]
    past = write_exact(read_card(question).floor.lower - Length(100))
    (line,) = (
        line
        for line in sheet_lines(
            milling_sheet(read_card(replace(question, measured=past, measured_over="floor")))
        )
        if line.startswith("PAST")
    )

    assert "0.000004 in too deep" in line


def test_over_a_key_that_nobody_measured_the_answer_is_to_measure_it() -> None:
    question = replace(SEATS[3], measured_over="key")
    card = read_card(question if not question.measured_over else replace(question, measured_over=""))
    deep = write_exact(card.over_key.lower - Length.inches("0.0007"))
    within = write_exact(card.over_key.lower)

    reported = sheet_lines(milling_sheet(read_card(replace(question, measured=deep))))
    screen = " ".join(
        sheet_text(milling_sheet(read_card(replace(question, measured=deep))), NARROW).plain.split()
    )
    done = sheet_lines(milling_sheet(read_card(replace(question, measured=within))))

    assert any(line.startswith("CANNOT TELL: ") for line in reported)
    assert "  Measure the key and give its height, or measure over the floor." in reported
    assert "Measure the key and give its height, or measure over the floor." in screen
    assert not any("PAST" in line for line in (*reported, screen))
    assert any(line.strip().startswith("That is for a key ") for line in done)
    assert max(map(len, (*reported, *done))) <= 80
