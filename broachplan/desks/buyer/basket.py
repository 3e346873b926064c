"""What to buy for the coming jobs, from lists of the buyer's own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from time import monotonic

from broachplan.buying.assignment import Assignment
from broachplan.buying.basket.result import Basket
from broachplan.buying.made_here import made_here, with_made_here
from broachplan.buying.offers import OfferBook
from broachplan.buying.verdicts import Judge
from broachplan.desks.buyer.outlook import Outlook
from broachplan.errors import InputError
from broachplan.jobs.job import read_whole
from broachplan.money import read_amount
from broachplan.questions.job_kinds import MOST_SECONDS
from broachplan.questions.shortages import DEFAULT_SECONDS, ShortagesRequest
from broachplan.settings import Settings
from broachplan.store.offer_files import read_offers

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class BasketAsked:
    """What a request asks of offers. ``budget`` is in hundredths, None where there is none."""

    book: OfferBook
    budget: int | None
    seconds: int
    measure: bool

    @classmethod
    def of(cls, request: ShortagesRequest, settings: Settings) -> BasketAsked | None:
        """The lists of offers and what is asked of them; None where no list is given.

        Raises
        ------
        InputError : a figure cannot be read, or is of offers and there are none.
        ImportRefused : anything is wrong in a list.
        """
        if not request.offers:
            given = {
                "budget": request.budget,
                "time": request.time,
                "measure": "yes" if request.measure else "",
            }
            for what, text in given.items():
                if text.strip():
                    raise InputError(what, "it is asked of offers; name their lists with --offers")
            return None
        budget = read_amount(request.budget, "budget") if request.budget.strip() else None
        seconds = read_whole(request.time, "time", MOST_SECONDS) if request.time.strip() else DEFAULT_SECONDS
        book = read_offers((Path(path) for path in request.offers), settings.currency)
        book = replace(book, offers=tuple(each for each in book.offers if each.name not in request.without))
        return cls(book, budget, seconds, request.measure)


def basket_for(
    outlook: Outlook, assignment: Assignment, judge: Judge, asked: BasketAsked, tell: Tell | None
) -> Basket:
    """The cheapest basket for the jobs of an outlook, proven in the time that is given or not called so.

    What the shop makes itself is among the offers. ``judge`` knows no offers.
    """
    # The solver takes longer to load than most commands run.
    from broachplan.buying.basket.find import Asked, find_basket

    end = monotonic() + asked.seconds
    question = Asked(
        assignment,
        outlook.crib,
        with_made_here(asked.book, made_here(assignment, judge, outlook.settings, lambda: end - monotonic())),
        outlook.settings,
        outlook.on,
        outlook.sharing,
        asked.budget,
        asked.measure,
    )
    return find_basket(question, lambda: end - monotonic(), tell or _nobody)


def _nobody(_: str) -> None:
    pass
