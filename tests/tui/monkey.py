"""A monkey at the keys of the screens: seeded, in bursts, with whatever the bindings themselves name."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random

from textual import events
from textual.geometry import Size
from textual.keys import _character_to_key
from textual.pilot import Pilot

from broachplan.errors import BroachplanError
from tests import databases
from tests.desks.doing import count_drawer, edit_piece, hold_piece, lend_piece, retire_piece, return_piece
from tests.desks.looking import check_data, show_piece
from tests.tui.answers import QUESTION, Bench
from tests.tui.driving import SMALL, Drive, unpainted
from tui.app import BroachplanApp
from tui.desks import Desks
from tui.screens.desk import DeskScreen
from tui.screens.help import documented

# The program's own ways out: a session would be over with them.
_ENDS = frozenset({"ctrl+q", "ctrl+c"})
_WORDS = (
    "S-1", "b-250", "R-1", "P-1", "N-1", "G-1000", "inch set", "XX-999", "Kim", "drawer 4", "+7", "2031-05-02",
    "1 in", "30 mm", "1-1/4 in +0.001 -0", "2 x 3 x 1 in", "mild steel", "back", "lend", "return", "undo", "1", "-1",
    "S-1, R-1", ",", "0", "[red]", "é\u202e", "labels.pdf",
)  # fmt: skip
_SIZES = (SMALL, (140, 45), (40, 10), (20, 5), (200, 60))
_LONGEST_ANSWER = 60.0


@dataclass(frozen=True, slots=True)
class Session:
    """Bursts of steps for screens of a size. A step is a key, ``=text``, ``@80x24`` for a resize, ``!3`` for somebody else's act.

    After each burst the monkey waits until all is calm, unless the burst ends with ``~``: then for nothing at all.
    """

    size: tuple[int, int]
    bursts: tuple[tuple[str, ...], ...]


@cache
def bound_keys() -> tuple[str, ...]:
    """Every key that a screen or a widget binds, and those that a terminal sends besides."""
    bound = {key for _, keys in documented() for binding in keys for key in binding.key.split(",")}
    return tuple(sorted((bound | {"ctrl+p", "backspace", "delete", "space"}) - _ENDS))


def session(seed: int, bursts: int) -> Session:
    """The session of a seed."""
    random = Random(seed)
    size = random.choice(_SIZES[:2])
    return Session(size, tuple(tuple(_burst(random)) for _ in range(bursts)))


def _burst(random: Random) -> Iterator[str]:
    for _ in range(random.randint(1, 9)):
        yield random.choices((_key, _ending, _word, _resize, _other), weights=(10, 6, 5, 1, 1))[0](random)
    if random.random() < 0.4:
        yield "~"


def _key(random: Random) -> str:
    return random.choice(bound_keys())


def _ending(random: Random) -> str:
    """The keys on which screens open and close."""
    return random.choice(("enter", "enter", "escape", "f2", "f8", "f10", "f11", "f12", "ctrl+p"))


def _word(random: Random) -> str:
    return f"={random.choice(_WORDS)}"


def _resize(random: Random) -> str:
    width, height = random.choice(_SIZES)
    return f"@{width}x{height}"


def _other(random: Random) -> str:
    return f"!{random.randrange(len(_OTHERS))}"


def _note(db: str) -> None:
    edit_piece(db, "S-1", {"note": "looked at by somebody else"}, seen=show_piece(db, "S-1"))


# What somebody else does at another station meanwhile.
_OTHERS: tuple[Callable[[str], object], ...] = (
    lambda db: lend_piece(db, "S-1", "Ann"),
    lambda db: return_piece(db, "S-1", "fit"),
    lambda db: return_piece(db, "B-250", "worn"),
    lambda db: hold_piece(db, "R-1", "7031", "2031-05-02"),
    lambda db: retire_piece(db, "N-1"),
    lambda db: count_drawer(db, "drawer 4", ["S-1"]),
    _note,
)


def prepare(db: str) -> None:
    """Something is out, something is held, a count is open."""
    lend_piece(db, "R-1", "Ann")
    hold_piece(db, "S-1", "7031", "2031-05-02")
    count_drawer(db, "drawer 4", ["S-1"])


def play(at: Session, folder: Path) -> str:
    """Play a session on a filled crib in ``folder``; what went wrong, or nothing. The working directory is the caller's."""
    faults: list[str] = []

    def report(error: Exception) -> str:
        faults.append(f"{type(error).__name__}: {error}")
        return "a fault of ours"

    file = folder / "crib.db"
    file.unlink(missing_ok=True)
    with databases.database("filled", file) as db:
        prepare(db)
        try:
            asyncio.run(_played(at, db, Desks(report=report)))
        except Exception as error:
            faults.append(f"{type(error).__name__}: {error}")
        faults.extend(str(finding) for finding in check_data(db))
    return "; ".join(dict.fromkeys(faults))


async def _played(at: Session, db: str, desks: Desks) -> None:
    app = BroachplanApp(db, QUESTION, desks)
    async with unpainted(app, at.size) as pilot:
        hands = Hands(app, pilot, db)
        await hands.settle()
        for burst in at.bursts:
            await hands.play(burst)
        await asyncio.wait_for(hands.home(), _LONGEST_ANSWER)


class Hands(Drive):
    """The monkey's hands."""

    def __init__(self, app: BroachplanApp, pilot: Pilot[None], db: str) -> None:
        super().__init__(app, pilot, Bench())
        self.db = db

    async def play(self, burst: Sequence[str]) -> None:
        """One burst."""
        for step in burst:
            if step == "~":
                return
            self._step(step)
        await asyncio.wait_for(self.settle(), _LONGEST_ANSWER)

    async def home(self) -> None:
        """The app still answers: escape leads back to the desk, and help opens there."""
        await self.settle()
        for _ in range(60):
            if isinstance(self.app.screen, DeskScreen):
                break
            # A question is answered with F2, one before leaving with F8: escape goes back to what asked.
            await self.press({"confirm": "f2", "leave": "f8"}.get(self.app.screen.name or "", "escape"))
        assert isinstance(self.app.screen, DeskScreen), f"{self.app.screen} does not lead back to the desk"
        await self.press("f1")
        assert self.app.screen.name == "help", "F1 opens no help"

    def _step(self, step: str) -> None:
        kind, rest = step[:1], step[1:]
        if kind == "=" and rest:
            for character in rest:
                self.app.post_message(events.Key(_character_to_key(character), character))
        elif kind == "@":
            width, height = map(int, rest.split("x"))
            self.app.post_message(events.Resize(Size(width, height), Size(width, height)))
        elif kind == "!" and rest:
            with suppress(BroachplanError):
                _OTHERS[int(rest)](self.db)
        else:
            self.app.post_message(events.Key(step, step if len(step) == 1 else None))


def shrunk(at: Session, fails: Callable[[Session], bool]) -> Session:
    """The session without the bursts, then without the steps, that it fails without as well."""
    bursts = [list(burst) for burst in at.bursts]
    for wide in (len(bursts) // 2, 2, 1):
        place = 0
        while wide and place < len(bursts):
            fewer = bursts[:place] + bursts[place + wide :]
            if fails(Session(at.size, tuple(map(tuple, fewer)))):
                bursts = fewer
            else:
                place += wide
    for burst in bursts:
        for step in range(len(burst) - 1, -1, -1):
            kept = burst.pop(step)
            if not fails(Session(at.size, tuple(map(tuple, bursts)))):
                burst.insert(step, kept)
    return Session(at.size, tuple(tuple(burst) for burst in bursts if burst))
