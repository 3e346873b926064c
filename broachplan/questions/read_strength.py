"""The question of a key's strength, read once; what cannot be read is refused in one sentence."""

from __future__ import annotations

from broachplan.errors import InputError
from broachplan.keyways.key import Key, read_key, read_standard, standard_of
from broachplan.keyways.parallel import joint
from broachplan.keyways.strength import Load, Strength, Strengths, key_strength
from broachplan.lengths import Length, System, parse_length
from broachplan.quantities import Pressure, parse_power, parse_pressure, parse_torque
from broachplan.questions.shaft import StrengthQuestion
from broachplan.questions.texts import read_revolutions, read_safety
from broachplan.standards.iso_286 import read_sized
from broachplan.standards.named import PARALLEL, Shape


def read_strength(question: StrengthQuestion) -> Strength:
    """Read the question and answer it, for the shaft's nominal size.

    Raises
    ------
    InputError : a figure that cannot be read or cannot be; see `key_strength` and `joint`.
    """
    limits, system, _ = read_sized(question.shaft, "shaft")
    key, remarks = _key(question, limits.nominal, system)
    return key_strength(
        limits.nominal,
        key,
        Strengths(
            key_yield=_pressure(question.key_yield, "key yield"),
            key_shear=_pressure(question.shear_strength, "shear strength"),
            key_bearing=_pressure(question.bearing_strength, "bearing strength"),
            shaft_yield=_pressure(question.shaft_yield, "shaft yield"),
            hub_yield=_pressure(question.hub_yield, "hub yield"),
        ),
        Load(
            torque=parse_torque(question.torque) if question.torque else None,
            power=parse_power(question.power) if question.power else None,
            rpm=read_revolutions(question.rpm) if question.rpm else None,
        ),
        length=parse_length(question.straight) if question.straight else None,
        safety=read_safety(question.safety_factor) if question.safety_factor else None,
        remarks=remarks,
    )


def _key(question: StrengthQuestion, shaft: Length, system: System) -> tuple[Key, tuple[str, ...]]:
    """The key named by width and height, else the standard's with what there is to say of it."""
    standard = read_standard(question.standard) if question.standard else standard_of(system)
    if standard not in PARALLEL:
        raise InputError("standard", "strength is reckoned for parallel keys, inch or metric", shown=standard)
    size = read_key(question.key) if question.key else None
    if size and size.height:
        shape = Shape.SQUARE if size.width == size.height else Shape.RECTANGULAR
        return Key(size.width, size.height, shape), ()
    by_standard = joint(shaft, standard=standard, key=size)
    return by_standard.key, by_standard.remarks


def _pressure(text: str, what: str) -> Pressure | None:
    return parse_pressure(text, what) if text else None
