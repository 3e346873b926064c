"""What the screens ask for: functions handed in, the desks' own where none is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tui.attendant import Attendant
from tui.keeper import Keeper

if TYPE_CHECKING:
    from collections.abc import Sequence

    from broachplan.crib.records import Record
    from broachplan.keyways.keyway import Keyway
    from broachplan.lengths import Units
    from broachplan.planner.answer import Answer
    from broachplan.questions.hub import HubQuestion, PlanRequest
    from broachplan.tooling.hub import Hub


@dataclass(frozen=True, slots=True)
class Listed:
    """A piece in the crib and its state in words: ``fit``, ``worn``, ``lent to Kim since 2031-05-02``.

    ``out`` is whether somebody has it, ``late`` whether it should be back.
    """

    record: Record
    state: str
    out: bool = False
    late: bool = False


def _plan(db: str | None, asked: PlanRequest) -> Answer:
    from broachplan.desks.machinist.plan_hub import plan_hub

    return plan_hub(db, asked)


def _check(question: HubQuestion) -> tuple[Hub, Keyway]:
    from broachplan.questions.read_hub import read_hub_question

    return read_hub_question(question)


def _units(db: str | None) -> Units:
    from broachplan.desks.attendant.shop_settings import show_settings

    return show_settings(db).units


def _pieces(db: str | None) -> Sequence[Listed]:
    from broachplan.desks.attendant.list_known import list_known
    from broachplan.desks.attendant.list_pieces import list_pieces
    from tui.status_words import state_words

    records, known = list_pieces(db).records, list_known(db)
    listed = []
    for record in records:
        # A piece that somebody retired between the two looks is not there any more.
        if status := known.pieces.get(record.piece.tag):
            loan = status.loan
            late = loan is not None and loan.overdue(known.on)
            listed.append(Listed(record, state_words(status, known.on), loan is not None, late))
    return listed


@dataclass(frozen=True, slots=True)
class Desks:
    """The desks behind the screens: a request is sent, a result comes back.

    ``instead`` answers requests, by their class, in place of the desks; ``report`` writes a fault of our own to a file
    and gives the one line that tells of it.
    """

    instead: Mapping[type, Callable[..., Any]] = field(default_factory=dict)

    plan: Callable[[str | None, PlanRequest], Answer] = _plan
    check: Callable[[HubQuestion], tuple[Hub, Keyway]] = _check
    units: Callable[[str | None], Units] = _units
    pieces: Callable[[str | None], Sequence[Listed]] = _pieces
    report: Callable[[Exception], str] | None = None
    attendant: Attendant = field(default_factory=Attendant)
    keeper: Keeper = field(default_factory=Keeper)

    def send(self, db: str | None, request: object, **beside: Any) -> Any:
        """The result of a request on the crib at ``db``."""
        from broachplan.desks.sending import desk_for

        answer = self.instead.get(type(request)) or desk_for(type(request))
        return answer(db, request, **beside)

    def line_for(self, error: Exception) -> str:
        """One line for the user: the error's own words, or that it was a fault of ours."""
        from broachplan.errors import BroachplanError
        from tui.plain import plain

        if isinstance(error, BroachplanError):
            # It can carry words from the crib, and a terminal obeys what it is sent.
            return plain(error)
        if self.report is not None:
            return self.report(error)
        return f"a fault of ours stopped this ({type(error).__name__}); nothing was changed"
