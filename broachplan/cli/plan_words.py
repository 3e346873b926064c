"""A planner's answer in words: 80 columns, no colour, in the order a machinist needs it."""

from __future__ import annotations

from collections.abc import Iterable

from broachplan.cli.layout import WIDTH, wrap
from broachplan.cli.pass_table import pass_table
from broachplan.cut.gauge_ways import T_ITSELF, GaugeWay
from broachplan.keyways.keyway import Keyway
from broachplan.lengths import Length, Limits, Units, show
from broachplan.planner.answer import Answer, Plan
from broachplan.planner.rule_words import by_how_much, press_not_checked, why_blocked
from broachplan.quantities import show_force
from broachplan.settings import MEMORY
from broachplan.sheets import gauging
from broachplan.sheets.band import band_between
from broachplan.sheets.gauging import gauge_points
from broachplan.sheets.layout import lay_out
from broachplan.sheets.plan import (
    advice_blocks,
    caution_blocks,
    make_blocks,
    note_blocks,
    peak_force,
    points,
    refusal_blocks,
)
from broachplan.sheets.plans import PLANS
from broachplan.sheets.reading import reading_points
from broachplan.sheets.result import NamedValue, ResultSheet, Sentence, SheetBlock
from broachplan.sheets.sizes import gauge_units, unit_word
from broachplan.sheets.table import View, columns_of, rows_of, table_lines
from broachplan.shown import limits_in_words, nominal_in_words
from broachplan.tooling.hub import BoreForm, Hub

_AT_THE_PRESS = (
    "Eye protection on; no rings, watch or loose sleeves. Check that all is clear first.",
    "Hub face square on its support, ram square over the broach. Start it, ease the ram off so that the broach "
    "lines itself up, then press slowly and evenly. If it cocks, stop and tap it back: hardened broaches break "
    "without warning.",
    "Hands out from under the ram and off the broach under load; stand to the side. Never reach for a shim or a "
    "chip while the ram is live.",
    "Before every pass brush off the chips (no fingers, no air jet) and oil the teeth and the back.",
    "Let the broach come down on a soft pad, hands and feet clear. Never pull it back through the cut.",
    "Watch the gauge of a hydraulic press: it gives no feel.",
    "Local rules and your shop's responsible person decide on guards and limits; this program does not.",
)


def in_words(answer: Answer, way: GaugeWay = T_ITSELF) -> list[str]:
    """The answer as lines for a terminal; lengths in the units of its settings.

    ``way`` is how T is gauged.
    """
    units = answer.settings.units
    lines = [
        *_headline(answer),
        *_labelled("Reading", reading_points(answer)),
        "",
        *_hub(answer.hub, units),
        *_keyway(answer.keyway, units),
    ]
    if not answer.plans and answer.keyway.off_table:  # where there is a plan, a caution says it
        lines += _labelled("", [answer.keyway.off_table])
    if answer.plans:
        plan = answer.plans[0]
        lines += ["", *_best(answer)]
        lines += _points(points(gauging.HEADING, gauge_points(plan, answer.hub, units, way)))
        lines += _points(caution_blocks(answer, plan)) + _others(answer)
    lines += _points(advice_blocks(answer.advice))
    lines += _under("To make or find", make_blocks(answer.make, units), "- ")
    lines += _refusals(answer)
    lines += _points(note_blocks(answer))
    if answer.plans and answer.plans[0].passes:
        lines += _points(points("At the press", _AT_THE_PRESS))
    return lines


def _headline(answer: Answer) -> list[str]:
    if not answer.plans:
        made = "See below what would make it possible." if answer.make or answer.advice else ""
        return wrap(" ".join(filter(None, (f"NO PLAN: {why_blocked(answer)}.", by_how_much(answer), made))))
    plan = answer.plans[0]
    if not plan.passes:
        return wrap("READY: the keyway is inside its limits, nothing is left to do.")
    press = f" on press {plan.press.tag}" if plan.press else ""
    ready = f"READY: {_counted(len(plan.passes), 'pass', 'passes')}, broach {plan.broach.tag} in bushing {plan.bushing.tag}{press}."
    return wrap(f"{ready} {press_not_checked(plan, answer.hub)}")


def _hub(hub: Hub, units: Units) -> list[str]:
    exact = "" if hub.bore_toleranced else ", taken as exact"
    measured = f", measured {show(hub.bore_measured, units)}" if hub.bore_measured else ""
    parts = [f"bore {_within(hub.bore, units)}{exact}{measured}", f"{show(hub.length, units)} long"]
    if hub.stack > 1:
        parts.append(f"{hub.stack} stacked")
    if hub.outside_diameter:
        parts.append(f"outside {show(hub.outside_diameter, units)}")
    if hub.hardness:
        parts.append(f"{hub.hardness.value} {hub.hardness.scale}")
    if hub.bore_form is not BoreForm.THROUGH:
        parts.append(f"{hub.bore_form} bore")
    parts.append(hub.material.name if hub.material else "material not named")
    return _labelled("Hub", ["; ".join(parts)])


