"""The shipped materials as rows of a list, with what else a shop calls them."""

from __future__ import annotations

from collections.abc import Sequence

from broachplan.errors import InputError
from broachplan.sheets.result import Column
from broachplan.sheets.table import Row, having
from broachplan.tooling.materials import Material, find_material, materials, why_taken_for
from tui.plain import plain

MATERIAL_COLUMNS = (
    Column("material", least=16),
    Column("chips"),
    Column("other names", least=10),
)


def material_row(material: Material) -> Row:
    """One material: its name, how its chips behave, its other names."""
    return (material.name, material.group.value, ", ".join(material.other_names))


def materials_like(typed: str) -> Sequence[Material]:
    """The materials that have every word that is typed somewhere; the one that all of it names comes first."""
    found = [material for _, material in having([(material_row(each), each) for each in materials()], typed)]
    try:
        meant = find_material(typed)
    except InputError:
        return found
    return [meant, *(each for each in found if each is not meant)]


def about_material(material: Material, typed: str) -> str:
    """Why what is typed is taken for this material, where it is its other name; then all its names."""
    why = why_taken_for(typed) if typed.strip() in material.other_names else None
    names = f"{material.name}, {material.group.value}: {', '.join(material.other_names) or 'no other names'}"
    return "\n".join(plain(line) for line in (why, names) if line)
