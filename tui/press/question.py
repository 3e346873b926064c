"""What is asked at the press beside the step itself: a short list, answered by a digit and Enter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from tui.press.gauging import Gauging
from tui.press.sight import Bar, Large
from tui.press.typed import PadKey, TypedReading

BACK = 0
A_DIGIT = "A digit and Enter"
A_DIGIT_OR_BACK = f"{A_DIGIT}; 0 goes back"


@dataclass(frozen=True, slots=True)
class Say:
    """Only words: nothing is done."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Send:
    """Acts, one after the other: each makes its request from what the one before it left."""

    acts: tuple[Callable[[Any], Any], ...]


@dataclass(frozen=True, slots=True)
class Measure:
    """From now on this station gauges in another way."""

    gauging: Gauging


@dataclass(frozen=True, slots=True, kw_only=True)
class PressQuestion:
    """A heading, what to know, numbered answers, and what to know beside them; ``0`` leaves it.

    One that ``stays`` is what the run waits for, so nothing leads back from it.
    ``gauged`` takes a size that is typed, ``words`` anything else: tags, a name.
    """

    heading: str
    lines: tuple[str, ...] = ()
    answers: tuple[tuple[str, PadOutcome], ...] = ()
    after: tuple[str, ...] = ()
    prompt: str = A_DIGIT_OR_BACK
    unit: bool = False
    gauged: Callable[[TypedReading], PadOutcome] | None = None
    words: Callable[[str], PadOutcome] | None = None
    key: PadKey | None = None
    left: Large | None = None
    right: Large | None = None
    bar: Bar | None = None
    stays: bool = False


@dataclass(frozen=True, slots=True)
class Later:
    """A question, or what is done, made when it is chosen."""

    make: Callable[[], PadOutcome]


@dataclass(frozen=True, slots=True)
class Leave:
    """Back to the step."""

    said: tuple[str, ...] = field(default=())


PadOutcome = Say | Send | PressQuestion | Later | Leave | Measure


def listed(question: PressQuestion) -> tuple[str, ...]:
    """A question as lines to read."""
    numbered = (f"{number}  {words}" for number, (words, _) in enumerate(question.answers, 1))
    gap = ("",) if question.lines and question.answers else ()
    behind = ("", *question.after) if question.after else ()
    return (*question.lines, *gap, *numbered, *behind)


def answered(question: PressQuestion, digit: int) -> PadOutcome:
    """What a digit chooses."""
    if digit == BACK and not question.stays:
        return Leave()
    if 0 < digit <= len(question.answers):
        return made(question.answers[digit - 1][1])
    return not_an_answer(question, str(digit))


def not_an_answer(question: PressQuestion, text: str) -> Say:
    """What was read, and what can be typed instead."""
    most = len(question.answers)
    if most:
        instead = f"type 1 to {most}" if most > 1 else "type 1"
    else:
        instead = "type the size that is asked for" if question.gauged else "there is nothing to choose here"
    return Say((f"read {text}; {instead}{'' if question.stays else ', or 0 to go back'}",))


def made(outcome: PadOutcome) -> PadOutcome:
    """What is chosen, made if it was not yet."""
    while isinstance(outcome, Later):
        outcome = outcome.make()
    return outcome
