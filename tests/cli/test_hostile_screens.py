"""Hostile text on the screens: names from the crib, and what is pasted into the form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from broachplan.crib.records import Measured, Record
from broachplan.errors import InputError
from tests.cli.hostile import STRINGS, foreign, many
from tests.tui.answers import BUSHING, Bench
from tests.tui.driving import Drive, drive
from tui.desks import Listed
from tui.widgets.entry import Entry
from tui.widgets.ledger import Ledger


def shelf(strings: Sequence[str], step: int) -> tuple[Listed, ...]:
    """Pieces with hostile words; the database holds at most 200 characters of one. Each string is in 5/``step`` places."""
    words = [string[:200] for string in strings]
    pieces = []
    for number in range(0, len(words), step):
        home, box, note, gauge, name = (words[(number + place) % len(words)] for place in range(5))
        piece = replace(BUSHING, tag=f"G-{number}")
        measured = Measured(gauge, None, name)
        record = Record(piece=piece, home=home, set_name=box, note=note, measured=measured)
        pieces.append(Listed(record, f"lent to {name} since 2031-05-02"))
    return tuple(pieces)


def shown_in_the_crib(pieces: Sequence[Listed]) -> None:
    """Choose each piece in turn, and look at list and figures."""

    async def act(at: Drive) -> None:
        await at.press("f8")
        ledger = at.app.screen.query_one(Ledger)
        for listed in pieces:
            assert foreign(at.screen()) == [], listed
            assert foreign(at.words("#figures")) == [], listed
            assert f"{listed.record.piece.tag}\n" in at.words("#figures")
            ledger.action_step(1)
            await at.pilot.pause()

    drive(act, bench=Bench(pieces=pieces))


def pasted(strings: Sequence[str]) -> None:
    """Paste each string into a line of the form, in turn, and into the crib's filter."""

    async def act(at: Drive) -> None:
        lines = list(at.desk.query(Entry))
        for start in range(0, len(strings), len(lines)):
            for entry, string in zip(lines, strings[start:], strict=False):
                entry.value = string[:1000]
                assert foreign(entry.value) == [], string[:60]
            await at.settle()
            assert foreign(at.screen()) == [], start
        await at.press("f8")
        for string in strings:
            at.app.screen.query_one("#filter", Entry).value = string[:1000]
            await at.pilot.pause()
            assert foreign(at.screen()) == [], string[:60]

    drive(act, bench=Bench())


def told_by_a_refusal(strings: Sequence[str]) -> None:
    """A refusal that carries the text, and a crib that cannot be read because of it."""
    for string in strings:

        async def act(at: Drive, string: str = string) -> None:
            assert foreign(at.screen()) == [], string[:60]
            await at.press("f8")
            assert foreign(at.screen()) == [], string[:60]

        refusal = InputError(f"read {string[:200]}; write another")
        drive(act, bench=Bench(answer=refusal, pieces=refusal))


def test_hostile_names_in_the_crib_are_shown_as_plain_text() -> None:
    shown_in_the_crib(shelf(STRINGS, 5))


def test_hostile_text_in_a_form_is_shown_as_plain_text() -> None:
    pasted(STRINGS)


def test_a_refusal_that_carries_hostile_text_is_shown_as_plain_text() -> None:
    told_by_a_refusal(
        ("\x1b[2J\x1b]0;x\x07\u202e[red]x[/red]\u200b\x9b31m", "a\nb\r\ud800[/][@click=app.quit]z[/]")
    )


@pytest.mark.nightly
def test_five_hundred_hostile_strings_on_the_screens() -> None:
    strings = [*STRINGS, *many(500 - len(STRINGS))]

    shown_in_the_crib(shelf(strings, 1))
    pasted(strings)
    told_by_a_refusal(strings[:60])
