"""Shims at the press: in which order they lie, and what stays in from one pass to the next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from broachplan.lengths import Length
from broachplan.tooling.pieces import Shim


@dataclass(frozen=True, slots=True)
class StackChange:
    """From one stack to the next: what stays in, what is added, what is taken out; each from the slot floor up."""

    stays: tuple[Shim, ...]
    added: tuple[Shim, ...]
    taken_out: tuple[Shim, ...]


def floor_first(stack: Iterable[Shim]) -> tuple[Shim, ...]:
    """Shims as they lie: the thinnest at the slot floor, where it is held flat; of equal ones the smaller tag first."""
    return tuple(sorted(stack, key=lambda shim: (shim.thickness or Length(0), shim.tag)))


def change_between(before: Iterable[Shim], after: Iterable[Shim]) -> StackChange:
    """What is done to the shims between two passes."""
    lay, lying = floor_first(before), floor_first(after)
    had, wanted = {shim.tag for shim in lay}, {shim.tag for shim in lying}
    return StackChange(
        stays=tuple(shim for shim in lying if shim.tag in had),
        added=tuple(shim for shim in lying if shim.tag not in had),
        taken_out=tuple(shim for shim in lay if shim.tag not in wanted),
    )
