"""A crib that cannot be reached in mid work: nothing scanned or typed is lost, here or on the disk."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from broachplan.errors import StorageError
from broachplan.questions.acts import LendRequest
from broachplan.questions.piece import AddRequest, EditRequest
from broachplan.store import sessions
from tests.desks.looking import list_out, list_pieces
from tests.tui.attending import Attending, attend
from tui.desks import Desks


class Server:
    """A crib that can be reached, or not."""

    def __init__(self, *requests: type) -> None:
        self.down = True
        self.desks = Desks(dict.fromkeys(requests, self._answer))

    def _answer(self, db: str | None, request: object, **beside: Any) -> Any:
        if self.down:
            raise StorageError("the crib “tools” cannot be reached")
        return Desks().send(db, request, **beside)


@pytest.fixture(autouse=True)
def _stations() -> Iterator[None]:
    yield
    sessions.end_all()


def test_tags_scanned_while_the_server_is_down_wait_by_name_and_one_key_sends_them(filled_file: str) -> None:
    server = Server(LendRequest)

    async def act(at: Attending) -> None:
        await at.type("f11", "=S-1", "enter", "=Kim", "enter", "=B-250", "enter", "=R-1", "enter")
        shown = at.words("#results")
        assert "3 NOT SAVED, kept at this station: S-1, B-250, R-1" in shown
        assert "NOT SAVED S-1: the crib “tools” cannot be reached" in shown
        assert not list_out(filled_file).pieces
        server.down = False
        await at.type("f5")
        assert "NOT SAVED, kept" not in at.words("#results")
        assert at.words("#results").count("DONE      ") == 3

    attend(filled_file, act, desks=server.desks)

    assert {out.tag: out.loan.to for out in list_out(filled_file)} == dict.fromkeys(
        ("S-1", "B-250", "R-1"), "Kim"
    )


def test_what_waits_outlives_the_form_and_the_program_and_is_sent_once(filled_file: str) -> None:
    server = Server(LendRequest)

    async def down(at: Attending) -> None:
        await at.type("f11", "=S-1", "enter", "=Kim", "enter", "=B-250", "enter")
        assert (at.name, "2 NOT SAVED" in at.words("#results")) == ("lend", True)
        await at.type("escape")
        assert at.name == "desk"
        await at.type("f11")
        assert "2 NOT SAVED, kept at this station: S-1, B-250" in at.words("#results")
        # The first is put back into the form, where it is cleared: Kim has brought it back meanwhile.
        await at.type("f6")
        assert (at.typed("tag"), at.typed("to")) == ("S-1", "Kim")
        await at.type("=x", "backspace")

    async def up(at: Attending) -> None:
        assert not list_out(filled_file).pieces
        await at.type("f11")
        assert "1 NOT SAVED, kept at this station: B-250" in at.words("#results")
        await at.type("f5", "escape", "f11")
        assert "NOT SAVED" not in at.words("#results")

    attend(filled_file, down, desks=server.desks)
    sessions.end_all()
    attend(filled_file, up)
    attend(filled_file, up_again)

    assert [(out.tag, out.loan.to) for out in list_out(filled_file)] == [("B-250", "Kim")]


async def up_again(at: Attending) -> None:
    await at.type("f11")
    assert "NOT SAVED" not in at.words("#results")


def test_two_programs_of_one_user_do_not_take_each_others_tags(filled_file: str) -> None:
    async def other(at: Attending) -> None:
        await at.type("f11")
        assert "NOT SAVED" not in at.words("#results")

    async def down(at: Attending) -> None:
        await at.type("f11", "=S-1", "enter", "=Kim", "enter")

    attend(filled_file, down, desks=Server(LendRequest).desks)
    # The first program still runs: its lock is held.
    attend(filled_file, other)


async def new_shim(at: Attending) -> None:
    """The form of a new shim, at its tag; each kind brings lines of its own."""
    for keys in (("f8", "f6", "up"), ("right",), ("right",), ("down",)):
        await at.type(*keys)


def a_shim(tag: str, home: str) -> tuple[str, ...]:
    """Tag, thickness and home of a shim, in a form that begins at the tag."""
    return (f"={tag}", "down", "down", "=0.0470 in", *["down"] * 4, f"={home}")


def test_pieces_typed_in_a_burst_are_added_each_as_it_was_typed(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await new_shim(at)
        await at.type(
            *a_shim("M-1", "E/1/01"), "f2", *a_shim("M-2", "ctrl+u")[:-1], "ctrl+u", "=E/1/02", "f2",
            *a_shim("M-3", "")[:-1], "ctrl+u", "=E/1/03", "f2",
        )  # fmt: skip
        assert "M-3" in at.words("#said")

    attend(filled_file, act)

    found = {row.record.piece.tag: row.record.home for row in list_pieces(filled_file)}
    assert [found.get(tag) for tag in ("M-1", "M-2", "M-3")] == ["E/1/01", "E/1/02", "E/1/03"]


def test_a_piece_that_could_not_be_saved_is_in_the_form_again_on_the_next_day(filled_file: str) -> None:
    server = Server(AddRequest, EditRequest)

    async def down(at: Attending) -> None:
        await new_shim(at)
        await at.type(*a_shim("M-1", "E/1/01"), "f2")
        assert "NOT SAVED, kept at this station: the crib “tools” cannot be reached" in at.words("#said")
        await at.type("escape")
        assert at.name == "crib"

    async def up(at: Attending) -> None:
        await at.type("f8", "f6")
        assert "NOT SAVED before" in at.words("#said")
        assert (at.typed("tag"), at.typed("thickness"), at.typed("home")) == ("M-1", "0.0470 in", "E/1/01")
        await at.type("f2", "escape", "f6")
        assert "NOT SAVED" not in at.words("#said")

    attend(filled_file, down, desks=server.desks)
    sessions.end_all()
    attend(filled_file, up)

    assert "M-1" in {row.record.piece.tag for row in list_pieces(filled_file)}
