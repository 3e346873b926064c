"""One coming job opened: its verdict with the reason in numbers, and its plan, or what would make it possible."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from broachplan.buying.verdicts import Verdict
from broachplan.lengths import Length, Units, show
from broachplan.planner.answer import Answer
from broachplan.planner.rule_words import RULES
from broachplan.quantities import show_force
from broachplan.questions.jobs import LINES
from broachplan.questions.read_job import texts_of
from broachplan.settings import MEMORY
from broachplan.sheets.answer import plan_sheet
from broachplan.sheets.plan import make_blocks
from broachplan.sheets.result import NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.shown import AtLeast, AtMost, between_in_words, numbered, show_apart
from broachplan.tooling.pieces import FIGURES
from broachplan.views.day_words import span_of_days, whole_day
from broachplan.views.shortages import LATE
from broachplan.views.ways_out import first_way_out, what_is_missing

if TYPE_CHECKING:
    from datetime import date

    from broachplan.buying.missing import MissingPiece
    from broachplan.desks.buyer.shortages import JobShortage
    from broachplan.planner.answer import Plan
    from broachplan.settings import Settings

WORDS = {
    Verdict.READY: "CAN BE CUT",
    Verdict.CLASH: "ANOTHER JOB HAS ITS PIECES",
    Verdict.BLOCKED: "CANNOT BE CUT YET",
}


def job_verdict_sheet(one: JobShortage, settings: Settings, on: date, units: Units) -> ResultSheet:
    """All that is known of a job's verdict, lengths in ``units``."""
    job, verdict = one.job, one.judged.verdict
    title = f"{job.number}, due {whole_day(job.due)}: {WORDS[verdict]}"
    blocks = [
        *_clash(one, on),
        *_blocked(one, units, on),
        _asked(one, on),
        *_ready(one, settings, units),
    ]
    return ResultSheet(title, title, tuple(block for block in blocks if block.lines))


def _asked(one: JobShortage, on: date) -> SheetBlock:
    texts = texts_of(one.job)
    late = f", {LATE}" if one.days.late else ""
    days = NamedValue(
        "At the press", f"{span_of_days(one.days.days[0], one.days.days[-1], on)}{late}", "Press"
    )
    lines = [NamedValue(each.label, texts[each.name], each.label[:10]) for each in LINES if texts[each.name]]
    return SheetBlock("The job", (days, *lines))


def _clash(one: JobShortage, on: date) -> Iterator[SheetBlock]:
    judged = one.judged
    if judged.verdict is not Verdict.CLASH:
        return
    yield SheetBlock(
        "What is in the way",
        tuple(Sentence(f"{each.tag}: {each.number} has it", "- ") for each in one.in_use),
    )
    first = one.in_use[0].number if one.in_use else judged.clashes_with[0]
    ways = [
        f"One after the other? A push takes minutes: marked as following {first}, it uses the same pieces on the same day."
    ]
    if one.free is not None:
        ways.append(f"Free with nothing else moved: {span_of_days(*one.free, on)}.")
    else:
        ways.append("No other day is free.")
    ways += [f"Alike on that day: can be run as one job with {number}." for number in judged.alike]
    yield SheetBlock("Ways out", tuple(Sentence(way, "- ") for way in ways))


def _blocked(one: JobShortage, units: Units, on: date) -> Iterator[SheetBlock]:
    why, missing = one.judged.why, one.missing
    if why is None:
        return
    rule = why.rule.value.replace("_", " ")
    yield SheetBlock(
        "Why",
        (
            Sentence(f"missing: {what_is_missing(one, units)}"),
            Sentence(f"the nearest: {why.text}"),
            Sentence(f"the rule ({rule}): {RULES[why.rule]}"),
            Sentence(f"what would cure it: {why.cure}"),
        ),
    )
    yield SheetBlock("First way out", (Sentence(first_way_out(one, units, on)),))
    if missing is None:
        return
    others = (*(each.text for each in missing.advice), *missing.instead)
    yield SheetBlock("Other ways", tuple(Sentence(text, "- ") for text in others))
    for piece in missing.pieces:
        yield SheetBlock(f"What would do: {piece.text}", tuple(_figures(piece, units)))
    makes = list(make_blocks(missing.make, units))
    for place, block in enumerate(makes):
        heading = f"Make it here: {block.heading}" if not place else block.heading
        yield block._replace(heading=heading)


def _figures(piece: MissingPiece, units: Units) -> Iterator[NamedValue]:
    """Each figure with all the values that do, each with the others at their best."""
    labels = {figure.name: figure.label for figure in FIGURES[piece.kind]}
    for name, intervals in piece.intervals.items():
        between = (between_in_words(Length(low), Length(high), units) for low, high in intervals)
        yield NamedValue(labels.get(name, name), " or ".join(between))
    for name, (low, high) in piece.limits.items():
        if name not in piece.intervals:
            yield NamedValue(labels.get(name, name.replace("_", " ")), _between(low, high, units))
    if piece.force is not None:
        yield NamedValue(
            labels.get("rated_force", "rated force"), f"at least {show_force(piece.force.newtons, units)}"
        )
    for size in piece.sizes:
        status = " (from memory)" if size.status == MEMORY else ""
        yield NamedValue("standard size", f"{size.name}; {size.source}{status}", "standard")


def _between(low: Length | None, high: Length | None, units: Units) -> str:
    if low is not None and high is not None:
        return show(low, units) if low == high else between_in_words(low, high, units)
    if low is not None:
        return f"at least {show_apart(units, AtLeast(low))[0]}"
    return f"at most {show_apart(units, AtMost(high))[0]}" if high is not None else ""


def _ready(one: JobShortage, settings: Settings, units: Units) -> Iterable[SheetBlock]:
    """Its plan, as `plan` shows it; of a started job what it holds."""
    if one.judged.verdict is not Verdict.READY:
        return ()
    waits = one.judged.waits_for
    first = [SheetBlock("Waits for", tuple(Sentence(tag, "- ") for tag in waits))]
    if one.made is None:
        held = one.job.pieces
        return (
            *first,
            SheetBlock(f"Started; it holds {numbered(len(held), 'piece')}", tuple(map(Sentence, held))),
        )
    return (*first, *plan_blocks(one, one.made, settings, units))


def plan_blocks(one: JobShortage, made: Plan, settings: Settings, units: Units) -> tuple[SheetBlock, ...]:
    """A plan of a job, as `plan` shows it."""
    answer = Answer(one.asked.hub, one.asked.keyway, replace(settings, units=units), plans=(made,))
    sheet = plan_sheet(answer)
    return (SheetBlock("Its plan", (Sentence(sheet.title),)), *sheet.blocks)
