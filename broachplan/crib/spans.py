"""A loan is a span of days, and so is a hold: where two of them meet, somebody is asked first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from broachplan.crib.holds import same_work
from broachplan.crib.loans import Asker, Loan, PieceStatus, already_out
from broachplan.crib.records import Condition


@dataclass(frozen=True, slots=True)
class DaysOut:
    """Days from the ``first`` to the ``last``, both among them; without a last one nobody knows when they end."""

    first: date
    last: date | None

    def meets(self, days: Sequence[date]) -> bool:
        """Whether one of some days in order is among these."""
        return days[-1] >= self.first and (self.last is None or days[0] <= self.last)


def days_of_loan(loan: Loan, today: date, length: int | None) -> DaysOut:
    """The days on which a piece is out, as far as anybody knows.

    Parameters
    ----------
    today : what should have been back before it is out for nobody knows how long.
    length : after how many days a loan without a due day ends; None where the shop has not said: then it is back today.
    """
    if loan.due is not None:
        return DaysOut(loan.since, loan.due if loan.due >= today else None)
    if loan.sent:
        return DaysOut(loan.since, None)
    # The calendar ends one day too.
    usual = min(loan.since.toordinal() + (length or 0), date.max.toordinal())
    return DaysOut(loan.since, max(date.fromordinal(usual), today))


def wanted(tag: str, held: Mapping[date, str], span: DaysOut, asker: Asker) -> str:
    """The first day of a span on which a piece is held for work that is not the asker's, as a question; empty for none."""
    for day in sorted(held):
        inside = day >= span.first and (span.last is None or day <= span.last)
        if inside and not asker.may_use(held[day], tag, day):
            if day == span.first:
                return f"{tag} is held on {day} for {held[day]}"
            return f"{tag} is wanted {day} for {held[day]}: due back before?"
    return ""


def in_doubt(
    status: PieceStatus, days: Sequence[date], for_what: str, today: date, length: int | None
) -> Iterator[str]:
    """Why a piece may not be there for some work on some days: it is missing, out till then, or not fit."""
    tag, loan = status.tag, status.loan
    if status.missing_since is not None:
        yield f"{tag} is missing since {status.missing_since}"
    others = loan is not None and (loan.sent or not same_work(loan.job, for_what))
    if loan is not None and others and days_of_loan(loan, today, length).meets(days):
        yield f"{already_out(tag, loan)}: back before {days[0]}?"
    # What is sent out because it is worn comes back to be used.
    if status.condition is not Condition.FIT and not (loan and loan.sent):
        yield f"{tag} is {status.condition.words}"
