"""How what is typed in the joint's forms is read, by the pure rooms: line by line, then as a whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from broachplan.errors import InputError
from broachplan.keyways.joint import Joint
from broachplan.keyways.joint_words import Written as WrittenJoint
from broachplan.keyways.joint_words import is_number, read_joint, read_shaft_key
from broachplan.keyways.key import read_key
from broachplan.keyways.keyway import Standard
from broachplan.keyways.milling_card import Card
from broachplan.keyways.milling_words import Written as WrittenCard
from broachplan.keyways.milling_words import read_card, read_deviations
from broachplan.keyways.strength import Strength
from broachplan.keyways.strength_words import Written as WrittenStrength
from broachplan.keyways.strength_words import read_strength
from broachplan.lengths import System, parse_length, read_limits, write_exact
from broachplan.quantities import parse_power, parse_pressure, parse_speed, parse_torque
from tui.fields import Field

Values = Mapping[str, str]
_LENGTHS = {
    "length": "length",
    "finder": "finder",
    "cutter": "cutter",
    "from_end": "from",
    "step": "step",
    "key_height": "key height",
    "measured": "measured",
    "straight": "bears along",
}
_STRESSES = {
    "key_yield": "key yield",
    "shear_strength": "shear strength",
    "bearing_strength": "bearing strength",
    "shaft_yield": "shaft yield",
    "hub_yield": "hub yield",
}
CHECKS: Mapping[str, Callable[[str, Values], object]] = {
    "shaft": lambda text, _: read_limits(text, "shaft"),
    "key": lambda text, values: read_shaft_key(text, values["standard"]),
    "hub_key": lambda text, values: read_key(text, _standard(values)),
    "depth_limits": lambda text, _: read_deviations(text, System.INCH),
    "speed": lambda text, _: parse_speed(text, "speed"),
    "torque": lambda text, _: parse_torque(text),
    "power": lambda text, _: parse_power(text),
}


def reason_against(field: Field, text: str, values: Values) -> str:
    """Why ``text`` will not do in this line; empty where it will. What goes with other lines is told by the whole."""
    try:
        if field.name in _LENGTHS:
            parse_length(text, _LENGTHS[field.name])
        elif field.name in _STRESSES:
            parse_pressure(text, _STRESSES[field.name])
        elif field.name in CHECKS:
            CHECKS[field.name](text, values)
    except InputError as error:
        return str(error)
    return ""


def joint_of(values: Values) -> Joint:
    """The joint that the first form asks for; raises InputError in one line."""
    asked = {name: text for name, text in values.items() if name != "no_top_clearance"}
    return read_joint(WrittenJoint(**asked, no_top_clearance=values["no_top_clearance"] == "no"))


def card_of(joint: Values, mill: Values) -> Card:
    """The milling card of the two forms. A length tells where the cutter stands once the cutter is known."""
    numbered = is_number(joint["key"])
    asked = {name: text for name, text in mill.items() if name != "measured_over"}
    return read_card(
        WrittenCard(
            shaft=joint["shaft"],
            standard=joint["standard"],
            key="" if numbered else joint["key"],
            number=joint["key"] if numbered else "",
            shape=joint["shape"],
            fit=joint["fit"],
            length=joint["length"] if mill["cutter"] else "",
            measured_over=mill["measured_over"] if mill["measured"] else "",
            **asked,
        )
    )


def strength_of(joint: Values, answer: Joint, typed: Values) -> Strength:
    """The advisory for the key of ``answer``, along the length of the first form unless another is given."""
    asked = {name: text for name, text in typed.items() if name not in ("straight", "safety_factor")}
    key = answer.key
    return read_strength(
        WrittenStrength(
            shaft=joint["shaft"],
            standard=answer.standard.value,
            key=f"{write_exact(key.width)} x {write_exact(key.height)}",
            length=typed["straight"] or joint["length"],
            safety=typed["safety_factor"],
            **asked,
        )
    )


def _standard(values: Values) -> Standard:
    if is_number(values["key"]):
        return Standard.WOODRUFF
    return Standard(values["standard"]) if values["standard"] else Standard.INCH
