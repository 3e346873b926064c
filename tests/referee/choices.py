"""What a random crib is drawn with: hypothesis, which shrinks what failed, or a seed, which is many times quicker."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Protocol, TypeVar

from hypothesis import strategies as st

T = TypeVar("T")


class Choices(Protocol):
    """Where the figures of a crib come from."""

    def of(self, options: Sequence[T]) -> T:
        """One of the options."""

    def between(self, low: int, high: int) -> int:
        """A whole number, both ends included."""

    def order(self, options: Sequence[T]) -> Sequence[T]:
        """All options in any order."""


class Seeded:
    """The same choices for the same seed."""

    def __init__(self, seed: str) -> None:
        random = Random(seed)
        self.of = random.choice
        self.between = random.randint
        self._random = random

    def order(self, options: Sequence[T]) -> Sequence[T]:
        return self._random.sample(options, len(options))


class Drawn:
    """The choices of hypothesis."""

    def __init__(self, draw: st.DrawFn) -> None:
        self._draw = draw

    def of(self, options: Sequence[T]) -> T:
        return self._draw(st.sampled_from(options))

    def between(self, low: int, high: int) -> int:
        return self._draw(st.integers(low, high))

    def order(self, options: Sequence[T]) -> Sequence[T]:
        return self._draw(st.permutations(options))


def rare(choose: Choices, odds: int) -> bool:
    """True about once in ``odds``."""
    return choose.between(1, odds) == odds
