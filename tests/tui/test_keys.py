"""Keys that do just what a hand at the window expects of them."""

from __future__ import annotations

import pytest

from broachplan.sheets.result import ResultSheet
from tests.desks.doing import lend_piece
from tests.desks.looking import list_out
from tests.tui.attending import Attending, attend
from tests.tui.test_palette import listed
from tui.bases.pane import Pane


def test_a_return_offers_only_what_was_chosen_is_done_by_one_key_and_rings_where_it_is_refused(
    filled_file: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for tag in ("B-250", "S-1"):
        lend_piece(filled_file, tag, "Kim")
    rung: list[str] = []

    async def act(at: Attending) -> None:
        monkeypatch.setattr(at.app, "bell", lambda: rung.append(at.name))
        await at.type("f8", "f12")
        assert at.typed("tag") == ""
        await at.type("escape")
        await at.type("=S-1", "f12")
        assert at.typed("tag") == "S-1"
        await at.type("f2")
        assert "DONE      S-1 is back from Kim, fit" in at.words("#results")
        assert (at.typed("tag"), rung) == ("", [])
        # Enter behind it, out of habit, does nothing; the next scan is the next piece.
        await at.type("enter", "=S-1", "f2")
        assert "NOT DONE  S-1 is not out" in at.words("#results")
        assert rung == ["return"]
        await at.type("escape")
        await at.type("ctrl+u")
        await at.type("down", "f12")
        assert at.typed("tag") != ""

    attend(filled_file, act)

    assert [out.tag for out in list_out(filled_file)] == ["B-250"]


def test_what_is_typed_into_a_filled_line_replaces_it_unless_the_cursor_was_moved_in_it(
    filled_file: str,
) -> None:
    async def act(at: Attending) -> None:
        await at.type("f11", "=S-1", "enter", "=Kim", "down", "=+7", "up", "=Ann")
        assert at.typed("to") == "Ann"
        await at.type("down", "up", "end", "=e", "down", "up", "right", "=tte")
        assert at.typed("to") == "Annette"

    attend(filled_file, act)


def test_help_begins_with_the_keys_of_its_screen_and_the_palette_has_each_form_once(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        for keys, title in (((), "Machinist's desk"), (("f8",), "Attendant's desk")):
            await at.type(*keys, "f1")
            assert isinstance(at.app.screen, Pane)
            assert isinstance(at.app.screen.text, ResultSheet)
            assert at.app.screen.text.blocks[0].heading == title
            await at.type("escape")
        await at.type("ctrl+p")
        assert len([words for words in listed(at) if "new piece" in words]) == 1
        await at.type("escape")
        await at.type("=B-250", "enter")
        await at.type("ctrl+p")
        assert len([words for words in listed(at) if "for named work" in words]) == 1

    attend(filled_file, act)
