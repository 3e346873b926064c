"""Who has what, and when a piece may be lent, taken back or retired: rules on the status of a piece."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date

from broachplan.crib.entries import DUE, JOB, LACKED, LENT_TO, SENT, SINCE, Value
from broachplan.crib.holds import same_work
from broachplan.crib.people import folded
from broachplan.crib.records import Condition
from broachplan.crib.sharing import NOTHING_SHARED, Sharing
from broachplan.errors import InputError
from broachplan.tooling.figures import Kind

# What a set lacked when it was lent, as it is kept.
LONGEST_LACKED = 2_000
# How the words about a loan begin.
LENT, SENT_TO = "lent to ", "sent to "


@dataclass(frozen=True, slots=True)
class Loan:
    """A piece handed out: to whom, since when, and where known, when it is due back and for which job.

    ``sent``: it was sent out to be reground or repaired, so nobody works with it, and it is inspected when it is back.
    ``lacked`` are the tags that its set lacked when it was lent, as words.
    """

    to: str
    since: date
    due: date | None = None
    job: str = ""
    sent: bool = False
    lacked: str = ""

    @property
    def words(self) -> str:
        """Who has a piece, and since when."""
        return lent_words(self.to, self.since, self.sent)

    @property
    def terms(self) -> str:
        """The end of a sentence: when it is due and for which job, where known."""
        due = f", due {self.due}" if self.due else ""
        return f"{due}{f', job {self.job}' if self.job else ''}"

    def overdue(self, on: date) -> bool:
        """Whether it should have been back before that day."""
        return self.due is not None and self.due < on

    @property
    def values(self) -> dict[str, Value]:
        """The loan as an entry holds it."""
        due = self.due.isoformat() if self.due else None
        known: dict[str, Value] = {LENT_TO: self.to, SINCE: self.since.isoformat(), DUE: due}
        rare: dict[str, Value] = {SENT: int(self.sent), LACKED: self.lacked}
        return {**known, JOB: self.job or None, **{name: value for name, value in rare.items() if value}}


@dataclass(frozen=True, slots=True)
class Asker:
    """Who wants to use pieces, and for which work; empty where neither is named.

    ``sharing`` decides which pieces that are held for other work this one may use too.
    """

    name: str = ""
    work: str = ""
    sharing: Sharing = field(default=NOTHING_SHARED, compare=False)

    def has(self, loan: Loan) -> bool:
        """Whether a piece that is lent to somebody, for a job where one is named, counts as on hand for them."""
        mine = bool(folded(self.name)) and folded(loan.to) == folded(self.name)
        return not loan.sent and (mine or same_work(loan.job, self.work))

    def may_use(self, held_for: str, tag: str = "", day: date | None = None) -> bool:
        """Whether what a piece is held for on a day does not keep it from them."""
        return same_work(held_for, self.work) or self.sharing.may_use(self.work, held_for, tag, day)


@dataclass(frozen=True, slots=True)
class PieceStatus:
    """The condition of a piece, who has it and what it is held for, at one moment.

    ``held_for`` is the work it is held for on the day asked about; ``missing_since`` the day of the count that did not
    find it.
    """

    tag: str
    kind: Kind
    condition: Condition = Condition.FIT
    retired: bool = False
    loan: Loan | None = None
    held_for: str = ""
    missing_since: date | None = None

    def for_work_of(self, asker: Asker, on: date) -> PieceStatus:
        """The same without a hold that does not keep it from the asker on the day whose hold it has."""
        return replace(self, held_for="") if asker.may_use(self.held_for, self.tag, on) else self


def why_off(
    condition: str,
    missing_since: object | None,
    lent: str,
    held_for: str | None,
    on: date | None,
) -> tuple[str, ...]:
    """Everything that prevents the use of a piece, the most urgent first; empty where it may be used.

    ``lent`` says who has it; empty where nobody does. Where a piece is comes before its condition: a worn piece that is
    lent is not in the crib.
    """
    reasons = []
    if missing_since is not None:
        reasons.append(f"missing since {missing_since}")
    if lent:
        reasons.append(lent)
    if condition != Condition.FIT:
        reasons.append(Condition(condition).words)
    if held_for and on is not None:
        reasons.append(f"held on {on.isoformat()} for {held_for}")
    return tuple(reasons)


def lent_words(to: str | None, since: object, sent: object = False) -> str:
    """Who has a piece and since when; empty where nobody has it."""
    return f"{SENT_TO if sent else LENT}{to} since {since}" if to is not None else ""


def state_words(off: tuple[str, ...], *, retired: bool = False) -> str:
    """The state of a piece in words, from what keeps it from being used."""
    return "retired" if retired else "; ".join(off) or Condition.FIT.value


def checked_loan(to: str, since: date, due: date | None, job: str, *, what: str = "due") -> Loan:
    """A loan that begins on ``since``; ``what`` the day of its end is called where it was typed.

    Raises
    ------
    InputError : it would be due before it begins.
    """
    if due is not None and due < since:
        raise InputError(what, "write a later day", shown=f"{due}, which is before {since}, the day it goes")
    return Loan(to, since, due, job)


def why_not_lend(status: PieceStatus, job: str, on: date) -> str:
    """Why a piece cannot be handed out for a job on a day; empty where it can be."""
    if status.retired:
        return f"{status.tag} is retired"
    if status.loan is not None:
        return already_out(status.tag, status.loan)
    if status.missing_since is not None:
        return f"{status.tag} is missing since {status.missing_since}; count it in before it is lent"
    if status.condition is not Condition.FIT:
        return f"{status.tag} is {status.condition.words}; only a fit piece is lent"
    if status.held_for and not same_work(status.held_for, job):
        return f"{status.tag} is held on {on} for {status.held_for}"
    return ""


def already_out(tag: str, loan: Loan) -> str:
    """Who has a piece and since when, in one line."""
    return f"{tag} is {loan.words}{f', due {loan.due}' if loan.due else ''}"


def why_not_return(status: PieceStatus) -> str:
    """Why a piece cannot be taken back from a person; empty where it can be."""
    if status.loan is not None and status.loan.sent:
        return f"{already_out(status.tag, status.loan)}; receive it, and it is inspected and measured then"
    return "" if status.loan else f"{status.tag} is not out"


def why_not_receive(status: PieceStatus) -> str:
    """Why a piece does not come back from where it was sent; empty where it does."""
    if status.loan is not None and not status.loan.sent:
        return f"{already_out(status.tag, status.loan)}; return it, for it was not sent out"
    return "" if status.loan else f"{status.tag} was not sent out"


def why_not_send(status: PieceStatus) -> str:
    """Why a piece cannot be sent out to be reground or repaired; empty where it can be, in whatever condition it is."""
    if status.retired:
        return f"{status.tag} is retired"
    if status.loan is not None:
        return already_out(status.tag, status.loan)
    if status.missing_since is not None:
        return f"{status.tag} is missing since {status.missing_since}; book it found first"
    return ""


def why_not_lose(status: PieceStatus) -> str:
    """Why a piece, out or in the crib, cannot be booked lost or broken; empty where it can be."""
    if status.retired:
        return f"{status.tag} is retired and is not changed any more"
    if status.missing_since is not None:
        return f"{status.tag} is missing since {status.missing_since} already; book it found first"
    return ""


def why_not_retire(status: PieceStatus) -> str:
    """Why a piece cannot be retired; empty where it can be."""
    if status.retired:
        return f"{status.tag} is retired already"
    if status.loan is not None:
        return f"{already_out(status.tag, status.loan)}; it must be back before it is retired"
    return ""


def why_not_inspect(status: PieceStatus) -> str:
    """Why a piece in the crib cannot be inspected or measured; empty where it can be."""
    if status.retired:
        return f"{status.tag} is retired and is not changed any more"
    if status.loan is not None:
        return f"{already_out(status.tag, status.loan)}; it is inspected when it is returned"
    if status.missing_since is not None:
        return f"{status.tag} is missing since {status.missing_since}; count it in first"
    return ""
