"""The moments of a run as the screen at the press shows them."""

from __future__ import annotations

import re

from broachplan.lengths import Length
from broachplan.runs.ahead import AheadPass
from broachplan.runs.gauging import can_be_gauged, is_first, to_be_gauged
from broachplan.runs.state import LoadState, RunState, Status, Waits
from broachplan.runs.waiting import hubs_in_words
from broachplan.shown import numbered
from broachplan.tooling.pieces import Press
from tui.plain import plain
from tui.press.cautions import GAUGING, NEXT_HUB, first_push, next_push
from tui.press.happened import happened
from tui.press.result import limits_words, result_of
from tui.press.sight import Large, Sight
from tui.press.stack_words import in_short, put_in
from tui.press.view import PressView
from tui.words import figure, load_words

# So many rows of passes leave room on a small screen for the caution and for what is gauged next.
_AT_A_GLANCE = 5
# What is typed behind the unit of a size: a hyphen before it belongs to a mixed number.
_DEVIATIONS = re.compile(r"(?<=[a-z\"”″.]) *(?=[+±-])")


def sight_of(view: PressView) -> Sight:
    """What is shown; a stopped run and one that is through are drawn with what is asked of them."""
    waits = view.state.waits
    if waits is Waits.READING and view.state.to_gauge[1]:
        return _to_gauge(view)
    if waits is Waits.PUSH and view.due:
        load = view.load
        assert load is not None
        # The first hub cut with a broach and a bushing is gauged on the way: its passes come one by one.
        like = not load.passes and not _is_first(view, load)
        finished = last_finished(view.state) if like else None
        return _next_hub(view, load, finished) if finished else _push(view, load)
    return Sight(work=work_words(view), place=hubs_words(view), said=happened(view))


def work_words(view: PressView) -> str:
    """Which work this is: job, drawing, bore and key as they were typed."""
    run, asked = view.run, view.run.question
    parts = [
        run.job,
        run.drawing,
        f"bore {_nominal(str(asked.get('bore', '')))}",
        f"key {asked['key']}" if asked.get("key") else "",
    ]
    return "   ".join(plain(part) for part in parts if part)


def _nominal(bore: str) -> str:
    """A bore as it was typed, without its deviations."""
    return _DEVIATIONS.split(bore, maxsplit=1)[0].strip()


def place_words(view: PressView, load: LoadState, number: int) -> str:
    """``HUB 1 of 4   PASS 2 of 3``."""
    passes = len(load.passes) + len(load.to_do.stacks)
    hubs = view.hub_words(view.state.in_work(load) or load.hubs)
    # Where the run is blocked nobody knows how many passes there will be.
    of = f" of {passes}" if number <= passes else ""
    return f"{hubs} of {view.run.quantity}   PASS {number}{of}"


def last_finished(state: RunState) -> LoadState | None:
    """The load that the last push or reading finished; None before the first one is through."""
    for step in reversed(state.steps):
        if step.load is not None:
            load = state.load(step.load)
            return load if load.passes and state.finished(load) else None
    return None


def where_words(view: PressView) -> str:
    """The hub and the pass that the run is at; the hub alone where one is gauged late; else how many hubs it has."""
    if view.load is not None:
        return place_words(view, view.load, view.pass_number)
    if view.state.waits is Waits.READING:
        return f"{view.hub_words([min(view.state.to_read)])} of {view.run.quantity}"
    return hubs_words(view)


def hubs_words(view: PressView) -> str:
    """How many hubs the run has."""
    return numbered(view.run.quantity, "HUB", "HUBS")


def _push(view: PressView, load: LoadState) -> Sight:
    """One pass to push."""
    assert view.next is not None
    due, change = view.due[0], view.next.change
    # What the run knows to lie in the slot: nothing where the tools were in the crib since.
    what = put_in((*change.stays, *change.taken_out), due.done.stack, view.units)
    words = force_words(view, due)
    set_up_anew = not load.passes or view.state.gauge_next
    cautions = first_push(words) if set_up_anew else next_push(words, shim=bool(due.shims))
    return Sight(
        work=work_words(view),
        place=place_words(view, load, due.number),
        said=happened(view),
        left=Large(what.heading, what.figure),
        right=view.should_read(due.done.reading),
        lines=(*_beside(view, due, what.lines), *(_tools(view, load) if set_up_anew else ()), *cautions),
        prompt=_push_prompt(view, due),
        unit=view.unit,
        below=_push_below(view, load, due),
    )


