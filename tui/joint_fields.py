"""The lines of the joint's forms: what each is called and what it may hold."""

from __future__ import annotations

from tui.fields import FIELDS, Field

_SHARED = {field.name: field for field in FIELDS}

JOINT_FIELDS: tuple[Field, ...] = (
    Field("shaft", "Shaft", "(as 7/8 in)", needed=True),
    Field(
        "standard",
        "Standard",
        choices=(("", "as the shaft"), *_SHARED["standard"].choices[1:]),
    ),
    Field("key", "Key or number", "(the table's)"),
    _SHARED["shape"],
    _SHARED["fit"],
    _SHARED["no_top_clearance"],
    Field("hub_key", "Hub key", "(as the shaft's)"),
    Field("length", "Length", "(of key and seat)"),
)
MILL_FIELDS: tuple[Field, ...] = (
    Field("finder", "Edge finder", "(as 0.2 in)"),
    Field("cutter", "Cutter", "(as 1/4 in)"),
    Field("from_end", "From the end", "(runs out)"),
    Field("step", "Deepest step", "(as 0.050 in)"),
    Field("depth_limits", "Own limits", "(as +0 -0.010 in)"),
    Field("speed", "Cutting speed", "(as 90 ft/min)"),
    Field("key_height", "Key height", "(on size)"),
    Field("measured", "Measured", "(nothing yet)"),
    Field("measured_over", "  over the", choices=(("key", "key"), ("floor", "floor"))),
)
STRENGTH_FIELDS: tuple[Field, ...] = (
    Field("torque", "Torque", "(as 80 N m)"),
    Field("power", "or power", "(as 10 hp)"),
    Field("rpm", "at rev/min", "(as 1750)"),
    Field("safety_factor", "Safety factor", "(your choice)"),
    Field("straight", "Bears along", "(the length)"),
    Field("key_yield", "Key yield", "(as 50 ksi)"),
    Field("shear_strength", "Key shear", "(half its yield)"),
    Field("bearing_strength", "Key bearing", "(its yield)"),
    Field("shaft_yield", "Shaft yield", "(not known)"),
    Field("hub_yield", "Hub yield", "(not known)"),
)
