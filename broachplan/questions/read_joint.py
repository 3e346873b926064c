"""The question of shaft, key and hub, read once; what cannot be read is refused in one sentence."""

from __future__ import annotations

from broachplan.keyways.joint import Joint
from broachplan.keyways.key import read_fit, read_key, read_named_key, read_shape
from broachplan.keyways.parallel import joint
from broachplan.lengths import parse_length
from broachplan.questions.shaft import JointQuestion
from broachplan.standards.iso_286 import read_sized


def read_joint(question: JointQuestion) -> Joint:
    """Read the question and answer it, for the shaft's nominal size.

    Raises
    ------
    InputError : a figure that cannot be read or cannot be; see `joint`.
    """
    shaft, system, _ = read_sized(question.shaft, "shaft")
    standard, key = read_named_key(question.key, question.standard, system, number=question.number)
    return joint(
        shaft.nominal,
        standard=standard,
        key=key,
        shape=read_shape(question.shape) if question.shape else None,
        fit=read_fit(question.fit) if question.fit else None,
        top_clearance=not question.no_top_clearance,
        hub_key=read_key(question.hub_key, standard) if question.hub_key else None,
        length=parse_length(question.length, "length") if question.length else None,
    )
