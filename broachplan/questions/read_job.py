"""A job read from what was typed: in the cells of a list, or in the options of a command."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from broachplan.crib.words import LONGEST_WORDS, checked_words, read_day
from broachplan.errors import InputError
from broachplan.jobs.job import (
    LEAST_PRIORITY,
    LONGEST_NUMBER,
    MOST_JOB_DAYS,
    MOST_QUANTITY,
    USUAL_PRIORITY,
    Job,
    read_whole,
)
from broachplan.questions.hub import JOB_COLUMNS, HubQuestion
from broachplan.questions.jobs import LINES, NEEDED, QUESTION
from broachplan.questions.line import asked
from broachplan.questions.read_hub import read_hub_question

_WHAT = {each.name: each.what for each in LINES}


class WrongJob(InputError):
    """What was typed is no job; ``wrong`` says of which columns, and why of each. As a line it is the first of them."""

    def __init__(self, wrong: Mapping[str, str]) -> None:
        column, said = next(iter(wrong.items()))
        super().__init__(_WHAT.get(column, column), said)
        self.wrong = wrong


def read_job(number: str, texts: Mapping[str, str]) -> Job:
    """The coming job of a number with these texts, by the names of `LINES`; what is not there was not given.

    Raises
    ------
    WrongJob : a text that cannot be read, or texts that do not go together.
    """
    wrong: dict[str, str] = {}
    given = {name: " ".join(text.split()) for name, text in texts.items()}
    for name in NEEDED:
        if not given.get(name):
            wrong[name] = "nothing was written; " + _RIGHT[name]
    read: dict[str, Any] = {}
    for name, reader in _READERS.items():
        try:
            read[name] = reader(given.get(name, ""))
        except InputError as error:
            wrong.setdefault(name, error.said)
    try:
        kept = _number(number)
    except InputError as error:
        wrong["number"] = error.said
    question = {name: given[name] for name in QUESTION if given.get(name)}
    wrong = {**_wrong_question(question, set(wrong)), **wrong}
    if wrong:
        raise WrongJob(wrong)
    try:
        return Job(number=kept, question=question, **read)
    except InputError as error:
        raise WrongJob({_column_of(error.field): error.said}) from error


def texts_of(job: Job) -> dict[str, str]:
    """What a job is as texts, by the names of `LINES`: read again they make the same job."""
    return {
        **{name: job.question.get(name, "") for name in QUESTION},
        "due": job.due.isoformat(),
        "quantity": str(job.quantity),
        "note": job.note,
        "days": str(job.days),
        "priority": str(job.priority),
        "drawing": job.drawing,
        "press_by": job.press_by.isoformat() if job.press_by else "",
        "after": job.after,
    }


def question_of(job: Job) -> HubQuestion:
    """The question of the hub that a job asks for."""
    return asked(HubQuestion, {name: job.question.get(name, "") for name in JOB_COLUMNS})


def _wrong_question(question: Mapping[str, str], known: set[str]) -> dict[str, str]:
    """What is wrong with the hub's question, unless a part of it is known to be missing."""
    wrong = {}
    for name, text in question.items():
        try:
            checked_words(text, _WHAT[name])
        except InputError as error:
            wrong[name] = error.said
    if wrong or known & {"bore", "hub_length"}:
        return wrong
    try:
        read_hub_question(asked(HubQuestion, {name: question.get(name, "") for name in JOB_COLUMNS}))
    except InputError as error:
        column = _column_of(error.field)
        return {column: error.said if column else str(error)}
    return {}


def _column_of(field: str) -> str:
    """The column that a message is about; empty where it is about several."""
    return next((name for name, what in (*_WHAT.items(), ("number", "number")) if field in (name, what)), "")


def _number(text: str) -> str:
    number = checked_words(" ".join(text.split()), "number", LONGEST_NUMBER)
    if not number:
        raise InputError("number", "nothing was written; write the job's number, for example J-701")
    return number


def _whole(what: str, most: int, otherwise: int) -> Callable[[str], int]:
    return lambda text: read_whole(text, what, most) if text else otherwise


def _words(what: str, most: int = LONGEST_WORDS) -> Callable[[str], str]:
    return lambda text: checked_words(text, what, most)


def _due(text: str) -> date | None:
    return read_day(text, "due")


_RIGHT = {
    "due": "write a day such as 2031-05-28",
    "quantity": f"write a whole number from 1 to {MOST_QUANTITY:,}",
    "bore": "write the bore, for example 1 in +0.001 -0.000",
    "hub_length": "write the length of the hub, for example 1-1/2 in",
}
_READERS: Mapping[str, Callable[[str], Any]] = {
    "due": _due,
    "quantity": _whole("quantity", MOST_QUANTITY, 1),
    "note": _words("note"),
    "days": _whole("days", MOST_JOB_DAYS, 1),
    "priority": _whole("priority", LEAST_PRIORITY, USUAL_PRIORITY),
    "drawing": _words("drawing"),
    "press_by": lambda text: read_day(text, "press by"),
    "after": _words("after", LONGEST_NUMBER),
}
