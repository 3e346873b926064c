"""The three forms of shaft, key and hub, and the questions that they ask together."""

from __future__ import annotations

from typing import TYPE_CHECKING

from broachplan.questions.hub import SHARED_WITH_SHAFT
from broachplan.questions.line import Values, asked, lines_of, without
from broachplan.questions.shaft import JointQuestion, KeyseatQuestion, StrengthQuestion

if TYPE_CHECKING:
    from broachplan.keyways.joint import Joint
    from broachplan.keyways.milling_card import Card
    from broachplan.keyways.strength import Strength

JOINT_LINES = without(lines_of(JointQuestion), "number")
_SHARED = tuple(each.name for each in lines_of(JointQuestion))
# What the first form asks already is not asked again.
MILL_LINES = without(lines_of(KeyseatQuestion), *_SHARED)
STRENGTH_LINES = without(lines_of(StrengthQuestion), *_SHARED)


def start_for(hub: Values) -> dict[str, str]:
    """What the first form shows for a hub: the shaft is the bore's nominal size, its limits are not the bore's."""
    from broachplan.errors import InputError
    from broachplan.keyways.key import size_name
    from broachplan.standards.iso_286 import read_sized

    start = {name: hub[name] for name in SHARED_WITH_SHAFT}
    try:
        return {**start, "shaft": size_name(read_sized(hub["bore"], "bore").limits.nominal)}
    except InputError:
        return start


def joint_of(values: Values) -> Joint:
    """The answer to the first form; raises `InputError` in one line."""
    from broachplan.questions.read_joint import read_joint

    return read_joint(asked(JointQuestion, values))


def card_of(joint: Values, mill: Values) -> Card:
    """The milling card of the two forms. The length says where the cutter stops once the cutter is known."""
    from broachplan.questions.read_keyseat import read_card

    idle = {"length": "" if not mill["cutter"] else joint["length"]}
    over = {"measured_over": mill["measured_over"] if mill["measured"] else ""}
    return read_card(asked(KeyseatQuestion, {**joint, **mill, **idle, **over}))


def strength_of(joint: Values, answer: Joint, typed: Values) -> Strength:
    """The advisory for the key of ``answer``, along the length of the first form unless another is given."""
    from broachplan.lengths import write_exact
    from broachplan.questions.read_strength import read_strength

    key = answer.key
    meant = {
        "shaft": joint["shaft"],
        "standard": answer.standard.value,
        "key": f"{write_exact(key.width)} x {write_exact(key.height)}",
        "straight": typed["straight"] or joint["length"],
    }
    return read_strength(asked(StrengthQuestion, {**typed, **meant}))
