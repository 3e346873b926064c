"""Where pieces live: homes written as cabinet / drawer / place, compared and put in order as people read them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches

from broachplan.crib.loans import PieceStatus

_IN_A_DRAWER = 2
_DIGITS = re.compile(r"([0-9]+)")
Order = tuple[tuple[tuple[int, str], ...], ...]


@dataclass(frozen=True, slots=True)
class Home:
    """A home as its parts: the first two name the drawer, the rest the place in it.

    A home of one part, such as a bench, is its own drawer; one of no part is no home.
    """

    parts: tuple[str, ...]

    @classmethod
    def read(cls, text: str) -> Home:
        """The home that a text names; spaces around its parts and empty parts count for nothing."""
        return cls(tuple(part for part in map(str.strip, text.split("/")) if part))

    @property
    def drawer(self) -> Home:
        """The drawer it lies in."""
        return Home(self.parts[:_IN_A_DRAWER])

    @property
    def key(self) -> tuple[str, ...]:
        """The parts as they are compared: in any case."""
        return tuple(part.casefold() for part in self.parts)

    @property
    def order(self) -> Order:
        """What homes are sorted by: part by part, numbers as numbers, so that A/2 comes before A/10."""
        return tuple(tuple(map(_word_or_number, _DIGITS.split(part))) for part in self.key)

    def is_in(self, drawer: Home) -> bool:
        """Whether it lies in the drawer that the other home is in."""
        return bool(self.parts) and self.drawer.key == drawer.drawer.key

    def at(self, place: str) -> Home:
        """A place in this home's drawer; the drawer itself where no place is said."""
        return Home((*self.drawer.parts, *Home.read(place).parts))

    def __bool__(self) -> bool:
        return bool(self.parts)

    def __str__(self) -> str:
        return "/".join(self.parts)


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece as the books have it: its status and its home, ``home`` as it was typed."""

    status: PieceStatus
    home: str = ""
    set_name: str = ""

    @property
    def tag(self) -> str:
        """The tag of the piece."""
        return self.status.tag


@dataclass(frozen=True, slots=True)
class Drawer:
    """A drawer and how many pieces live in it, whether they are there or not; retired ones do not count."""

    home: Home
    pieces: int

    def __str__(self) -> str:
        return str(self.home)


def drawers_of(homes: Iterable[str]) -> tuple[Drawer, ...]:
    """The drawers that some homes lie in, in order, each spelt as it comes first; what has no home is in none."""
    spelt: dict[tuple[str, ...], Home] = {}
    pieces: dict[tuple[str, ...], int] = {}
    for drawer in (Home.read(home).drawer for home in homes):
        if drawer:
            spelt.setdefault(drawer.key, drawer)
            pieces[drawer.key] = pieces.get(drawer.key, 0) + 1
    found = (Drawer(drawer, pieces[key]) for key, drawer in spelt.items())
    return tuple(sorted(found, key=lambda drawer: drawer.home.order))


def drawers_like(drawer: Home, known: Iterable[Drawer], most: int = 3) -> Iterator[str]:
    """The known drawers most like an unknown one: in its cabinet, else by their letters."""
    names = [str(each) for each in known]
    begun = [name for name in names if Home.read(name).key[:1] == drawer.key[:1]]
    near = get_close_matches(str(drawer), names, n=most, cutoff=0.5)
    yield from [*near, *(name for name in begun if name not in near)][:most]


def _word_or_number(text: str) -> tuple[int, str]:
    """What a piece of a split part is compared by: words and digits take turns, so that like meets like."""
    return (int(text) if text.isascii() and text.isdigit() else 0, text)
