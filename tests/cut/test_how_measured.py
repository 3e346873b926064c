"""How far a figure may be off by how it was measured."""

from __future__ import annotations

from dataclasses import replace

import pytest

from broachplan.cut.how_measured import within
from broachplan.lengths import Length
from broachplan.settings import Settings

SHOP = Settings()
UM = 1_000


@pytest.mark.parametrize(
    ("words", "um"),
    [
        ("micrometer", 5),
        ("Micrometer 0-25, no. 7", 5),
        ("HEIGHT GAUGE", 20),
        ("height  gauge on the granite", 20),
        ("digital caliper", 30),
        ("calipers", 30),
        ("", 50),
        ("   ", 50),
        ("rule", 50),
        ("nominal", 50),
        ("gauge of some height", 50),
        # The word that comes first counts, whichever is the better.
        ("caliper, checked with a micrometer", 30),
        ("micrometer, and caliper for the length", 5),
        ("height gauge, caliper", 20),
    ],
)
def test_the_known_word_that_comes_first_says_how_far_a_figure_may_be_off(words: str, um: int) -> None:
    assert within(words, None, SHOP).nm == um * UM


def test_what_is_kept_with_the_piece_goes_before_any_word() -> None:
    found = within("caliper", Length(1_234), SHOP)

    assert found == (1_234, "as measured, kept with the piece")


def test_a_figure_from_memory_says_so_and_the_shop_s_own_says_that() -> None:
    assert (
        within("Micrometer", None, SHOP).source == "measured with a micrometer: error_micrometer, from memory"
    )
    assert "not known: error_nominal, from memory" in within("", None, SHOP).source
    assert within("feel", None, SHOP).source == "measured with feel: error_nominal, from memory"
    own = replace(SHOP, error_caliper=Length(25_000))
    assert within("caliper", None, own) == (25_000, "measured with a caliper: error_caliper, set by the shop")
