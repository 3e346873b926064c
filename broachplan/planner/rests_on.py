"""What an answer rests on: the sources of its forces, and the limits and constants without a book behind them."""

from __future__ import annotations

from collections.abc import Iterator

from broachplan.planner.answer import Answer
from broachplan.settings import ABOUT, MEMORY
from broachplan.standards.constants import OF_PLANS
from broachplan.tooling.materials import RANK_NOTE


def all_notes(answer: Answer) -> tuple[str, ...]:
    """The answer's own notes, then what it rests on: the same on the screen, at the command line and in JSON."""
    return (*answer.notes, *_forces(answer), *_from_memory())


def _forces(answer: Answer) -> Iterator[str]:
    material = answer.hub.material
    if material is None:
        return
    dulled = f", times {float(answer.settings.dull_edge):g} for a dulled edge"
    for side, force, factor in (("low", material.low, ""), ("high", material.high, dulled)):
        memory = ", from memory" if force.status == MEMORY else ""
        yield f"{side} force: {force.source}{memory}{factor}"
    if "steel" in material.name:
        yield f"rank of the steels: {RANK_NOTE}"


def _from_memory() -> Iterator[str]:
    limits = (name for name, about in ABOUT.items() if MEMORY in about["source"])
    yield f"limits from memory, a shop sets its own: {_listed(limits)} (broachplan settings show)"
    fixed = (one.name for one in OF_PLANS if one.status == MEMORY)
    yield f"constants from memory: {_listed(fixed)} (broachplan settings show)"


def _listed(names: Iterator[str]) -> str:
    return ", ".join(name.replace("_", " ") for name in names)
