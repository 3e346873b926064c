"""The kinds of value of coming work alone: how many, on how many days, how urgent, for how much money.

Each reader loads what it needs when the first text is read.
"""

from __future__ import annotations

from broachplan.questions.line import ValueKind, Values

MOST_SECONDS = 86_400


def _quantity(text: str, what: str, _: Values) -> object:
    from broachplan.jobs.job import MOST_QUANTITY, read_whole

    return read_whole(text, what, MOST_QUANTITY)


def _job_days(text: str, what: str, _: Values) -> object:
    from broachplan.jobs.job import MOST_JOB_DAYS, read_whole

    return read_whole(text, what, MOST_JOB_DAYS)


def _priority(text: str, what: str, _: Values) -> object:
    from broachplan.jobs.job import LEAST_PRIORITY, read_whole

    return read_whole(text, what, LEAST_PRIORITY)


def _job_state(text: str, _what: str, _: Values) -> object:
    from broachplan.jobs.job import read_job_state

    return read_job_state(text)


def _amount(text: str, what: str, _: Values) -> object:
    from broachplan.money import read_amount

    return read_amount(text, what)


def _seconds(text: str, what: str, _: Values) -> object:
    from broachplan.jobs.job import read_whole

    return read_whole(text, what, MOST_SECONDS)


QUANTITY = ValueKind("N", _quantity)
JOB_DAYS = ValueKind("N", _job_days)
PRIORITY = ValueKind("N", _priority)
JOB_STATE = ValueKind("STATE", _job_state)
AMOUNT = ValueKind("AMOUNT", _amount)
SECONDS = ValueKind("SECONDS", _seconds)
