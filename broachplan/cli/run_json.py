"""A run for another program: whole nanometres, newtons, and no clock but that of each step."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import TYPE_CHECKING, Any

from broachplan.cli.plan_json import caution_entries, hub_entry, keyway_entry, plan_entry
from broachplan.lengths import Length
from broachplan.planner.answer import Band, Plan
from broachplan.runs.ahead import worked_out
from broachplan.runs.counts import counts_of
from broachplan.runs.next import Next, next_of
from broachplan.runs.offsets import offset_of
from broachplan.runs.picked_up import picked_up
from broachplan.runs.run import RunPiece
from broachplan.runs.state import LoadState, RunState
from broachplan.runs.steps import STEP_COLUMNS, Step
from broachplan.settings import NAMES, written
from broachplan.sheets.plans import newtons_of
from broachplan.sheets.table import plain
from broachplan.views.piece_json import figure_entry
from broachplan.views.runs import hubs_entry

if TYPE_CHECKING:
    from broachplan.desks.machinist.runs.looking import ShownRun

SCHEMA = "broachplan.run/1"


def run_as_dict(shown: ShownRun) -> dict[str, Any]:
    """One run as it is now, with all its steps."""
    state, run = shown.state, shown.stored.run
    due = next_of(state)
    loads = picked_up(run.quantity, len(run.loads), state.new_hubs.stacks)
    return {
        "schema": SCHEMA,
        "run": run.number,
        "code": shown.stored.code,
        "state": state.status.value,
        "why": state.why,
        "step": state.step,
        "waiting_for": state.waits.value,
        "by": shown.stored.person,
        "job": run.job,
        "drawing": run.drawing,
        "marks": list(run.marks),
        "program": run.program,
        "settings": {name: written(run.settings, name) for name in NAMES},
        "question": dict(run.question),
        "hub": hub_entry(run.hub),
        "keyway": keyway_entry(run.keyway),
        "plan": _plan(state),
        "order": run.order.value,
        "picked_up": {"loads": loads.loads, "passes": loads.passes},
        "read_each": state.as_asked.read_each,
        "hubs": hubs_entry(counts_of(state)),
        "offset_nm": offset_of(state, _load(state)).mean.nm,
        "pieces": [_piece(piece, state) for piece in state.pieces.values()],
        "next": _next(due) if due else None,
        "steps": [_step(step) for step in state.steps],
    }


def _load(state: RunState) -> LoadState:
    """The load that is next at the press, else the last one."""
    return state.current or state.load(len(state.loads))


def _piece(piece: RunPiece, state: RunState) -> dict[str, Any]:
    measured, its = piece.measured, piece.piece
    figures: Mapping[str, Any] = dict(figure_entry(its, figure) for figure in its.figures())
    return {
        "tag": piece.tag,
        "kind": its.kind.value,
        "figures": figures,
        "measured": {
            "with": measured.with_what,
            "on": measured.on.isoformat() if measured.on else None,
            "by": measured.by,
            "to_nm": _nm(measured.to),
        },
        "lent_by_run": piece.lent_by_run,
        "held": piece.tag in state.held,
    }


def _plan(state: RunState) -> dict[str, Any]:
    """The passes still to do, numbered on from those that are through, each with its band; none where nothing is left."""
    load = _load(state)
    ahead = worked_out(state, load) if state.can_go_on(load) and not state.closed else None
    if ahead is None:
        return plan_entry(_nothing_left(state, load))
    entry = plan_entry(ahead.plan)
    for entry_of_pass, one in zip(entry["passes"], ahead.passes, strict=True):
        entry_of_pass |= {"number": one.number, "reading_low_nm": one.low.nm, "reading_high_nm": one.high.nm}
    last = entry["passes"][-1]
    return {**entry, **{name: last[name] for name in ("reading_low_nm", "reading_high_nm")}}


def _nothing_left(state: RunState, load: LoadState) -> Plan:
    """A plan without passes: what the load reads now, as well as the gauge knows it; the bore where nothing is cut."""
    to_do, push, bore = load.to_do, load.last_push, state.run.hub.bore
    reading, band = bore.nominal, Band(bore.lower, bore.upper)
    if push is not None:
        error = state.run.settings.error_reading
        reading = state.plain_of(push) + offset_of(state, load).mean
        band = Band(reading - error, reading + error)
    broach, bushing = state.broach(to_do.broach), state.bushing(to_do.bushing)
    press = state.press(to_do.press)
    return Plan(
        broach=broach, bushing=bushing, press=press, passes=(), reading=reading, cautions=(), band=band
    )


def _next(due: Next) -> dict[str, Any]:
    return {
        "load": due.load,
        "hubs": list(due.hubs),
        "pass": due.pass_number,
        "of": due.of,
        "shims": list(due.shims),
        "plain_nm": due.plain.nm,
        "reading_nm": due.expected.nm,
        "reading_low_nm": due.low.nm,
        "reading_high_nm": due.high.nm,
        "force_low_n": newtons_of(due.force_low),
        "force_high_n": newtons_of(due.force_high),
        "gauge": list(due.gauge),
        "cautions": caution_entries(due.cautions),
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        f"{name}_nm" if is_length else name: _value(getattr(step, field))
        for name, (field, is_length) in STEP_COLUMNS.items()
    }


def _value(value: Any) -> Any:
    if isinstance(value, Length):
        return value.nm
    if isinstance(value, tuple):
        return list(value)
    return value.value if isinstance(value, Enum) else plain(value)


def _nm(length: Length | None) -> int | None:
    return None if length is None else length.nm
