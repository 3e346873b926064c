"""What to buy, as the buyer reads it: from whom, for which jobs, what is still out and why, what to ask the sellers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from broachplan.buying.basket.result import BasketStatus
from broachplan.lengths import Length
from broachplan.money import show_amount
from broachplan.sheets.result import Column, NamedValue, Sentence, SheetBlock, SheetGrid
from broachplan.sheets.table import Field, View, columns_of, rows_of
from broachplan.shown import between_in_words, numbered
from broachplan.views.day_words import short_day

if TYPE_CHECKING:
    from broachplan.buying.basket.result import Basket, BasketLine, Intervals, SellerQuestion

BUY, STILL, ASK, MORE = "What to buy", "Not ready even then", "Ask the sellers", "What more money would add"

# What is bought, a row for each offer.
LINES: tuple[Field[BasketLine], ...] = (
    Field(Column("offer", least=8), lambda one: one.offer.name),
    Field(Column("qty", right=True), lambda one: one.quantity),
    Field(Column("price", right=True), lambda one: show_amount(one.amount)),
    Field(Column("from", least=6, drops=1), lambda one: one.offer.supplier),
    Field(
        Column("here", drops=2),
        lambda one: one.expected,
        words=lambda one, view: short_day(one.expected, view.on),
    ),
    Field(Column("for", least=10), lambda one: ", ".join(one.serves)),
)


def basket_blocks(
    found: Basket, view: View, reasons: Mapping[str, str] | None = None
) -> tuple[SheetBlock, ...]:
    """The parts of the page that are about offers.

    Parameters
    ----------
    reasons : why jobs cannot be cut as things are, by number, where the page says so elsewhere: it is not said twice.
    """
    grid = SheetGrid(columns_of(LINES), tuple(rows_of(LINES, found.lines, view)))
    said = [text for line in found.lines for text in _to_measure(line, view)]
    sentences = tuple(map(Sentence, (*said, *sums_in_words(found))))
    lines: tuple[SheetGrid, ...] = (grid,) if found.lines else ()
    blocks = (
        SheetBlock(BUY, lines + sentences),
        SheetBlock(STILL, tuple(_still(found, reasons or {}))),
        SheetBlock(MORE, tuple(map(Sentence, _more(found)))),
        SheetBlock(ASK, tuple(Sentence(_asked(one, view)) for one in found.not_judged)),
    )
    return tuple(block for block in blocks if block.lines)


def sums_in_words(found: Basket) -> tuple[str, ...]:
    """What the basket costs and what is proven of it, a sentence each."""
    within = "" if found.budget is None else f" within {show_amount(found.budget)} {found.currency}"
    if found.status is BasketStatus.NOTHING_NEEDED:
        return ("nothing: every job is ready as things are",)
    if found.status is BasketStatus.IMPOSSIBLE:
        return (f"nothing: no offer that is here in time{within} readies another job",)
    return (*_shipping(found), *_total(found, within), _readied(found))


def _shipping(found: Basket) -> Iterator[str]:
    if found.cutting:
        yield f"shims cut to measure: {show_amount(found.cutting)}"
    for one in found.shipping:
        short = (
            f", and {show_amount(one.short)} that its lines are short of its least order" if one.short else ""
        )
        if one.amount or one.short:
            yield f"{one.supplier}: shipping {show_amount(one.amount)}{short}"


def _total(found: Basket, within: str) -> Iterator[str]:
    total = f"total {show_amount(found.total)} {found.currency}{within}"
    if found.lower_bound is None:
        yield f"{total}: nothing as good costs less"
        return
    yield f"{total}: NOT PROVEN in the time given to be the least; nothing as good costs less than {show_amount(found.lower_bound)}"
    if not found.assignment_proven:
        yield "it is not proven either that no offers ready more of the jobs"


def _readied(found: Basket) -> str:
    ready = len(found.after) - len(found.still)
    return f"{ready} of {numbered(len(found.after), 'job')} can be cut with it"


def _still(found: Basket, reasons: Mapping[str, str]) -> Iterator[NamedValue | Sentence]:
    as_now = [
        one for one in found.still if one.number in reasons and one.text.startswith(reasons[one.number])
    ]
    for one in found.still:
        if one not in as_now:
            yield NamedValue(one.number, one.text, one.number[:10])
    if as_now:
        yield Sentence(f"for the same reasons as now: {', '.join(one.number for one in as_now)}")


def _to_measure(line: BasketLine, view: View) -> Iterator[str]:
    """What must be cut, measured or asked of a line that is not sure."""
    name = line.offer.name
    if line.shims_cut:
        yield f"{name}: {numbered(line.shims_cut, 'shim')} cut to measure once it is here"
    if line.likely_by is not None:
        own = line.likely_by
        depth = between_in_words(Length(own.least), Length(own.most), view.units)
        yield f"{name}: likely only; your own {', '.join(own.tags)} of this slot have OD minus web {depth}"
    for figure, intervals in line.values.items():
        yield f"{name} does with {_figure(figure)} {_ways(intervals, view)}: ask, or measure at receipt"


def _ways(intervals: Intervals, view: View) -> str:
    return " or ".join(between_in_words(Length(low), Length(high), view.units) for low, high in intervals)


def _figure(name: str) -> str:
    return name.replace("_", " ")


def _more(found: Basket) -> Iterator[str]:
    for one in found.more:
        yield f"for {show_amount(one.amount)} {found.currency} more: {', '.join(one.adds)}"


def _asked(one: SellerQuestion, view: View) -> str:
    asked = ", ".join(map(_figure, one.figures))
    does = (f"{_figure(name)} {_ways(intervals, view)}" for name, intervals in one.values.items())
    would = "; it would do with ".join(("", *does)) if one.values else ""
    return f"{one.offer}: {asked}{would}"
