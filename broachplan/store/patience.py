"""How long a database is waited for: a command may wait, at a screen somebody has a piece in the hand."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Patience:
    """Seconds to wait for a connection, for others who write, and for a server that says nothing.

    A server can freeze after it let somebody in: the first and the last then add up.
    """

    connect: int
    lock: int
    answer: float


SCREEN = Patience(connect=3, lock=4, answer=4.5)
_patience: ContextVar[Patience | None] = ContextVar("patience", default=None)


def patience() -> Patience | None:
    """What holds here; None where one may wait as long as a command does."""
    return _patience.get()


@contextmanager
def at_a_screen() -> Iterator[None]:
    """Within, nothing waits longer than somebody at a screen does."""
    before = _patience.set(SCREEN)
    try:
        yield
    finally:
        _patience.reset(before)
