"""The shop's own words for lending, returning and the crib: in what people read, never in commands, names or quotations."""

from __future__ import annotations

import pytest

from broachplan.sheets.result import ResultSheet, Sentence, SheetBlock, in_words_of
from broachplan.shop_words import CribWord, LendWord, ReturnWord, ShopWords

US = ShopWords(LendWord.CHECK_OUT, ReturnWord.CHECK_IN, CribWord.TOOL_CRIB)
UK = ShopWords(LendWord.BOOK_OUT, ReturnWord.BOOK_IN, CribWord.STORES)


@pytest.mark.parametrize(
    ("words", "text", "said"),
    [
        (US, "S-1 lent to Kim since 2031-05-02", "S-1 checked out to Kim since 2031-05-02"),
        (UK, "S-1 is back from Kim, fit", "S-1 is booked in from Kim, fit"),
        (UK, "2031-05-02 09:30  returned from Kim", "2031-05-02 09:30  booked in from Kim"),
        (UK, "the crib's lend box", "the crib's lend box"),
        (ShopWords(), "S-1 lent to Kim", "S-1 lent to Kim"),
    ],
)
def test_a_line_about_a_piece_changes_only_in_the_turn_that_says_who_has_it(
    words: ShopWords, text: str, said: str
) -> None:
    assert words.sentence(text) == said


def test_a_text_of_ours_changes_in_each_of_the_words_but_in_no_command_and_no_quotation() -> None:
    text = "LEND or Return what is in the tool crib: `broachplan crib lend`, “lend”, --return"

    assert (
        UK.label(text)
        == "BOOK OUT or Book in what is in the stores: `broachplan crib lend`, “lend”, --return"
    )
    assert ShopWords().label(text) == text


@pytest.mark.parametrize("words", [US, UK, ShopWords()])
def test_a_sheet_is_said_in_the_same_words(words: ShopWords) -> None:
    sheet = ResultSheet("S-1: lent to Kim", "lent to Kim", (SheetBlock("", (Sentence("lent to Kim"),)),))

    said = words.sentence("lent to Kim")
    assert in_words_of(sheet, words) == ResultSheet(
        f"S-1: {said}", said, (SheetBlock("", (Sentence(said),)),)
    )
