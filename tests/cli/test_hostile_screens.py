"""Hostile text on the screens: names from a crib that holds it, what is pasted into any line, and refusals that show it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from textual.binding import Binding
from textual.screen import Screen

from broachplan.errors import InputError
from tests.cli.hostile import STRINGS, Terminal, five_hundred, foreign
from tests.cli.spoilt import PLACES, spoil
from tests.cli.test_hostile import busy
from tests.tui.answers import Bench
from tests.tui.driving import Drive, drive
from tui.desks import Desks
from tui.screens.more import MoreScreen
from tui.widgets.entry import EntryLine

LONGEST = 190
# So many that each of the five hundred is in one of the places once.
TURNS = 5

# The attendant's list gives way to further screens by letters, which are no keys of a screen that is typed in.
LETTERS = [
    binding.key for binding in MoreScreen.BINDINGS if isinstance(binding, Binding) and len(binding.key) == 1
]


class Real(Bench):
    """No made-up answers: the desks of the crib that BROACHPLAN_DB names."""

    def desks(self, *_: object) -> Desks:
        return Desks()


def packed(strings: Sequence[str]) -> list[str]:
    """The strings one after another, as many to a text as a name in the crib may hold."""
    texts, room = [""], LONGEST
    for string in strings:
        part = string[:60]
        if len(part) > room:
            texts.append("")
            room = LONGEST
        texts[-1] += part
        room -= len(part)
    return texts


def for_places(texts: Sequence[str], turn: int) -> list[str]:
    """A text for each of the places, others with each turn."""
    return [texts[(turn + place) % len(texts)] for place in range(PLACES)]


def can_be_read(text: str) -> bool:
    """Whether a database gives it back: else nothing more is shown of the crib than that."""
    return "\0" not in text and not any("\ud800" <= character <= "\udfff" for character in text)


class Crawl:
    """Goes through the screens by their own keys, and looks at each; no screen is gone into twice."""

    def __init__(self, at: Drive, pastes: Sequence[str], deepest: int) -> None:
        self.at = at
        self.pastes = pastes
        self.deepest = deepest
        self.seen: set[type[Screen[object]]] = set()
        self._pasted = 0

    def look(self, way: Sequence[str]) -> None:
        """No character on the screen that a terminal would obey."""
        assert foreign(self.at.screen()) == [], way

    async def go(self, way: tuple[str, ...] = ()) -> None:
        """Paste into each line of this screen, press each of its keys, and continue from where that leads."""
        self.seen.add(type(self.at.app.screen))
        await self._paste(way)
        before = self._height()
        for key in self._keys():
            await self.at.press(key)
            self.look((*way, key))
            is_new = type(self.at.app.screen) not in self.seen
            if self._height() > before and is_new and len(way) < self.deepest:
                await self.go((*way, key))
            while self._height() > before:
                self.at.app.pop_screen()
                await self.at.settle()
            if self._height() < before:
                return

    def _height(self) -> int:
        """How many screens lie on one another."""
        return len(self.at.app.screen_stack)

    async def _paste(self, way: tuple[str, ...]) -> None:
        for entry in self.at.app.screen.query(EntryLine):
            entry.value = self.pastes[self._pasted % len(self.pastes)]
            self._pasted += 1
        await self.at.settle()
        self.look(way)
        for entry in self.at.app.screen.query(EntryLine):
            entry.value = ""
        await self.at.settle()

    def _keys(self) -> list[str]:
        """The function keys that do something here, and enter; F1 shows no names, and F9 changes units."""
        enabled = [key for key, active in self.at.app.screen.active_bindings.items() if active.enabled]
        return [key for key in enabled if key == "enter" or (key[0] == "f" and key[1:].isdigit())]


def crawl(crib: Path, strings: Sequence[str], *, turn: int, deepest: int, first: Sequence[str]) -> int:
    """Go through the screens of a crib with the text in all its names; how many kinds of screen were seen."""
    sound, seen = crib.read_bytes(), 0
    readable = [string for string in strings if can_be_read(string)]
    texts = packed(readable)
    spoil(crib, for_places(texts, turn))

    async def act(at: Drive) -> None:
        nonlocal seen
        await at.press(*first)
        going = Crawl(at, texts[turn:] + texts[:turn], deepest)
        await going.go()
        seen = len(going.seen)

    drive(act, bench=Real())
    crib.write_bytes(sound)
    return seen


def pasted(strings: Sequence[str]) -> None:
    """Paste each string into a line of the machinist's form, in turn."""

    async def act(at: Drive) -> None:
        lines = list(at.desk.query(EntryLine))
        for start in range(0, len(strings), len(lines)):
            for entry, string in zip(lines, strings[start:], strict=False):
                entry.value = string[:1000]
                assert foreign(entry.value) == [], string[:60]
            await at.settle()
            assert foreign(at.screen()) == [], start

    drive(act, bench=Bench())


def shown_in_a_refusal(strings: Sequence[str]) -> None:
    """A refusal that carries the text, and a crib that cannot be read because of it."""
    bench = Bench()

    async def act(at: Drive) -> None:
        for string in strings:
            bench.answer = bench.shelf = InputError(f"read {string[:200]}; write another")
            await at.press("f2", "f8")
            assert foreign(at.screen()) == [], string[:60]
            await at.press("escape")
            assert foreign(at.screen()) == [], string[:60]

    drive(act, bench=bench)


def test_hostile_names_in_the_crib_are_shown_as_plain_text(at: Terminal, hostile_crib: Path) -> None:
    busy(at)

    assert crawl(hostile_crib, STRINGS, turn=0, deepest=0, first=["f8"]) == 1


def test_hostile_text_in_a_form_is_shown_as_plain_text() -> None:
    pasted(packed(STRINGS) * 5)


def test_a_refusal_that_carries_hostile_text_is_shown_as_plain_text() -> None:
    shown_in_a_refusal(packed(STRINGS))


@pytest.mark.nightly
@pytest.mark.parametrize("turn", range(0, TURNS * PLACES, PLACES))
def test_five_hundred_hostile_strings_on_every_screen(at: Terminal, hostile_crib: Path, turn: int) -> None:
    busy(at)

    assert crawl(hostile_crib, five_hundred(), turn=turn, deepest=9, first=[]) > 10


@pytest.mark.nightly
@pytest.mark.parametrize("letter", LETTERS)
def test_five_hundred_hostile_strings_behind_every_letter(
    at: Terminal, hostile_crib: Path, letter: str
) -> None:
    busy(at)

    assert crawl(hostile_crib, five_hundred(), turn=0, deepest=2, first=["f8", "f10", letter]) >= 1


@pytest.mark.nightly
def test_five_hundred_hostile_strings_in_forms_and_refusals() -> None:
    pasted(five_hundred())
    shown_in_a_refusal(five_hundred())
