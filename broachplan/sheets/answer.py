"""A planner's answer as one sheet, in the order a machinist needs it; its first lines serve the machinist's desk too."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from broachplan.cut.gauge_ways import T_ITSELF, GaugeWay
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits, Units, show
from broachplan.planner.answer import Answer, Plan
from broachplan.planner.rule_words import by_how_much, press_not_checked, why_blocked
from broachplan.quantities import show_force
from broachplan.settings import MEMORY
from broachplan.sheets import gauging
from broachplan.sheets.band import band_between
from broachplan.sheets.caution_names import caution_names
from broachplan.sheets.gauging import by_the_way, gauge_points
from broachplan.sheets.plan import (
    advice_blocks,
    caution_blocks,
    make_blocks,
    note_blocks,
    peak_force,
    points,
    refusal_blocks,
)
from broachplan.sheets.plans import PASSES, PLANS, in_units
from broachplan.sheets.reading import reading_points
from broachplan.sheets.result import Detail, NamedValue, ResultSheet, Sentence, SheetBlock, SheetGrid
from broachplan.sheets.safety import DEFERS, SHORT, work_cautions
from broachplan.sheets.sizes import gauge_units
from broachplan.sheets.table import View, columns_of, rows_of
from broachplan.shown import limits_in_words, nominal_in_words, numbered
from broachplan.tooling.figures import Kind
from broachplan.tooling.hub import BoreForm, Hub

# Where the crib has nothing to plan with.
FIRST_TOOLS = (
    "take in the tools of this hub, step by step: `broachplan start`, or ctrl+f on the screens",
    "or fill in the files that `broachplan crib export FOLDER` writes, then `broachplan crib import FOLDER`",
)


def plan_sheet(
    answer: Answer, way: GaugeWay = T_ITSELF, detail: Detail = Detail.FULL, *, others: bool = False
) -> ResultSheet:
    """What is said of an answer, lengths in the units of its settings: first the answer, then what it rests on.

    ``way`` is how T is gauged; ``others`` shows the other plans and the refusals also where less than all is wanted.
    """
    title, short = verdict(answer)
    plan = answer.plans[0] if answer.plans else None
    full = detail is Detail.FULL
    blocks = [
        SheetBlock("", tuple(_labelled("Reading", reading_points(answer)))),
        *(_best(answer, plan, way, full) if plan else _what_would_help(answer)),
        *(_asked(answer) if full else ()),
        *(_before_pressing(answer, plan, way) if full and plan else ()),
        *(_in_short(answer, plan, others) if plan and detail is Detail.USUAL else ()),
        *(_others(answer) if full or others else ()),
        *(
            _under(_why_refused(answer), refusal_blocks(answer.refusals))
            if full or others or not plan
            else ()
        ),
        *(note_blocks(answer) if full else ()),
    ]
    if full and plan and plan.passes:
        blocks += points("At the press", (words for _, words in work_cautions(plan.drive)))
    if detail is Detail.BRIEF and plan and plan.cautions:
        blocks.append(
            SheetBlock("", (Sentence(f"{numbered(len(plan.cautions), 'caution')}: shown without --brief."),))
        )
    if detail is Detail.USUAL and not plan:
        blocks.append(_rest_of_no_plan(answer))
    return ResultSheet(title, short, tuple(block for block in blocks if any(block)))


def _what_would_help(answer: Answer) -> Iterator[SheetBlock]:
    """What to try and to make where there is no plan; where there is a plan, a caution says what the key lacks."""
    if {Kind.BROACH, Kind.BUSHING} <= {*answer.lacks}:
        yield SheetBlock("What to do next", tuple(Sentence(text, "- ") for text in FIRST_TOOLS))
    yield from advice_blocks(answer.advice)
    yield from _under("To make or find", make_blocks(answer.make, answer.settings.shown_in), "- ")


def _asked(answer: Answer) -> Iterator[SheetBlock]:
    """The hub and its keyway, with their source."""
    units, keyway = answer.settings.shown_in, answer.keyway
    said = [*keyway_points(keyway, units), *keyway.remarks]
    if not answer.plans and keyway.off_table:  # where there is a plan, a caution says it
        said.append(keyway.off_table)
    hub = _labelled("Hub", ["; ".join(_hub(answer.hub, units))])
    yield SheetBlock("", (*hub, *_labelled("Keyway", said)))


def _before_pressing(answer: Answer, plan: Plan, way: GaugeWay) -> Iterator[SheetBlock]:
    """How to gauge, the cautions in full, how sure a reading is."""
    if plan.passes:
        yield from points(gauging.HEADING, gauge_points(plan, answer.hub, answer.settings.shown_in, way))
    yield from caution_blocks(answer, plan)


def _in_short(answer: Answer, plan: Plan, others: bool) -> Iterator[SheetBlock]:
    """The cautions by their names, the least that is said before a press moves, and what the whole answer shows."""
    count, refused = len(answer.plans) - 1 + answer.more_pairs, sum(each.count for each in answer.refusals)
    more = [numbered(count, "other plan")] if count and not others else []
    more += [numbered(refused, "refusal")] if refused and not others else []
    names = tuple(Sentence(text, "- ") for text in caution_names(plan.cautions))
    last = f"{DEFERS} --full shows more{': ' if more else ''}{', '.join(more)}."
    words = (SHORT, last) if plan.passes else (last,)
    yield SheetBlock("Cautions" if names else "", (*names, *map(Sentence, words)))


def _rest_of_no_plan(answer: Answer) -> SheetBlock:
    off_table = [answer.keyway.off_table] if answer.keyway.off_table else []
    rest = "--full shows the hub's figures, the sources and what was not checked."
    return SheetBlock("", tuple(Sentence(text) for text in (*off_table, rest)))


def verdict(answer: Answer) -> tuple[str, str]:
    """Whether there is a plan: the first line in full, and in short where all plans are beside it."""
    if not answer.plans:
        blocked = f"NO PLAN: {why_blocked(answer)}"
        made = "See below what would make it possible." if answer.make or answer.advice else ""
        return " ".join(filter(None, (f"{blocked}.", by_how_much(answer), made))), blocked
    plan, count, more = answer.plans[0], len(answer.plans), answer.more_pairs
    if not plan.passes:
        done = "READY: the keyway is inside its limits, nothing is left to do"
        return f"{done}.", done
    unchecked = press_not_checked(plan, answer.hub)
    full = f"READY: {numbered(len(plan.passes), 'pass', 'passes')}, {plan_words(plan)}. {unchecked}"
    plans = f"the best {count} of {count + more} plans" if more else numbered(count, "plan")
    why = "press not checked: no material" if not answer.hub.material else "press not checked: see cautions"
    return full.rstrip(), f"READY: {plans}, best first{f'; {why}' if unchecked else ''}"


def plan_words(plan: Plan) -> str:
    """The pieces of a plan, in full."""
    press = f" on press {plan.press.tag}" if plan.press else ""
    return f"{plan.broach.tag} in {plan.bushing.tag}{press}"


def keyway_points(keyway: Keyway, units: Units) -> list[str]:
    """What the drawing asks for, with its source; a figure from memory says so."""
    used = gauge_units(units)
    shape = f", {keyway.shape} key" if keyway.shape else ""
    source = f"FROM MEMORY: {keyway.source}; check it against the drawing"
    return [
        f"width {limits_in_words(keyway.width, used)}{shape}",
        f"T {limits_in_words(keyway.reading, used)}, aim {show(keyway.aim, used)}",
        f"depth at the wall {show(keyway.depth_at_wall, used)}, arc {show(keyway.arc, used)}",
        source if keyway.status == MEMORY else keyway.source,
    ]


def t_in_words(keyway: Keyway, units: Units) -> str:
    """The limits of T and what is aimed at; that they are from memory where they are."""
    used = gauge_units(units)
    memory = "; FROM MEMORY: check it" if keyway.status == MEMORY else ""
    return f"{limits_in_words(keyway.reading, used)}, aim {show(keyway.aim, used)}{memory}"


def last_reading(plan: Plan, units: Units) -> str:
    """Where the last reading may come out; empty where no band was added."""
    between = band_between(plan.band, gauge_units(units))
    return f"The last reading comes out at {between}, 95 times of 100." if between else ""


def _hub(hub: Hub, units: Units) -> Iterator[str]:
    exact = "" if hub.bore_toleranced else ", taken as exact"
    measured = f", measured {show(hub.bore_measured, units)}" if hub.bore_measured else ""
    yield f"bore {_within(hub.bore, units)}{exact}{measured}"
    yield f"{show(hub.length, units)} long"
    if hub.stack > 1:
        yield f"{hub.stack} stacked"
    if hub.outside_diameter:
        yield f"outside {show(hub.outside_diameter, units)}"
    if hub.hardness:
        yield f"{hub.hardness.value} {hub.hardness.scale}"
    if hub.bore_form is not BoreForm.THROUGH:
        yield f"{hub.bore_form} bore"
    yield hub.material.name if hub.material else "material not named"


def _best(answer: Answer, plan: Plan, way: GaugeWay, full: bool) -> Iterator[SheetBlock]:
    """The answer itself: the pieces of the best plan, T, and the passes with what each should read."""
    units, broach, bushing, keyway = answer.settings.shown_in, plan.broach, plan.bushing, answer.keyway
    outside, web = ("outside", bushing.outside_diameter), ("web", bushing.web)
    pieces = [
        NamedValue("Bushing", _with_figures(bushing.tag, units, outside, web)),
        NamedValue("Broach", _with_figures(broach.tag, units, ("cuts", broach.keyway_width))),
        NamedValue("Press", _press(plan, units)),
    ]
    if plan.homes:
        fetch = "; ".join(f"{', '.join(tags)} from {home}" for home, tags in plan.fetch.items())
        pieces.append(NamedValue("Fetch", fetch))
    pieces.append(NamedValue("T", t_in_words(keyway, units)))
    yield SheetBlock("", tuple(pieces))
    if plan.passes:
        view = View(units=units, bore=answer.hub.widest_bore)
        grid = SheetGrid(columns_of(PASSES), tuple(rows_of(PASSES, plan.passes, view)))
        at_once = _at_once(plan) if full else ""
        said = (plan.not_known, at_once, last_reading(plan, units), by_the_way(plan, answer.hub, units, way))
        heading = in_units("Passes", units, _estimated(answer.hub))
        yield SheetBlock(heading, (grid, Sentence(" ".join(filter(None, said)))))


def _estimated(hub: Hub) -> str:
    """That loads rest on memory, where one of their two laws does."""
    forces = (hub.material.low, hub.material.high) if hub.material else ()
    return "loads from memory" if any(force.status == MEMORY for force in forces) else ""


def _at_once(plan: Plan) -> str:
    known = [each.teeth_in_cut for each in plan.passes if each.teeth_in_cut is not None]
    return f"At most {numbered(max(known), 'tooth', 'teeth')} in the cut at once." if known else ""


def _press(plan: Plan, units: Units) -> str:
    if plan.press is None:
        return "none chosen"
    rated, peak = plan.press.rated_force, peak_force(plan)
    if rated is None:
        return plan.press.tag
    parts = f"{plan.press.tag}, rated {show_force(rated.newtons, units)}"
    return parts if peak is None else f"{parts}; the peak takes {peak / rated.newtons:.0%} of it"


def _others(answer: Answer) -> Iterator[SheetBlock]:
    """The plans after the best, and how many more could be worked out; nothing where there are none."""
    units, lines = answer.settings.shown_in, list[SheetGrid | Sentence]()
    if rows := rows_of(PLANS, answer.plans[1:], View(units=units)):
        lines.append(SheetGrid(columns_of(PLANS), tuple(rows)))
    if answer.more_pairs:
        lines.append(Sentence(f"and {answer.more_pairs} more; --plans all works them out too"))
    if lines:
        yield SheetBlock(in_units("Other plans", units), tuple(lines))


def _why_refused(answer: Answer) -> str:
    more = any(refusal.count > len(refusal.nearest) for refusal in answer.refusals)
    rest = " (--why TAG or --why all shows the rest)" if more else ""
    return f"Why {'the others are' if answer.plans else 'everything is'} refused{rest}"


def _under(heading: str, blocks: Iterable[SheetBlock], mark: str = "") -> Iterator[SheetBlock]:
    """Blocks as one under one heading; nothing where there are none."""
    lines = list[NamedValue | Sentence | SheetGrid]()
    for block in blocks:
        lines.append(Sentence(block.heading, mark if block.lines else ""))
        lines += (
            line._replace(mark=f"  {line.mark}") if isinstance(line, Sentence) else line
            for line in block.lines
        )
    if lines:
        yield SheetBlock(heading, tuple(lines))


def _labelled(label: str, texts: list[str]) -> Iterator[NamedValue]:
    return (NamedValue("" if place else label, text) for place, text in enumerate(texts))


def _with_figures(tag: str, units: Units, *figures: tuple[str, Length | None]) -> str:
    return ", ".join(
        [tag, *(f"{label} {show(value, units)}" for label, value in figures if value is not None)]
    )


def _within(limits: Limits, units: Units) -> str:
    if limits.lower == limits.upper:
        return show(limits.nominal, units)
    return f"{nominal_in_words(limits, units)} ({limits_in_words(limits, units)})"
