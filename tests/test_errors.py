"""Errors: one tree, one exit code each, and quotes that cannot harm a terminal."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.errors import (
    BroachplanError,
    CribStateError,
    ExitCode,
    InputError,
    StorageError,
    quoted,
)

# Control, format (bidi marks, joiners, soft hyphen), surrogate, private, unassigned, line and paragraph separators.
# What has no meaning yet is shown as a terminal has it: which characters those are changes with every Unicode.
UNSEEN = {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}


@pytest.mark.parametrize(
    ("error", "code"), [(BroachplanError, 1), (InputError, 2), (StorageError, 4), (CribStateError, 5)]
)
def test_each_error_knows_what_its_command_exits_with(error: type[BroachplanError], code: int) -> None:
    assert error("one line").code == code
    assert issubclass(error, BroachplanError)


def test_exit_codes_are_the_six_of_the_contract() -> None:
    assert {code.name: code.value for code in ExitCode} == {
        "DONE": 0, "OUR_FAULT": 1, "BAD_INPUT": 2, "NO": 3, "STORAGE": 4, "STATE": 5,
    }  # fmt: skip


@given(st.text(st.characters(min_codepoint=0x20, max_codepoint=0x7E), max_size=40))
def test_plain_text_is_quoted_as_it_was_typed(text: str) -> None:
    assert quoted(text) == f"“{text}”"


@given(st.text(max_size=200))
def test_a_quote_is_one_line_without_anything_hidden(text: str) -> None:
    shown = quoted(text)

    assert len(shown.splitlines()) == 1
    assert [hex(ord(sign)) for sign in shown if unicodedata.category(sign) in UNSEEN] == []


@pytest.mark.parametrize("sign", ["½", "″", "±", "é", "µ", "Ø", "⅞", "²", "Ω", "–"])
def test_signs_of_the_trade_are_shown_as_they_are(sign: str) -> None:
    assert quoted(sign) == f"“{sign}”"


@pytest.mark.parametrize(
    "code",
    [0x00, 0x07, 0x09, 0x0A, 0x1B, 0x7F, 0x85, 0xA0, 0xAD, 0x200B, 0x200F, 0x2028, 0x202E, 0x2066, 0xFEFF],
)
def test_a_hidden_character_is_shown_by_its_number(code: int) -> None:
    assert quoted(f"a{chr(code)}b") == f"“a\\u{code:04x}b”"


def test_forty_signs_are_shown_whole_and_of_more_the_first_thirty_nine_with_the_count() -> None:
    assert quoted("9" * 40) == f"“{'9' * 40}”"
    assert quoted("9" * 41) == f"“{'9' * 39}…” (41 characters)"
    assert quoted("9" * 5000) == f"“{'9' * 39}…” (5000 characters)"
    assert quoted("abcdef", most=4) == "“abc…” (6 characters)"


def test_wrong_input_carries_its_facts_and_builds_its_sentence_from_them() -> None:
    typed = InputError("bore", "write a number and its unit", read="9/16", fault="without a unit")
    shown = InputError("step", "that would be 2000 passes", shown="0.0001 in")
    where = InputError("tag", "the nearest: B-250", read="B-2", fault=": no such tag")

    assert (typed.field, typed.read, typed.right) == ("bore", "9/16", "write a number and its unit")
    assert str(typed) == "bore: read “9/16” without a unit; write a number and its unit"
    assert typed.said == "read “9/16” without a unit; write a number and its unit"
    assert str(shown) == "step: read 0.0001 in; that would be 2000 passes"
    assert str(where) == "tag: read “B-2”: no such tag; the nearest: B-250"
    assert str(InputError("", "name one piece")) == "name one piece"