def _tools(view: PressView, load: LoadState) -> tuple[str, ...]:
    """The pieces at the press, where a hub begins."""
    to_do = load.to_do
    press = f" on {plain(to_do.press)}" if to_do.press else ""
    count = len(view.next.cautions) if view.next else 0
    more = f"   {numbered(count, 'caution')} of this plan: /" if count else ""
    gap = () if view.state.step > 1 else ("",)
    return (f"{plain(to_do.broach)} in bushing {plain(to_do.bushing)}{press}{more}", *gap)


def _beside(view: PressView, due: AheadPass, places: tuple[str, ...]) -> list[str]:
    """Where each shim lies, with the limits and what is usual beside it."""
    usual = f"usual    {figure(due.low, view.units)} to {figure(due.high, view.units)}"
    beside = (
        [f"good     {limits_words(view)}", usual] if len(view.due) == 1 else [usual, _gauge_words(view, due)]
    )
    rows = max(len(places), len(beside))
    left = [*places, *[""] * (rows - len(places))]
    right = [*beside, *[""] * (rows - len(beside))]
    return [f"{one:<42} {other}".rstrip() for one, other in zip(left, right, strict=True)]


def _gauge_words(view: PressView, due: AheadPass) -> str:
    if view.next is not None and view.next.gauge:
        return "GAUGE IT: the last pass but one" if len(view.due) == 2 else "GAUGE IT"
    if not can_be_gauged(view.run, due.plain):
        return f"pass {due.number} cannot be gauged yet"
    return f"no need to gauge pass {due.number}"


def force_words(view: PressView, due: AheadPass) -> str:
    """The load of a pass, and how much of it the press may take."""
    one = due.done
    if one.force_low is None or one.force_high is None:
        return "load not known"
    words = load_words(one.force_low, one.force_high, view.units)
    load = view.load
    press = view.state.press(load.to_do.press) if load else None
    return f"{words}{_limit_words(view, press)}"


def _limit_words(view: PressView, press: Press | None) -> str:
    if press is None or press.rated_force is None:
        return ""
    from broachplan.quantities import show_force as shown

    most = float(press.rated_force.newtons) * float(view.run.settings.press_share)
    return f"; press limit {shown(most, view.units)}"


def _push_prompt(view: PressView, due: AheadPass) -> str:
    if view.next is not None and view.next.gauge:
        which = f"hub {view.next.gauge[0]}" if len(view.next.hubs) > 1 else "it"
        return f"Through and gauged? Type what {which} reads"
    return f"Through? {due.number} Enter"


def _push_below(view: PressView, load: LoadState, due: AheadPass) -> str:
    last = len(load.passes) + len(load.to_do.stacks)
    if view.next is not None and view.next.gauge:
        return f"{GAUGING}  Not gauged: {due.number} Enter."
    if due.number == last:
        return GAUGING
    return f"(all {last} passes through, not gauged: {last} Enter)"


def _to_gauge(view: PressView) -> Sight:
    """A pass that is through and to be gauged."""
    number, hubs = view.state.to_gauge
    load = view.state.load(number)
    push = load.last_push
    assert push is not None
    step = view.state.steps[push.step - 1]
    expected = step.expected or view.state.plain_of(push)
    lines = [
        f"In the slot: {in_short(view.shims(push.shims), view.units)}.",
        "",
        GAUGING,
    ]
    if step.low is not None and step.high is not None:
        lines.insert(1, f"usual    {figure(step.low, view.units)} to {figure(step.high, view.units)}")
    if push.last:
        lines.insert(1, f"good     {limits_words(view)}")
    return Sight(
        work=work_words(view),
        place=place_words(view, load, push.number),
        said=happened(view),
        left=Large("GAUGE IT", f"HUB {hubs[0]}"),
        right=view.should_read(expected),
        lines=tuple(lines),
        prompt=f"What does hub {hubs[0]} read?",
        unit=view.unit,
        below="Not gauged after all: 0 Enter.",
    )


