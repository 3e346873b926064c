"""The shipped materials as a list: each with how its chips behave and what else a shop calls it."""

from __future__ import annotations

from collections.abc import Sequence

from broachplan.errors import InputError
from broachplan.sheets.result import Column
from broachplan.sheets.table import Field, View, having, rows_of
from broachplan.tooling.materials import Material, find_material, materials, why_taken_for

MATERIALS: tuple[Field[Material], ...] = (
    Field(Column("material", least=16), lambda material: material.name),
    Field(Column("chips"), lambda material: material.group.value),
    Field(Column("other names", least=10), lambda material: ", ".join(material.other_names)),
)


def materials_like(typed: str) -> Sequence[Material]:
    """The materials that have every word that is typed somewhere; the one that all of it names comes first."""
    every = [*materials()]
    rows = rows_of(MATERIALS, every, View())
    found = [material for _, material in having(zip(rows, every, strict=True), typed)]
    try:
        meant = find_material(typed)
    except InputError:
        return found
    return [meant, *(each for each in found if each is not meant)]


def about_material(material: Material, typed: str) -> tuple[str, ...]:
    """Why what is typed is taken for this material, where it is its other name; then all its names."""
    why = why_taken_for(typed) if typed.strip() in material.other_names else None
    names = f"{material.name}, {material.group.value}: {', '.join(material.other_names) or 'no other names'}"
    return (why, names) if why else (names,)
