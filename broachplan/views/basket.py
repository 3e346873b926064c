"""What to buy, as the buyer reads it: from whom, for which jobs, what is still out and why, what to ask the sellers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from broachplan.buying.basket.result import BasketStatus
from broachplan.buying.verdicts import Verdict
from broachplan.lengths import Length
from broachplan.money import show_amount
from broachplan.sheets.result import Column, NamedValue, ResultSheet, Sentence, SheetBlock, SheetGrid
from broachplan.sheets.table import Field, View, columns_of, rows_of
from broachplan.shown import between_in_words, numbered, span_in_words
from broachplan.tooling.figures import Quantity
from broachplan.tooling.pieces import FIGURES
from broachplan.views.day_words import short_day

if TYPE_CHECKING:
    from broachplan.buying.basket.result import Basket, BasketLine, Intervals, SellerQuestion
    from broachplan.buying.offers import Between

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


def basket_sheet(found: Basket, view: View) -> ResultSheet:
    """What to buy as a sheet by itself."""
    title = heading_of_basket(found)
    return ResultSheet(title, title, basket_blocks(found, view))


def heading_of_basket(found: Basket) -> str:
    """What it costs and how many jobs can be cut with it."""
    if not found.lines:
        return "Nothing to buy"
    proven = "" if found.lower_bound is None else ", NOT PROVEN to be the least"
    return f"Total {show_amount(found.total)} {found.currency}{proven}; {_readied(found)}"


def line_sheet(one: BasketLine, view: View) -> ResultSheet:
    """One offer of the basket: what it is, what it costs, when it is here, what it is for."""
    offer = one.offer
    title = f"{offer.name}: {numbered(one.quantity, 'unit')} for {show_amount(one.amount)}"
    lines = [
        NamedValue("From", offer.supplier or "no supplier named"),
        NamedValue("Price", f"{show_amount(offer.price)} each, {offer.available} to be had"),
        NamedValue(
            "Here", f"{short_day(one.expected, view.on)}, {numbered(offer.lead_days, 'day')} after the order"
        ),
        NamedValue("Without it", f"not ready: {', '.join(one.serves)}" if one.serves else "no job is lost"),
    ]
    blocks = [SheetBlock("", tuple(lines))]
    said = tuple(Sentence(text, "- ") for text in _to_measure(one, view))
    blocks += [SheetBlock("How sure it is", said)] if said else []
    for piece, count in Counter(offer.pieces).items():
        labels = {figure.name: figure for figure in FIGURES[piece.kind]}
        figures = tuple(
            NamedValue(labels[name].label, _span_words(labels[name].quantity, span, view))
            for name, span in piece.figures
            if labels[name].quantity in (Quantity.LENGTH, Quantity.COUNT)
        )
        times = f"{count} alike, " if count > 1 else ""
        blocks.append(SheetBlock(f"{times}a {piece.kind}", figures))
    return ResultSheet(title, title, tuple(blocks))


def _span_words(quantity: Quantity, span: Between, view: View) -> str:
    if quantity is Quantity.COUNT:
        return str(span.lower) if span.exact else f"{span.lower} to {span.upper}"
    return span_in_words(Length(span.lower), Length(span.upper), view.units)


def difference_blocks(before: Basket, after: Basket) -> tuple[SheetBlock, ...]:
    """What another basket costs more or less, what is bought in place of what, and which jobs it readies or loses."""
    ready = [
        {number for number, verdict in each.after if verdict is Verdict.READY} for each in (before, after)
    ]
    bought = [{line.offer.name: line.quantity for line in each.lines} for each in (before, after)]
    lines = [f"total {show_amount(before.total)} now, {show_amount(after.total)} then ({after.currency})"]
    for name in dict.fromkeys((*bought[0], *bought[1])):
        was, will = (each.get(name, 0) for each in bought)
        if was != will:
            lines.append(f"{name}: {will or 'none'}, now {was or 'none'}")
    if lost := [number for number, _ in before.after if number in ready[0] - ready[1]]:
        lines.append(f"NOT READY then: {', '.join(lost)}")
    if gained := [number for number, _ in after.after if number in ready[1] - ready[0]]:
        lines.append(f"ready then: {', '.join(gained)}")
    if not lost and not gained:
        lines.append("the same jobs can be cut")
    return (SheetBlock("", tuple(Sentence(text, "- ") for text in lines)),)


def difference_of_baskets(before: Basket, after: Basket) -> ResultSheet:
    """The same as a sheet."""
    title = heading_of_basket(after)
    return ResultSheet(title, title, difference_blocks(before, after))


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
