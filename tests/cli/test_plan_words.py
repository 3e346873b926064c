"""The plan in words: what a machinist must find in it, and that it fits a terminal."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.lengths import Units
from broachplan.planner.answer import Answer, Make, Rule
from broachplan.settings import Settings
from broachplan.tooling.figures import Kind
from broachplan.tooling.materials import find_material
from broachplan.tooling.pieces import Press, Shim
from tests.cli.hand_made import BLOCKED, INCH, NOT_KNOWN, READY, SHIMS, a_plan, in_words, one_pass

SAMPLES = pytest.mark.parametrize("answer", [READY, BLOCKED], ids=["ready", "blocked"])


def _text(answer: Answer) -> str:
    return " ".join(" ".join(in_words(answer)).split())


@SAMPLES
@pytest.mark.parametrize("units", list(Units))
def test_no_line_is_wider_than_80_columns(answer: Answer, units: Units) -> None:
    lines = in_words(replace(answer, settings=Settings(units=units)))

    assert max(map(len, lines)) <= 80


@given(st.lists(st.integers(1, 40), min_size=1, max_size=6))
def test_tags_of_any_length_stay_whole_within_80_columns(sizes: list[int]) -> None:
    stack = tuple(Shim(tag=f"{n}{'x' * size}"[:40], thickness=INCH("0.01")) for n, size in enumerate(sizes))
    lines = in_words(replace(READY, plans=(a_plan(one_pass(1, stack, "1.5455")),)))

    assert max(map(len, lines)) <= 80
    words = {word.rstrip(",") for line in lines for word in line.split()}
    assert all(shim.tag in words for shim in stack)


def test_the_first_line_names_the_broach_the_bushing_and_the_press() -> None:
    assert in_words(READY)[0] == "READY: 3 passes, KB-375 in GB-1375 on press P-3."


def test_a_blocked_hub_says_so_first_and_gives_no_advice_for_the_press() -> None:
    text = _text(BLOCKED)

    assert text.startswith("NO PLAN")
    assert "At the press" not in text


def test_a_row_of_the_table_shows_shims_total_reading_bite_teeth_and_load() -> None:
    row = next(line for line in in_words(READY) if line.startswith("     2"))

    assert " ".join(row.split()) == "2 S-062 0.0620 1.4365 0.0031, 0.0040 12 674-1,471"


def test_a_reading_not_past_the_bore_cannot_be_gauged() -> None:
    lines = in_words(READY)
    row = next(line for line in lines if line.startswith("     1"))

    assert "not yet" in row
    assert "1.3745" not in row
    assert any(line.startswith("  - Not yet after pass 1: ") for line in lines)


def test_a_first_tooth_that_cuts_nothing_is_clear() -> None:
    above = replace(one_pass(1, SHIMS, "1.5455"), first_bite=INCH(0))

    assert re.search(r" clear, ", _text(replace(READY, plans=(a_plan(above),))))
    assert not re.search(r" clear, ", _text(READY))


def test_where_every_reading_can_be_gauged_nothing_is_said_of_waiting() -> None:
    answer = replace(READY, plans=(a_plan(one_pass(1, SHIMS, "1.5455")),))

    assert "not yet" not in _text(answer).lower()


def test_the_share_of_the_press_is_that_of_the_high_force() -> None:
    # 6543.2 N of 30 000 N.
    assert "the peak takes 22% of it" in _text(READY)


def test_without_a_material_the_load_is_not_known() -> None:
    answer = replace(READY, hub=replace(READY.hub, material=None), plans=READY.plans[1:])
    text = _text(answer)

    assert "not known" in text
    assert "material not named" in text


def test_what_follows_from_figures_that_nobody_measured_is_a_dash_with_words() -> None:
    text = _text(NOT_KNOWN)
    row = next(line for line in in_words(NOT_KNOWN) if line.startswith("     2"))

    assert " ".join(row.split()) == "2 S-062 0.0620 1.4365 0.0031, - - not known"
    assert (
        "Not known for KB-375 (-): the largest cut of a tooth, the teeth cutting, the teeth in the cut at once, "
        "the load; its teeth were not counted and its tooth pitch was not measured."
    ) in text
    assert "in the cut at once." not in text
    assert text.startswith(
        "READY: 3 passes, KB-375 in GB-1375. The press was not checked: the load of KB-375 is not known."
    )
    assert "Not known" not in _text(READY)


def test_a_press_whose_rated_force_is_not_known_was_not_checked() -> None:
    unrated = replace(READY, plans=(replace(READY.plans[0], press=Press(tag="P-9")),))
    none = replace(READY, plans=(replace(READY.plans[0], press=None),))

    assert "on press P-9. The press was not checked: the rated force of P-9 is not known." in _text(unrated)
    assert "The press was not checked: there is none with a rated force." in _text(none)
    assert "not checked: the" not in _text(READY)


def test_figures_from_memory_are_marked() -> None:
    text = _text(READY)

    assert "FROM MEMORY: ASME B17.1, key size by shaft diameter; check it against the drawing" in text
    assert "high force: a handbook remembered, from memory, times 1.3 for a dulled edge" in text
    assert "low force: a course's worked answer - high force" in text


def test_figures_that_were_read_are_not_marked_as_memory() -> None:
    answer = replace(READY, keyway=replace(READY.keyway, status="read"))

    assert "FROM MEMORY: ASME" not in _text(answer)


def test_a_blocked_hub_whose_key_is_not_the_table_s_says_so() -> None:
    shown = "the table's key for this bore is 5/16 in"

    assert shown in _text(replace(READY, plans=()))
    assert shown not in _text(READY)  # the plan's own caution says it


def test_a_bore_without_limits_is_said_to_be_taken_as_exact() -> None:
    assert "taken as exact" in _text(BLOCKED)
    assert "taken as exact" not in _text(READY)


def test_cautions_tips_refusals_and_notes_are_shown() -> None:
    text = _text(READY)

    assert "- the broach carries 2.6 times the load" in text
    assert "a shim of 0.0940 in would save a pass" in text
    assert "width (5): the broach must cut the keyway's width" in text
    assert "KB-375 in GB-1374: the nearest stack reads 1.5200 in" in text
    assert "- and 2 more" in text
    assert "Why the others are refused (--why TAG or --why all shows the rest)" in text
    assert "hub diameter not given: throat was not checked" in _text(BLOCKED)


def test_what_to_make_is_shown_with_its_limits() -> None:
    lines = [" ".join(line.split()) for line in in_words(BLOCKED)]

    assert "- bushing: turn and slot a guide bushing" in lines
    assert "outside diameter 24.975 mm (24.924 to 24.987 mm)" in lines
    assert "web 2.500 mm" in lines
    assert "slot width 8.000 to 8.100 mm" in lines


def test_a_broach_to_look_for_has_its_teeth_counted() -> None:
    make = Make(Kind.BROACH, {}, {}, "look for a broach", rising_teeth=15)

    assert "rising teeth 15" in [" ".join(line.split()) for line in in_words(replace(BLOCKED, make=(make,)))]


def test_every_rule_has_its_words() -> None:
    for rule in Rule:
        refused = replace(READY.refusals[0], rule=rule)
        assert f"{rule.value.replace('_', ' ')} (5): " in _text(replace(READY, refusals=(refused,)))


def test_pairs_that_were_not_worked_out_are_counted_and_how_to_have_them_is_said() -> None:
    text = _text(replace(READY, plans=READY.plans[:1] + READY.plans[1:] * 11, more_pairs=3))

    assert text.count("KB-376 GB-1375") == 11
    assert "and 3 more; --plans all works them out too" in text
    assert "more; --plans" not in _text(READY)


def test_a_hub_that_is_done_after_a_reading_has_nothing_left_to_do() -> None:
    text = _text(replace(READY, plans=(a_plan(),)))

    assert text.startswith("READY: the keyway is inside its limits, nothing is left to do.")
    assert "At the press" not in text


def test_the_work_s_cautions_defer_to_local_rules_and_the_responsible_person() -> None:
    assert "The local code and the responsible person of your shop decide, not a program." in _text(READY)


def test_without_a_material_the_first_lines_say_that_the_press_was_not_checked() -> None:
    unnamed = replace(READY, hub=replace(READY.hub, material=None))
    named = replace(READY, hub=replace(READY.hub, material=find_material("mild steel")))

    assert "The press was not checked: no material was named." in " ".join(
        " ".join(in_words(unnamed)[:2]).split()
    )
    assert "press was not checked" not in " ".join(in_words(named))


def test_how_sure_the_reading_is_has_a_part_of_its_own_behind_the_cautions() -> None:
    lines = in_words(READY)

    heads = [lines.index(head) for head in ("Cautions", "How sure the reading is", "Worth knowing")]
    assert heads == sorted(heads)
    assert not any("spread" in line for line in lines[: heads[1]])
    whole = " ".join(" ".join(lines).split())
    assert "height over the last tooth of broach KB-375: ± 0.0008 in, 97% of the spread" in whole
    assert "The last reading comes out at 1.5451 to 1.5483 in, 95 times of 100." in whole
    assert "Measure first: the bore; the band is then 0.0027 in wide, not 0.0032 in." in whole


def test_a_bore_that_was_measured_is_shown_beside_its_limits() -> None:
    measured = replace(READY, hub=replace(READY.hub, bore_measured=INCH("1.3754")))

    assert "measured 1.3754 in" in " ".join(" ".join(in_words(measured)).split())