def _keyway(keyway: Keyway, units: Units) -> list[str]:
    shape = f", {keyway.shape} key" if keyway.shape else ""
    memory = "; from memory: check it against the drawing" if keyway.status == MEMORY else ""
    return _labelled(
        "Keyway",
        [
            f"width {_within(keyway.width, units)}{shape}",
            f"reading T {_within(keyway.reading, units)}, aim {show(keyway.aim, units)}",
            f"depth at the side wall {show(keyway.depth_at_wall, units)}, arc {show(keyway.arc, units)}",
            f"source: {keyway.source}{memory}",
            *keyway.remarks,
        ],
    )


def _best(answer: Answer) -> list[str]:
    plan, units = answer.plans[0], answer.settings.units
    broach, bushing = plan.broach, plan.bushing
    lines = _labelled("Broach", [_with_figures(broach.tag, ("cuts", broach.keyway_width), units=units)])
    lines += _labelled(
        "Bushing",
        [
            _with_figures(
                bushing.tag, ("outside", bushing.outside_diameter), ("web", bushing.web), units=units
            )
        ],
    )
    lines += _labelled("Press", [_press(plan, units)])
    if plan.homes:
        lines += _labelled("Fetch", [_fetch(plan)])
    if not plan.passes:
        return lines
    known = [each.teeth_in_cut for each in plan.passes if each.teeth_in_cut is not None]
    at_once = f"At most {_counted(max(known), 'tooth', 'teeth')} in the cut at once. " if known else ""
    not_known = f"{plan.not_known} " if plan.not_known else ""
    return [
        *lines,
        "",
        *pass_table(plan.passes, answer.hub.widest_bore, units),
        *wrap(
            f"{not_known}{at_once}{_last_reading(plan, units)}",
        ),
    ]


def _last_reading(plan: Plan, units: Units) -> str:
    between = band_between(plan.band, units)
    return f"The last reading comes out at {between}, 95 times of 100." if between else ""


def _fetch(plan: Plan) -> str:
    return "; ".join(f"{', '.join(tags)} from {home}" for home, tags in plan.fetch.items())


def _press(plan: Plan, units: Units) -> str:
    if plan.press is None:
        return "none chosen"
    rated, peak = plan.press.rated_force, peak_force(plan)
    if rated is None:
        return plan.press.tag
    parts = f"{plan.press.tag}, rated {show_force(rated.newtons, units)}"
    return parts if peak is None else f"{parts}; the peak takes {peak / rated.newtons:.0%} of it"


def _others(answer: Answer) -> list[str]:
    """The plans after the best, and how many more could be worked out; nothing where there are none."""
    view = View(units=answer.settings.units)
    rows = rows_of(PLANS, answer.plans[1:], view)
    lines = [*table_lines(columns_of(PLANS), rows, WIDTH)] if rows else []
    if answer.more_pairs:
        lines.append(f"  and {answer.more_pairs} more; --plans all works them out too")
    force = show_force(1, view.units).rpartition(" ")[2]
    return ["", f"Other plans ({unit_word(gauge_units(view.units))}, {force})", *lines] if lines else []


def _refusals(answer: Answer) -> list[str]:
    more = any(refusal.count > len(refusal.nearest) for refusal in answer.refusals)
    heading = "Why the others are refused" if answer.plans else "Why everything is refused"
    rest = " (--why TAG or --why all shows the rest)" if more else ""
    return _under(f"{heading}{rest}", refusal_blocks(answer.refusals))


def _under(heading: str, blocks: Iterable[SheetBlock], mark: str = "") -> list[str]:
    """Blocks one below the other under one heading; nothing where there are none."""
    lines = []
    for block in blocks:
        lines += wrap(block.heading, f"  {mark if block.lines else ''}", "    ")
        for line in block.lines:
            if isinstance(line, NamedValue):
                lines.append(f"      {line.label:<22} {line.value}")
            elif isinstance(line, Sentence):
                lines += wrap(line.text, f"    {line.mark}", "      ")
    return ["", heading, *lines] if lines else []


def _points(blocks: Iterable[SheetBlock]) -> list[str]:
    return [line.text for line in lay_out(ResultSheet("", "", tuple(blocks)), WIDTH)]


def _with_figures(tag: str, *figures: tuple[str, Length | None], units: Units) -> str:
    parts = [f"{label} {show(value, units)}" for label, value in figures if value is not None]
    return ", ".join([tag, *parts])


def _within(limits: Limits, units: Units) -> str:
    if limits.lower == limits.upper:
        return show(limits.nominal, units)
    return f"{nominal_in_words(limits, units)} ({limits_in_words(limits, units)})"


def _labelled(label: str, texts: list[str]) -> list[str]:
    lines: list[str] = []
    for text in texts:
        first = f"{label:<9}" if not lines else " " * 9
        lines += wrap(text, first, " " * 11)
    return lines


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"
