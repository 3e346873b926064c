"""The question of one hub turned into the hub and the keyway asked for."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.keyways.key import read_fit, read_named_key, read_shape
from broachplan.keyways.keyway import Keyway
from broachplan.keyways.parallel import hub_keyway
from broachplan.lengths import parse_length, write_exact
from broachplan.questions.hub import HubQuestion
from broachplan.standards.iso_286 import read_sized
from broachplan.tooling.hub import BoreForm, Hub, parse_hardness, read_bore_form, read_stack
from broachplan.tooling.materials import find_material, why_taken_for


def read_hub_question(question: HubQuestion) -> tuple[Hub, Keyway]:
    """The hub and the keyway that a question is about.

    The standard, where none is named, follows the unit of the bore; a key's number means the inch Woodruff standard.

    Raises
    ------
    InputError : a field that cannot be read, or fields that do not go together; one line, naming the field.
    """
    hub = read_hub(question)
    standard, key = read_named_key(question.key, question.standard, hub.system)
    keyway = hub_keyway(
        hub.bore,
        standard=standard,
        key=key,
        shape=read_shape(question.shape) if question.shape else None,
        fit=read_fit(question.fit) if question.fit else None,
        top_clearance=not question.no_top_clearance,
        reading=read_sized(question.reading, "reading") if question.reading else None,
        width=read_sized(question.keyway_width, "keyway width") if question.keyway_width else None,
        aim=parse_length(question.aim, "aim") if question.aim else None,
    )
    _check_wall(hub, keyway)
    return hub, keyway


def read_hub(question: HubQuestion) -> Hub:
    """The hub alone, without what is to be cut in it; raises as `read_hub_question`."""
    bore = read_sized(question.bore, "bore")
    return Hub(
        bore=bore.limits,
        system=bore.system,
        bore_toleranced=bore.toleranced,
        length=parse_length(question.hub_length, "hub length"),
        stack=read_stack(question.stack) if question.stack else 1,
        outside_diameter=parse_length(question.hub_od, "hub outside diameter") if question.hub_od else None,
        hardness=parse_hardness(question.hardness) if question.hardness else None,
        material=find_material(question.material) if question.material else None,
        material_remark=why_taken_for(question.material) if question.material else None,
        bore_form=read_bore_form(question.bore_form) if question.bore_form else BoreForm.THROUGH,
        bore_measured=parse_length(question.bore_is, "bore as measured") if question.bore_is else None,
    )


def _check_wall(hub: Hub, keyway: Keyway) -> None:
    """The keyway's floor must lie inside the hub: its distance from the centre is T - D/2."""
    if hub.outside_diameter is None:
        return
    if hub.outside_diameter.nm <= 2 * keyway.reading.upper.nm - hub.bore.nominal.nm:
        raise InputError(
            f"hub outside diameter {write_exact(hub.outside_diameter)}",
            f"a reading of {write_exact(keyway.reading.upper)} would cut through the wall",
        )
