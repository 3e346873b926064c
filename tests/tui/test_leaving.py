"""Leaving: what is typed and not saved is asked about first, F2 saves and never drops, and the last hub is there again."""

from __future__ import annotations

from broachplan.crib.drafts import HubDraft
from broachplan.errors import StorageError
from broachplan.lengths import Length
from broachplan.questions.acts import KeepDraftRequest
from tests.desks.looking import kept_drafts, show_piece
from tests.tui.answers import Bench
from tests.tui.attending import Attending, attend
from tests.tui.driving import Drive, drive
from tui.desks import Desks

HUB = {"bore": "1 in +0.001 -0", "hub_length": "1-1/2 in", "key": "1/4 in"}


def test_the_last_hub_asked_about_is_there_on_the_next_start_and_what_is_typed_takes_its_place(
    filled_file: str,
) -> None:
    async def first(at: Attending) -> None:
        assert at.typed("bore") == ""
        await at.type(f"={HUB['bore']}", "down", f"={HUB['hub_length']}", "down", f"={HUB['key']}", "f2")
        await at.type("ctrl+q")
        assert at.app._exit  # it was asked about: nothing is lost

    async def second(at: Attending) -> None:
        assert {name: at.typed(name) for name in HUB} == HUB
        await at.type("=2 in")
        assert at.typed("bore") == "2 in"
        await at.type("ctrl+q")
        assert at.name == "leave"
        assert "The hub in the form would be lost. F8 leaves, escape goes back." in at.words("#modal-text")
        await at.type("f2", "enter", "escape")
        assert (at.name, at.typed("bore")) == ("desk", "2 in")
        await at.type("ctrl+q", "f8")
        assert at.app._exit

    attend(filled_file, first)
    assert kept_drafts(filled_file) == (HubDraft(HUB),)
    attend(filled_file, second)
    assert kept_drafts(filled_file) == (HubDraft(HUB),)


def test_a_station_that_cannot_keep_the_last_hub_plans_it_all_the_same() -> None:
    def full(*_: object) -> None:
        raise StorageError("the station's disk is full")

    class Full(Bench):
        def desks(self, *_: object) -> Desks:
            return super().desks({KeepDraftRequest: full})

    async def act(at: Drive) -> None:
        assert at.words("#verdict").startswith("READY")

    drive(act, bench=Full())


def test_leaving_a_half_filled_form_asks_where_f2_saves_f8_leaves_and_escape_goes_back(
    filled_file: str,
) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "=N-1", "enter")
        await at.type("f2", "ctrl+u", "=0.758 in")
        await at.type("escape")
        assert at.name == "leave"
        assert "The form of N-1 is not saved. F2 saves it, F8 leaves, escape goes back." in at.words(
            "#modal-text"
        )
        await at.type("escape")
        assert (at.name, at.typed("diameter")) == ("edit", "0.758 in")
        await at.type("ctrl+q")
        assert "The form of N-1 would be lost. F8 leaves, escape goes back." in at.words("#modal-text")
        await at.type("f2", "escape", "escape", "f2")
        assert at.name == "piece"
        # A form to lend in, half filled, over the list.
        await at.type("f11", "ctrl+u", "=S-1", "enter", "=Ki", "ctrl+q")
        assert "Lend: what is typed would be lost." in at.words("#modal-text")
        await at.type("escape")
        assert (at.name, at.typed("to")) == ("lend", "Ki")

    attend(filled_file, act)

    assert show_piece(filled_file, "N-1").record.piece.diameter == Length.inches("0.758")
