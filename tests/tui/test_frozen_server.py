"""A server that freezes: the screens say so in one line, in less than eight seconds, and can always be left."""

from __future__ import annotations

import pytest

from broachplan.questions.reads import ListRequest
from broachplan.store import patience as waits
from broachplan.store.patience import SCREEN, Patience
from tests.tui.attending import Attending, attend
from tests.tui.frozen_server import frozen_server

# As short as the driver takes them: that the real ones add up to less than eight seconds is asked apart.
SHORT = Patience(connect=2, lock=1, answer=0.3)
SAYS = {True: "the server does not answer", False: "no server answers there in time"}


def test_a_screen_waits_less_than_eight_seconds() -> None:
    assert SCREEN.connect + max(SCREEN.answer, SCREEN.lock) < 8


@pytest.mark.parametrize("lets_in", [True, False])
def test_a_frozen_server_is_one_line_for_who_reads_and_who_lends_and_the_program_ends_at_once(
    lets_in: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(waits, "SCREEN", SHORT)

    async def act(at: Attending) -> None:
        await at.type("f8")
        assert SAYS[lets_in] in at.words("#title")
        await at.type("f11")
        for key in (*"B-250", "enter", *"Kim", "enter"):
            at.post(key)
        await at.calm()
        assert "1 waiting" in at.words("#results")
        await at.settle()
        assert SAYS[lets_in] in at.words("#results")
        assert "B-250" in at.screen()  # nothing typed is lost
        at.app.screen.send(ListRequest(), then=print)  # type: ignore[attr-defined]
        await at.pilot.press("ctrl+q")  # while the server is asked
        if at.name == "leave":  # what was not saved is asked about
            await at.pilot.press("f8")
        assert at.app._exit

    with frozen_server(lets_in=lets_in) as url:
        attend(url, act)
