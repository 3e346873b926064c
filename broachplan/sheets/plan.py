"""What an answer of the planner says beside its passes: cautions, what to try and to make, what was refused."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from broachplan.lengths import Units, show
from broachplan.planner.answer import Advice, Answer, Make, Plan, Refusal
from broachplan.planner.rests_on import all_notes
from broachplan.planner.rule_words import RULES
from broachplan.settings import MEMORY
from broachplan.sheets.band import HEADING, band_points
from broachplan.sheets.result import NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.shown import between_in_words
from broachplan.tooling.pieces import FIGURES


def points(heading: str, texts: Iterable[str]) -> list[SheetBlock]:
    """A heading with its texts as points; nothing where there are none."""
    lines = tuple(Sentence(text, "- ") for text in texts)
    return [SheetBlock(heading, lines)] if lines else []


def caution_blocks(answer: Answer, plan: Plan) -> list[SheetBlock]:
    """What to know before pressing: the plan's cautions, how sure its last reading is, what would save a pass."""
    return [
        *points("Cautions", (each.text for each in plan.cautions)),
        *points(HEADING, band_points(plan, answer.hub, answer.settings.shown_in)),
        *points("Worth knowing", [plan.tip] if plan.tip else []),
    ]


def note_blocks(answer: Answer) -> list[SheetBlock]:
    """What was taken for granted, and what was not checked."""
    return points("Notes", all_notes(answer))


def cautions_sheet(answer: Answer, plan: Plan | None) -> ResultSheet:
    """The cautions of a plan, with the key's remarks and where its figures are from."""
    keyway = answer.keyway
    remarks = (*((keyway.off_table,) if keyway.off_table else ()), *keyway.remarks)
    memory = keyway.status == MEMORY
    status = "from memory, not read in a source: check it" if memory else keyway.status
    blocks = (
        *(caution_blocks(answer, plan) if plan else ()),
        *points("The key", remarks),
        *points("The figures", [f"{keyway.source} ({status})"]),
        *note_blocks(answer),
    )
    return ResultSheet("Cautions", "Cautions", blocks)


def make_sheet(answer: Answer, units: Units) -> ResultSheet:
    """What to try first, then what to turn, slot, cut or look for."""
    title = "To make or to look for"
    blocks = (*advice_blocks(answer.advice), *make_blocks(answer.make, units))
    return ResultSheet(title, title, blocks or (SheetBlock("Nothing has to be made."),))


def advice_blocks(advice: Iterable[Advice]) -> list[SheetBlock]:
    """What to try, in the order a shop would."""
    return points("To try first", (one.text for one in advice))


def make_blocks(makes: Iterable[Make], units: Units) -> Iterator[SheetBlock]:
    """Each piece to make or to look for, with the best size and the limits of every figure; `or else` between ways."""
    way = 1
    for make in makes:
        if make.way != way:
            way = make.way
            yield SheetBlock("or else")
        labels = {figure.name: figure.label for figure in FIGURES[make.kind]}
        lines = [
            NamedValue(labels.get(name, name.replace("_", " ")), _sized(make, name, units))
            for name in dict.fromkeys([*make.limits, *make.best])
        ]
        if make.rising_teeth is not None:
            lines.append(NamedValue(labels["rising_teeth"], str(make.rising_teeth)))
        yield SheetBlock(f"{make.kind}: {make.text}", tuple(lines))


def refusal_blocks(refusals: Iterable[Refusal]) -> Iterator[SheetBlock]:
    """Why everything else was refused: by rule, with the nearest and their numbers."""
    for refusal in refusals:
        lines = []
        for near in refusal.nearest:
            who = " in ".join(tag for tag in (near.broach, near.bushing) if tag)
            lines.append(Sentence(f"{who}: {near.text}" if who else near.text, "- "))
        if refusal.count > len(refusal.nearest) > 0:
            lines.append(Sentence(f"and {refusal.count - len(refusal.nearest)} more", "- "))
        rule = refusal.rule.value.replace("_", " ")
        yield SheetBlock(f"{rule} ({refusal.count}): {RULES[refusal.rule]}", tuple(lines))


def refusals_sheet(answer: Answer) -> ResultSheet:
    """All that was refused."""
    title = "Refused, and by which rule"
    blocks = tuple(refusal_blocks(answer.refusals))
    return ResultSheet(title, title, blocks or (SheetBlock("Nothing was refused."),))


def peak_force(plan: Plan) -> float | None:
    """The largest high force of the passes in newtons; None where no force is known."""
    return max((each.force_high for each in plan.passes if each.force_high is not None), default=None)


def _sized(make: Make, name: str, units: Units) -> str:
    """The best value of one figure and the limits around it, where given."""
    best, limits = make.best.get(name), make.limits.get(name)
    if limits is None or limits[0] == limits[1]:
        value = best if best is not None else limits[0] if limits else None
        return show(value, units) if value is not None else ""
    between = between_in_words(*limits, units)
    return between if best is None else f"{show(best, units)} ({between})"
