"""At the window: two stations see each other, and a scan is answered wherever it lands."""

from __future__ import annotations

import asyncio

from broachplan.store.watch import CribWatch
from tests.desks.doing import lend_piece, return_piece
from tests.tui.answers import Bench
from tests.tui.attending import Attending, attend
from tests.tui.driving import unpainted
from tui.app import BroachplanApp


def test_a_list_follows_the_other_station_but_never_under_a_hand_that_types(filled_file: str) -> None:
    async def scene() -> None:
        window, store = BroachplanApp(filled_file), BroachplanApp(filled_file)
        async with unpainted(window) as one, unpainted(store) as two:
            at, other = Attending(window, one, Bench()), Attending(store, two, Bench())
            await at.settle()
            await other.settle()
            await at.type("f8")
            await other.type("f8", "f3")
            await at.type("f11", "=S-1", "enter", "=Kim", "enter", "escape")
            assert "1 out" in at.words("#title")
            store.look_elsewhere()
            await other.settle()
            assert [row[1] for row in other.rows] == ["S-1"]
            await other.type("=kim")
            await at.type("f11", "=R-1", "enter", "=Kim", "enter", "escape")
            store.look_elsewhere()
            await other.settle()
            assert other.words("#title").startswith("CHANGED ELSEWHERE: F5 reads again")
            assert [row[1] for row in other.rows] == ["S-1"]
            await other.type("f5")
            assert sorted(row[1] for row in other.rows) == ["R-1", "S-1"]
            assert "CHANGED" not in other.words("#title")
            window.look_elsewhere()  # what was done here is not elsewhere
            await at.settle()
            assert "CHANGED" not in at.words("#title")
            await at.type("f12", "=R-1", "f2", "enter", "escape")
            store.look_elsewhere()
            await other.settle()
            assert "CHANGED" in other.words("#title")
            await other.type("ctrl+u")  # nothing is being typed any more
            assert [row[1] for row in other.rows] == ["S-1"]

    asyncio.run(scene())


def test_a_scan_says_what_the_piece_is_now_and_follows_while_it_stays_in_the_line(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f11", "=S-1")
        assert at.words("#known").strip() == "S-1: fit"
        await at.type("ctrl+u")
        lend_piece(filled_file, "S-1", "Jo")  # at another station
        await at.type("=S-1")
        assert at.words("#known").startswith("S-1: lent to Jo")
        return_piece(filled_file, "S-1", "worn")
        at.app.look_elsewhere()
        await at.settle()
        assert at.words("#known").startswith("S-1: worn")

    attend(filled_file, act)


def test_a_tag_scanned_on_the_machinists_desk_is_answered_with_the_piece(filled_file: str) -> None:
    lend_piece(filled_file, "S-1", "Jo")

    async def act(at: Attending) -> None:
        await at.type("=S-1", "enter")
        assert at.words("#title").startswith("S-1   a shim   lent to Jo")
        await at.type("escape")
        assert (at.name, at.typed("bore")) == ("desk", "")
        await at.type("=S-9", "enter")  # no such tag
        assert (at.name, at.typed("bore")) == ("desk", "S-9")

    attend(filled_file, act)


def test_a_watch_hears_of_each_change_that_is_kept_and_of_nothing_else(filled: str) -> None:
    watch = CribWatch(filled)
    try:
        watch.wait(0)
        before = watch.mark()
        watch.wait(0)
        assert watch.mark() == before
        lend_piece(filled, "S-1", "Kim")
        watch.wait(0.01)
        assert watch.mark() > before
    finally:
        watch.close()
