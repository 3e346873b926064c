"""Which lists of offers this station buys from: asked once, then kept in the user's data folder."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.buying.offer_choice import OfferChoice
from broachplan.questions import kinds
from broachplan.questions.line import Line, chosen, lines_of
from broachplan.questions.shortages import ShortagesRequest

# So many lists have a line each.
MOST_LISTS = 4
_SURE = (("", "only what is sure to do"), ("yes", "also what must be measured"))


def _choice_lines() -> tuple[Line, ...]:
    budget, measure = chosen(lines_of(ShortagesRequest), "budget", "measure")
    lists = (
        Line(
            f"list_{place}",
            f"List {place}",
            kinds.PATH,
            "A list of offers, CSV or .xlsx.",
            hint="(a CSV file or a workbook)" if place == 1 else "(none)",
            what=f"list {place}",
        )
        for place in range(1, MOST_LISTS + 1)
    )
    certainty = Line(measure.name, "Certainty", measure.kind, measure.help, choices=_SURE, what="certainty")
    return (
        *lists,
        Line("budget", "Budget", budget.kind, budget.help, hint="(no limit)", what="budget"),
        certainty,
    )


# What the form asks.
CHOICE_LINES = _choice_lines()


def as_choice(values: dict[str, str], without: tuple[str, ...]) -> OfferChoice:
    """What a form holds."""
    lists = (values[f"list_{place}"].strip() for place in range(1, MOST_LISTS + 1))
    return OfferChoice(tuple(filter(None, lists)), without, values["budget"].strip(), bool(values["measure"]))


def as_values(choice: OfferChoice) -> dict[str, str]:
    """What a form begins with."""
    paths = (*choice.lists, *[""] * MOST_LISTS)[:MOST_LISTS]
    lists = {f"list_{place}": path for place, path in enumerate(paths, 1)}
    return {**lists, "budget": choice.budget, "measure": "yes" if choice.measure else ""}


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferChoiceRequest:
    """Which lists this station buys from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOfferChoiceRequest:
    """Keep which lists this station buys from."""

    choice: OfferChoice
