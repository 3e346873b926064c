"""Screens over screens: what is meant for one that is gone is dropped, and keys wait for the one that comes."""

from __future__ import annotations

import threading
from collections.abc import Callable

import pytest
from rich.text import Text
from textual.command import CommandList

from broachplan.desks.attendant.lend_piece import Lent, lend
from broachplan.errors import CribStateError
from broachplan.questions.acts import LendRequest
from tests.desks.looking import list_out
from tests.tui.attending import Attending, attend
from tests.tui.driving import Drive, drive
from tui.bases.pane import Pane
from tui.desks import Desks
from tui.screens.confirm import ConfirmScreen
from tui.screens.desk import DeskScreen


async def home(at: Attending) -> None:
    while at.name != "desk":
        await at.type("escape")


def test_the_palettes_answer_to_a_screen_that_is_gone_is_dropped(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        for opens in (("f11",), ("f8", "f10")):
            await at.type(*opens, "ctrl+p", "=back", "enter", "enter")
            await home(at)
            # Typed slowly up to the answer, then that and an enter for the screen that it closes, at once.
            await at.type(*opens, "ctrl+p", "=back")
            await at.type("enter", "enter", "enter")
            await home(at)
        await at.type("f1")
        assert at.name == "help"

    attend(filled_file, act)


def test_an_action_of_a_screen_under_another_is_not_run_from_the_palette() -> None:
    async def act(at: Drive) -> None:
        from tui.palette import Acts

        await at.press("f3", "ctrl+p")
        acts = Acts(at.app.screen_stack[-2])
        under = {binding.id: node for node, binding in acts._acts()}
        await at.press("escape", "f6")
        binding = next(each for each in at.app.screen_stack[-2].BINDINGS if each.id == "start.leave")  # type: ignore[union-attr]
        await acts._run(under["start.leave"], binding)  # type: ignore[arg-type]
        assert at.app.screen.name == "cautions"

    drive(act)


def test_a_screen_leaves_once_and_one_under_another_leaves_when_that_is_closed() -> None:
    async def act(at: Drive) -> None:
        shown: list[object] = []
        under, over = Pane("one", Text("one"), name="one"), Pane("two", Text("two"), name="two")
        await at.app.push_screen(under, shown.append)
        await at.app.push_screen(over)

        under.dismiss(True)
        await at.settle()
        assert (at.app.screen, shown) == (over, [])

        over.dismiss(False)
        await at.settle()
        assert (at.app.screen, shown) == (at.desk, [True])

        under.dismiss(False)
        over.dismiss(False)
        await at.settle()
        assert (at.app.screen, shown) == (at.desk, [True])

    drive(act)


def test_an_answer_is_dropped_when_whoever_asked_is_gone_and_waits_while_it_is_covered() -> None:
    async def act(at: Drive) -> None:
        shown: list[object] = []
        asks, cover = Pane("asks", Text(""), name="asks"), Pane("cover", Text(""), name="cover")
        question = ConfirmScreen("Sure?", Text(""), None)

        async def answered(answer: object) -> None:
            shown.append(answer)

        await at.app.push_screen(asks)
        await at.app.push_screen(question, answered)
        question.dismiss({})
        at.app.push_screen(cover)
        await at.settle()
        assert (at.app.screen, shown) == (cover, [])
        cover.dismiss(False)
        await at.settle()
        assert shown == [{}]

        question = ConfirmScreen("Sure?", Text(""), None)
        await at.app.push_screen(question, shown.append)
        question.dismiss({})
        asks.dismiss(False)
        await at.settle()
        assert (at.app.screen, shown) == (at.desk, [{}])

    drive(act)


class Slow:
    """A desk that lends when it is let go."""

    def __init__(self, lend: Callable[[str | None, LendRequest], Lent]) -> None:
        self.go = threading.Event()
        self._lend = lend

    def lend(self, db: str | None, request: LendRequest) -> Lent:
        self.go.wait()
        return self._lend(db, request)

    def desks(self) -> Desks:
        return Desks({LendRequest: self.lend})


def refuses(_: str | None, request: LendRequest) -> Lent:
    raise CribStateError(f"{request.tag} is lent to Ann")


def test_a_return_typed_right_behind_a_lending_waits_for_it_however_long_it_takes(filled_file: str) -> None:
    slow = Slow(lend)

    async def act(at: Attending) -> None:
        for step in ("f11", *"S-1", "enter", *"Kim", "enter", "f12", *"S-1", "f2", "enter"):
            at.post(step)
        await at.calm()
        # The lending is not done: nothing of what follows is typed into its form.
        assert (at.name, at.typed("tag"), at.typed("to")) == ("lend", "", "Kim")
        assert "1 waiting" in at.words("#results")
        slow.go.set()
        await at.settle()
        assert at.name == "return"
        shown = at.words("#results").splitlines()
        assert shown[0].startswith("DONE      S-1 is back from Kim")
        assert shown[1].startswith("DONE      S-1")

    attend(filled_file, act, desks=slow.desks())

    assert not list(list_out(filled_file))


def test_keys_behind_a_lending_that_is_refused_lend_nothing(filled_file: str) -> None:
    slow = Slow(refuses)

    async def act(at: Attending) -> None:
        await at.type("f11", "=S-1", "enter")
        for step in (*"Kim", "enter", "f12", *"R-1", "f2", "enter"):
            at.post(step)
        await at.calm()
        slow.go.set()
        await at.settle()
        assert at.name == "return"
        shown = at.words("#results")
        assert "NOT DONE  S-1 is lent to Ann" in shown
        assert "NOT DONE  R-1 is not out" in shown

        # After escape the form stays with what was refused, and what was typed for the screen under it is forgotten.
        slow.go.clear()
        await at.type("f11", "=S-1", "enter")
        for step in (*"Kim", "enter", "escape", "f8", *"R-1", "enter"):
            at.post(step)
        await at.calm()
        slow.go.set()
        await at.settle()
        assert (at.name, at.typed("tag")) == ("lend", "S-1")

    attend(filled_file, act, desks=slow.desks())


def test_the_way_out_of_the_program_is_never_held_back(filled_file: str) -> None:
    slow = Slow(lend)

    async def act(at: Attending) -> None:
        for step in ("f11", *"S-1", "enter", *"Kim", "enter", "f12", "ctrl+q"):
            at.post(step)
        await at.calm()
        slow.go.set()
        assert at.app._exit

    attend(filled_file, act, desks=slow.desks())


def test_keys_right_behind_the_key_that_opens_a_screen_find_it() -> None:
    async def act(at: Drive) -> None:
        await at.burst("ctrl+p", *"cautions of all push", "enter")
        await at.press("enter")
        assert at.app.screen.name == "safety"
        assert isinstance(at.app.screen_stack[-2], DeskScreen)

    drive(act)


@pytest.mark.parametrize("key", ["pageup", "pagedown"])
def test_a_page_key_in_a_palette_whose_list_has_no_room_yet_does_nothing(key: str) -> None:
    async def act(at: Drive) -> None:
        await at.press("ctrl+p")
        commands = at.app.screen.query_one(CommandList)
        assert commands.option_count
        commands.styles.width = 0
        await at.settle()
        await at.press(key)
        assert at.app._exception is None
        commands.styles.width = "1fr"
        await at.settle()
        await at.press(key)
        assert commands.highlighted is not None

    drive(act)
