"""An answer shows what it rests on: sources of the forces, and what is from memory."""

from __future__ import annotations

from broachplan.planner.rests_on import all_notes
from broachplan.tooling.materials import find_material
from tests.planner.setups import BASE


def shown(material: str | None) -> str:
    hub = {"material": find_material(material) if material else None}
    return " | ".join(all_notes(BASE.but(hub=hub).answer()))


def test_both_forces_name_their_source_and_whether_it_is_from_memory() -> None:
    notes = shown("mild steel")

    assert (
        "low force: steel of medium tensile strength: power law through a handbook's broaching pressures"
        in notes
    )
    assert "extrapolated outside them, from memory" in notes
    assert "high force: St 42: kc1.1 and mc fitted to lathe chuck manual RN-1391, p. 43, table 2" in notes
    assert "St 50-2" in notes


def test_a_material_that_is_no_steel_is_not_ranked_among_them() -> None:
    assert "rank of the steels" not in shown("brass")


def test_limits_and_constants_from_memory_are_named_even_without_a_material() -> None:
    notes = shown(None)

    assert "low force" not in notes
    assert "press share" in notes
    assert "column ends" in notes
    assert "constants from memory: column modulus, root stress, gullet share" in notes
