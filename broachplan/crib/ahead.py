"""The crib as it will be: which pieces are on the shelf on a day, or on every day of some days, and what is waited for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from broachplan.crib.loans import Asker, Loan, PieceStatus, why_off
from broachplan.crib.records import Condition
from broachplan.crib.shelf import Awaited, Shelf

_NOBODY = Asker()


@dataclass(frozen=True, slots=True)
class PieceState:
    """Where a piece is and what it is kept for: its condition, its open loan, its holds by the day.

    ``ordered`` is the day on which a piece on order is expected; None for a piece of the crib.
    """

    condition: str = Condition.FIT
    missing_since: object | None = None
    loan: Loan | None = None
    held: Mapping[date, str] = field(default_factory=dict)
    ordered: date | None = None

    @classmethod
    def of(cls, status: PieceStatus, held: Mapping[date, str]) -> PieceState:
        """That of a piece that is not retired, with what it is held for on the days that are asked about."""
        return cls(status.condition, status.missing_since, status.loan, held)

    def is_alike_always(self, today: date | None) -> bool:
        """Whether it is there, or is not, on every later day alike and whoever asks by the work that they do."""
        waits = self.ordered is not None or bool(self.held)
        loan = self.loan
        comes = loan is not None and loan.due is not None and (today is None or loan.due >= today)
        return not waits and not comes and (loan is None or not loan.job)

    @property
    def is_plain(self) -> bool:
        """Whether it is in the crib, fit, and held on no day."""
        return (
            self.loan is None
            and self.ordered is None
            and self.missing_since is None
            and self.condition == Condition.FIT
            and not self.held
        )


@dataclass(frozen=True, slots=True)
class Expected:
    """What becomes of a piece on some days: why it is ``off`` the shelf, else what is ``awaited`` until it is there."""

    off: str = ""
    awaited: Awaited | None = None


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A crib at one moment with all that decides which of its pieces are there on a later day.

    ``shelf`` holds the pieces, none of them off it; ``states`` those of the pieces that are not simply in the crib, fit
    and not held.
    """

    shelf: Shelf
    states: Mapping[str, PieceState] = field(default_factory=dict)

    def shelf_for(
        self, days: Sequence[date] = (), *, today: date | None = None, asker: Asker = _NOBODY
    ) -> Shelf:
        """The shelf on every one of some days; on none, as the crib is now.

        Parameters
        ----------
        days : in their order; a piece is there only if it is there on each of them.
        today : the day on which this is asked: what should have been back before it is overdue, and not counted on. None
            knows no such day.
        asker : what is lent to them or for their work, or held for it, is there.
        """
        found = {
            tag: ahead(state, days, tag=tag, today=today, asker=asker) for tag, state in self.states.items()
        }
        return replace(
            self.shelf,
            off={tag: each.off for tag, each in found.items() if each.off},
            awaited={tag: each.awaited for tag, each in found.items() if not each.off and each.awaited},
        )


def ahead(
    state: PieceState,
    days: Sequence[date] = (),
    *,
    tag: str = "",
    today: date | None = None,
    asker: Asker = _NOBODY,
) -> Expected:
    """Whether a piece is on the shelf on every one of some days; see `Snapshot.shelf_for`.

    ``tag`` is the piece's, for what others use it beside the work that it is held for.

    A piece is used from the day after it comes, because it is inspected or measured first.
    """
    lent, awaited, condition = "", None, state.condition
    loan = state.loan
    if loan is not None and not asker.has(loan):
        if _comes(loan.due, days, today):
            assert loan.due is not None
            awaited = Awaited(loan.due, f"back from {loan.to}, due {loan.due}")
            # It was sent because it was not fit, and is put right when it is back.
            condition = Condition.FIT if loan.sent else condition
        else:
            due = f", due {loan.due}" if days and loan.due else ""
            lent = f"{loan.words}{due}"
    if state.ordered is not None:
        if _comes(state.ordered, days, today):
            awaited = Awaited(state.ordered, f"on order, expected {state.ordered}", on_order=True)
        else:
            lent = f"on order, expected {state.ordered}"
    taken = next(
        (day for day in days if (of := state.held.get(day)) and not asker.may_use(of, tag, day)), None
    )
    held_for = state.held[taken] if taken else None
    off = why_off(condition, state.missing_since, lent, held_for, taken)
    return Expected("; ".join(off), None if off else awaited)


def _comes(expected: date | None, days: Sequence[date], today: date | None) -> bool:
    """Whether what is expected on a day, or is not known when, will be there before the first of the days."""
    return expected is not None and bool(days) and expected < days[0] and (today is None or expected >= today)
