"""The palette: each action once, found by the words that people use, and open on actions."""

from __future__ import annotations

from collections import Counter

from textual.command import CommandList

from tests.desks.doing import change_setting
from tests.tui.attending import Attending, attend


def listed(at: Attending) -> list[str]:
    """What the palette offers, without its explanations."""
    options = at.app.screen.query_one(CommandList).options
    return [str(option.hit.text) for option in options]  # type: ignore[attr-defined]


async def sought(at: Attending, words: str) -> list[str]:
    await at.type("ctrl+p", f"={words}")
    found = listed(at)
    await at.type("escape")
    return found


def test_the_palette_opens_on_actions_each_once_and_finds_them_by_the_words_of_the_shop(
    filled_file: str,
) -> None:
    async def act(at: Attending) -> None:
        await at.type("ctrl+p")
        await at.settle()
        at_once = listed(at)
        assert at_once
        assert [words for words, times in Counter(at_once).items() if times > 1] == []
        assert not any("row above" in words or "next line" in words.lower() for words in at_once)
        await at.type("escape")
        for words in ("check out", "sign out", "issue"):
            assert any("Lend pieces" in found for found in await sought(at, words)), words
        for words in ("check in", "sign in"):
            assert any("Take pieces or a set back" in found for found in await sought(at, words)), words
        found = await sought(at, "count")
        assert any("ount a drawer" in words for words in found), found
        # From the machinist's desk the count opens over the crib.
        await at.type("ctrl+p", "=count a drawer")
        await at.type("enter")
        await at.settle()
        assert at.name == "counts"
        found = await sought(at, "count a drawer")
        assert len([words for words in found if "ount a drawer" in words]) == 1

    attend(filled_file, act)


def test_a_shop_that_books_out_reads_so_on_keys_titles_and_in_what_was_done(filled_file: str) -> None:
    for name, value in (("word_lend", "book out"), ("word_return", "book in"), ("word_crib", "stores")):
        change_setting(filled_file, name, value)

    async def act(at: Attending) -> None:
        assert "stores crib.db" in at.screen()
        await at.type("f8", "f11")
        assert "BOOK OUT   " in at.words("#modal-title")
        await at.type("ctrl+u", "=S-1", "enter", "=Kim", "enter")
        assert "DONE      S-1 booked out to Kim" in at.words("#results")
        await at.type("escape")
        assert "booked out to Kim" in at.screen()
        assert "F11 book out" in at.screen() or at.app.size.width < 100
        assert any("Book in" in words or "book in" in words for words in await sought(at, "book in"))

    attend(filled_file, act)
