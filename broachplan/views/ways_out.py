"""Of a job that cannot be cut yet: what is missing and the first way out, each in a few words for one line of a page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING

from broachplan.buying.verdicts import Verdict
from broachplan.lengths import NM_PER_INCH, Length, Units, show, write_exact
from broachplan.planner.answer import Advice, Make, Rule, Try
from broachplan.shown import between_in_words, numbered
from broachplan.tooling.figures import Kind
from broachplan.views.day_words import span_of_days

if TYPE_CHECKING:
    from broachplan.desks.buyer.shortages import JobShortage


def what_is_missing(one: JobShortage, units: Units) -> str:
    """What a job lacks; empty for one that is ready."""
    judged = one.judged
    if judged.verdict is Verdict.CLASH:
        numbers = dict.fromkeys(each.number for each in one.in_use)
        have = f"{', '.join(numbers) or 'another job'} {'have' if len(numbers) > 1 else 'has'}"
        tags = [each.tag for each in one.in_use]
        more = f" and {len(tags) - 1} more" if len(tags) > 1 else ""
        return f"{tags[0] if tags else 'its pieces'}{more}: {have} {'them' if more else 'it'}"
    return "" if judged.why is None else LACKS[judged.why.rule](one, units)


def first_way_out(one: JobShortage, units: Units, on: date) -> str:
    """What to do about it first: what costs nothing, then what to make, then what else would cure it."""
    judged, missing = one.judged, one.missing
    if judged.verdict is Verdict.CLASH:
        free = f", or {span_of_days(*one.free, on)}" if one.free else ""
        return f"one after the other{free}"
    if judged.why is None:
        return ""
    if missing is not None and missing.advice:
        advice = missing.advice[0]
        return _TRIED[advice.what](advice, one, units)
    if judged.why.rule in _SENT_OUT:
        return _SENT_OUT[judged.why.rule]
    make = [each for each in missing.make if each.way == 1] if missing is not None else []
    return _made(make, units) or judged.why.cure


def named_size(length: Length) -> str:
    """A size as one asks for it: ``1-1/8 in``, ``25 mm``."""
    in_64ths = not length.nm % (NM_PER_INCH // 64)
    return show(length, Units.FRACTION) if in_64ths else write_exact(length)


def loads(quantity: int, hubs: int) -> str:
    """So many hubs cut so many at a time."""
    full, rest = divmod(quantity, hubs)
    if not full:
        return f"cut {quantity} with filler slugs, {hubs} high"
    if not rest:
        return f"stack {hubs} at a time"
    return f"stack {hubs}; last {rest} with a slug"


def _made(make: list[Make], units: Units) -> str:
    shims = [each.best["thickness"] for each in make if each.kind is Kind.SHIM]
    bushing = next((each.best for each in make if each.kind is Kind.BUSHING), None)
    words = []
    if bushing is not None:
        outside = show(bushing["outside_diameter"], units).rpartition(" ")[0]
        words.append(f"make OD {outside} web {show(bushing['web'], units)}")
    if shims:
        *others, last = (show(each, units) for each in shims)
        sizes = ", ".join([*(each.rpartition(" ")[0] for each in others), last])
        words.append(f"cut {'one' if not others else len(shims)}: {sizes}")
    broach = next((each for each in make if each.kind is Kind.BROACH), None)
    if broach is not None and not words:
        teeth = f", {broach.rising_teeth} rising teeth" if broach.rising_teeth else " for it"
        words.append(f"find: broach{teeth}")
    return "; ".join(words)


def _back(advice: Advice, one: JobShortage, _: Units) -> str:
    tags = ", ".join(advice.tags)
    return f"regrind {tags}, or buy one" if set(advice.tags) <= one.worn else f"get {tags} back"


_TRIED: Mapping[Try, Callable[[Advice, JobShortage, Units], str]] = {
    Try.MEASURE: lambda advice, _, __: f"measure {', '.join(advice.tags)}",
    Try.STACK: lambda advice, one, _: loads(one.job.quantity, advice.hubs or 1),
    Try.SLUG: lambda advice, _, units: (
        f"add a filler slug{f', {show(advice.length, units)}' if advice.length else ''}"
    ),
    Try.PRESS: lambda advice, _, __: f"use {', '.join(advice.tags)}, nothing to buy",
    Try.BACK: _back,
}
# No piece helps.
_SENT_OUT = {
    Rule.THROUGH: "send out: slot or erode it",
    Rule.TAPER: "shims or slot cut to taper",
}


def _key(one: JobShortage) -> str:
    return named_size(one.asked.keyway.width.nominal)


def _bushing(one: JobShortage, _: Units) -> str:
    return f"bushing {named_size(one.asked.hub.bore.nominal)}, key {_key(one)}"


def _shim(one: JobShortage, _: Units) -> str:
    return f"shim for {_key(one)}"


def _press(what: str) -> Callable[[JobShortage, Units], str]:
    return lambda one, _: f"press {one.asked.press}: {what}" if one.asked.press else f"press: {what}"


def _broach(one: JobShortage, units: Units) -> str:
    width = one.asked.keyway.width
    return f"broach {between_in_words(width.lower, width.upper, units)}"


def _away(one: JobShortage, _: Units) -> str:
    return one.judged.why.text if one.judged.why else ""


# What a job lacks where it fails by a rule.
LACKS: Mapping[Rule, Callable[[JobShortage, Units], str]] = {
    Rule.THROUGH: lambda one, _: f"{one.asked.hub.bore_form} bore",
    Rule.TAPER: lambda _, __: "taper keyway",
    Rule.WIDTH: _broach,
    Rule.BUSHING_FIT: _bushing,
    Rule.NOT_MEASURED: lambda _, __: "a figure nobody measured",
    Rule.ENGAGEMENT: lambda one, _: (
        f"hub too thin: {'one' if one.asked.hub.stack == 1 else numbered(one.asked.hub.stack, 'hub')} at a time"
    ),
    Rule.CHIP_ROOM: lambda one, _: f"gullets too small for {named_size(one.asked.hub.length)}",
    Rule.ON_SHELF: _away,
    Rule.SLOT_FIT: _bushing,
    Rule.SHIM_FIT: _shim,
    Rule.ENTRY: _shim,
    Rule.BITE: _shim,
    Rule.READING: _shim,
    Rule.OPENING: _press("opening too low"),
    Rule.THROAT: _press("throat too short"),
    Rule.PRESS_FORCE: _press("too weak"),
    Rule.COLUMN: lambda _, __: "the broach would bend",
}