def _next_hub(view: PressView, load: LoadState, finished: LoadState) -> Sight:
    """A load is through: what it reads, and all the passes of the next one."""
    push = finished.last_push
    assert push is not None
    left, right, bar = result_of(view, finished)
    hubs = view.hub_words(view.state.in_work(load))
    last = view.due[-1].number
    gauge = _wants_last(view, load)
    return Sight(
        work=work_words(view),
        place=place_words(view, finished, push.number),
        said=happened(view),
        left=left,
        right=right,
        bar=bar,
        lines=(
            f"NEXT: {hubs}   {_same_tools(finished, load)}{_runs(view)}",
            *_rows(view),
            NEXT_HUB,
            _gauged_next(view, load),
        ),
        prompt=f"{'Gauge it: type what it reads.' if gauge else f'Push all: {last} Enter.'}",
        unit=view.unit,
        below=f"Through? {last} Enter, or pass by pass. Gauged after pass {last}: type what it reads.",
    )


def _wants_last(view: PressView, load: LoadState) -> tuple[int, ...]:
    """The hubs of a load that are to be gauged after its last pass."""
    anyway = load.gauged or view.state.gauge_next
    first = _is_first(view, load)
    return to_be_gauged(view.state.as_asked, view.state.in_work(load), 0, first=first, anyway=anyway)


def _is_first(view: PressView, load: LoadState) -> bool:
    return is_first(load, view.state.begun, view.state.fates)


def _gauged_next(view: PressView, load: LoadState) -> str:
    """Which hubs are gauged next: those of this load, else of the first load after it with one to be gauged."""
    state = view.state
    later = (state.in_work(state.load(number)) for number in range(load.number + 1, len(state.loads) + 1))
    planned = (to_be_gauged(view.state.as_asked, hubs, 0, first=False, anyway=False) for hubs in later)
    hubs = _wants_last(view, load) or next(filter(None, planned), ())
    if not hubs:
        return "No hub left is to be gauged (any hub: +)."
    last = ", the last one" if hubs == (view.run.quantity,) else ""
    return f"Gauge {hubs_in_words(hubs)}{last} (any hub: +)."


def _same_tools(finished: LoadState, load: LoadState) -> str:
    push, to_do = finished.last_push, load.to_do
    assert push is not None
    if (push.broach, push.bushing) != (to_do.broach, to_do.bushing):
        return f"{plain(to_do.broach)} in {plain(to_do.bushing)}"
    shims = [one.shims for one in finished.passes] == list(to_do.stacks)
    return f"same broach, same bushing, {'same shims' if shims else 'OTHER SHIMS'}"


def _runs(view: PressView) -> str:
    offset = view.next.offset if view.next else Length(0)
    shown = figure(abs(offset), view.units)
    if not shown.strip("0."):
        return ""
    return f"; it runs {shown} {'deep' if offset.nm > 0 else 'shallow'}"


def _rows(view: PressView) -> list[str]:
    """The passes to come, a row each; of many the first ones and the last one."""
    rows = [_row(view, due) for due in view.due]
    if len(rows) <= _AT_A_GLANCE:
        return rows
    shown = _AT_A_GLANCE - 2
    between = numbered(len(rows) - shown - 1, "more pass", "more passes")
    return [*rows[:shown], f"       {between}, then", rows[-1]]


def _row(view: PressView, due: AheadPass) -> str:
    stack = in_short(due.done.stack, view.units)
    row = f"       pass {due.number:<3} {stack:<22} reads {figure(due.done.reading, view.units)}"
    if due is view.due[-1]:
        row += f"   usual {figure(due.low, view.units)} to {figure(due.high, view.units)}"
    return row


def status_words(state: RunState) -> str:
    """The state of a run, in a word or two."""
    if state.status is Status.STOPPED:
        return f"STOPPED: {plain(state.why)}"
    return state.status.value.upper()
