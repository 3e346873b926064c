"""The question of a milling card, read once; what cannot be read is refused in one sentence."""

from __future__ import annotations

from broachplan.keyways.key import read_fit, read_named_key, read_shape
from broachplan.keyways.milling import milling_card
from broachplan.keyways.milling_card import Card, CardRequest, MicrometerReading
from broachplan.keyways.parallel import joint
from broachplan.lengths import Length, System, parse_length
from broachplan.quantities import parse_speed
from broachplan.questions.shaft import KeyseatQuestion
from broachplan.questions.texts import read_deviations, read_over
from broachplan.standards.iso_286 import read_sized


def read_card(question: KeyseatQuestion) -> Card:
    """Read the question and answer it.

    Raises
    ------
    InputError : a figure that cannot be read or cannot be; see `milling_card` and `joint`.
    """
    shaft, system, _ = read_sized(question.shaft, "shaft")
    standard, key = read_named_key(question.key, question.standard, system, number=question.number)
    seat = joint(
        shaft.nominal,
        standard=standard,
        key=key,
        shape=read_shape(question.shape) if question.shape else None,
        fit=read_fit(question.fit) if question.fit else None,
    )
    return milling_card(seat, shaft, _asked(question, system))


def _asked(question: KeyseatQuestion, system: System) -> CardRequest:
    def length(text: str, what: str) -> Length | None:
        return parse_length(text, what) if text else None

    return CardRequest(
        finder=length(question.finder, "finder"),
        cutter=length(question.cutter, "cutter"),
        length=length(question.length, "length"),
        from_end=length(question.from_end, "from"),
        step=length(question.step, "step"),
        own_limits=read_deviations(question.depth_limits, system) if question.depth_limits else None,
        speed=parse_speed(question.speed, "speed") if question.speed else None,
        key_height=length(question.key_height, "key height"),
        measured=_measured(question.measured, question.measured_over),
    )


def _measured(size: str, over: str) -> MicrometerReading | None:
    if not size and not over:
        return None
    return MicrometerReading(read_over(over), parse_length(size, "measured"))
