"""Nothing that a terminal obeys leaves the screens."""

from __future__ import annotations

from unicodedata import category

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tui.plain import fitted, plain


@given(st.text())
def test_no_control_bidirectional_or_zero_width_character_is_left(text: str) -> None:
    shown = plain(text)

    assert len(shown) == len(text)
    assert not any(category(character) in ("Cc", "Cf", "Cs", "Zl", "Zp") for character in shown)


@pytest.mark.parametrize(
    "hidden", ["\x1b", "\x07", "\x9b", "\u202e", "\u200b", "\u2066", "\ufeff", "\u3164", "\ufe0f"]
)
def test_a_hidden_character_is_shown_as_a_question_mark(hidden: str) -> None:
    assert plain(f"a{hidden}b") == "a?b"


def test_the_trades_signs_stay_as_they_are() -> None:
    assert plain("⅞ in ±0.001 ″ µm Ø 20° Müller") == "⅞ in ±0.001 ″ µm Ø 20° Müller"


def test_line_ends_become_spaces() -> None:
    assert plain("a\r\nb\tc") == "a  b c"


@given(st.text(max_size=30), st.integers(0, 40), st.booleans())
def test_fitted_text_is_never_wider_than_its_room(text: str, room: int, middle: bool) -> None:
    shown = fitted(text, room, middle=middle)

    assert len(shown) <= room
    assert shown == text or "…" in shown or room == 0


def test_a_tag_is_cut_in_its_middle() -> None:
    assert fitted("GU-1000-0250-A", 9, middle=True) == "GU-1…50-A"


def test_of_several_shims_those_that_fit_are_named_whole() -> None:
    assert fitted("SH-0250-01, SH-0250-02", 14, middle=True) == "SH-0250-01, …"
