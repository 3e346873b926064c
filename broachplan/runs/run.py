"""What a run is from its start on: the question, the hubs and how they are cut, the settings, and the pieces as used."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum

from broachplan.crib.records import Measurement
from broachplan.errors import InputError
from broachplan.keyways.keyway import Keyway
from broachplan.settings import Settings
from broachplan.tooling.hub import Hub
from broachplan.tooling.pieces import Piece

MOST_HUBS = 100_000
EVERY = "every"


class Order(StrEnum):
    """In which order the loads are cut: each load through all its passes, or all loads through one pass after another."""

    LOADS = "loads"
    PASSES = "passes"


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPiece:
    """A piece with its figures as the run uses them, how they were measured, and the crib's version of the piece.

    ``lent_by_run``: the run lent it, so that it goes back with the run; else the worker had it already.
    """

    piece: Piece
    measured: Measurement = field(default_factory=Measurement)
    version: int = 1
    lent_by_run: bool = True

    @property
    def tag(self) -> str:
        """The tag of the piece."""
        return self.piece.tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A run as it was begun; what was done since is in its steps, and so are the pieces it has taken.

    ``question`` holds the hub's lines as they were typed; ``hub.stack`` is how many hubs a load has. ``read_each``: 1
    reads every hub, n the first, each nth and the last; as many as the quantity, the first and the last. ``press``
    is the tag of the press that was named; ``marks`` distinguish the hubs.
    """

    number: int
    question: Mapping[str, str | bool]
    hub: Hub
    keyway: Keyway
    settings: Settings
    program: str
    quantity: int = 1
    order: Order = Order.LOADS
    read_each: int = 1
    press: str | None = None
    job: str = ""
    drawing: str = ""
    marks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not 1 <= self.quantity <= MOST_HUBS:
            raise InputError("hubs", f"a run is of 1 to {MOST_HUBS:,} hubs", shown=self.quantity)
        if self.read_each < 1:
            raise InputError("read", "write every, or a whole number from 1", shown=self.read_each)
        if self.marks and len(self.marks) != self.quantity:
            raise InputError(
                "marks", f"there are {self.quantity} hubs; write one mark for each", shown=len(self.marks)
            )

    @property
    def loads(self) -> tuple[tuple[int, ...], ...]:
        """The numbers of the hubs in each load; the last one holds the rest."""
        size, hubs = self.hub.stack, self.quantity
        return tuple(tuple(range(first, min(first + size, hubs + 1))) for first in range(1, hubs + 1, size))

    def hub_of(self, hubs: int) -> Hub:
        """The hub, stacked as many times as a load with ``hubs`` of them in work."""
        return replace(self.hub, stack=hubs)

    def reads(self, hub: int) -> bool:
        """Whether a hub is one of those to be read: every one, or the first, each nth and the last."""
        return hub in (1, self.quantity) or hub % self.read_each == 0

    def mark(self, hub: int) -> str:
        """The mark of a hub; empty where none was given."""
        return self.marks[hub - 1] if self.marks else ""


def read_each_of(text: str, quantity: int) -> int:
    """How often to read: ``every`` or N; where nothing is typed the first hub and the last.

    Raises
    ------
    InputError : it is neither.
    """
    plain = text.strip().lower()
    if plain == EVERY:
        return 1
    if not plain:
        return quantity
    if not (plain.isascii() and plain.isdigit() and len(plain) < 7 and int(plain)):
        raise InputError("read", "write every, or each how many hubs to read, for example 5", read=text)
    return int(plain)
