"""At the press: pushes as they are made, readings as they are taken, and the next one of two ways on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from broachplan.crib.words import checked_words
from broachplan.cut.gauge_ways import GaugedBore, GaugeWay, gauge_way, read_way
from broachplan.desks.machinist.runs.keeping import Kept, act_on
from broachplan.errors import InputError
from broachplan.lengths import Length, parse_length
from broachplan.questions.read_run import read_number, read_tags
from broachplan.questions.runs import (
    RunAgainRequest,
    RunGaugingRequest,
    RunPushedRequest,
    RunReadRequest,
    RunReplanRequest,
)
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.correcting import again, replanned
from broachplan.runs.acts.pushing import pushed
from broachplan.runs.acts.reading import Gauge, gauging, not_read, read
from broachplan.runs.ahead import OnHand
from broachplan.runs.state import RunState


def push(db: str | None, request: RunPushedRequest, *, at: datetime | None = None) -> Kept:
    """Book the push that is due, with what was really in; its cuts are booked on the broach.

    Parameters
    ----------
    db : the database's path or URL; None takes the user's own.
    at : when; see `stamped`.

    Raises
    ------
    InputError : no such run, shims that are not here, or things typed that do not go together.
    CribStateError : no push is due, another step was confirmed since, or a shim that was in is lent elsewhere.
    StorageError : the database cannot be used.
    """
    shims = read_tags(request.shims) if request.shims.strip() else None
    through = read_number(request.through, "through") if request.through.strip() else None

    def act(state: RunState, hand: OnHand, by: str) -> Acted:
        return pushed(state, hand, shims=shims, through=through, part_way=request.part_way, by=by)

    return act_on(db, request, act, at)


def read_gauge(db: str | None, request: RunReadRequest, *, at: datetime | None = None) -> Kept:
    """Book what the gauge reads after a pass, or that it was not gauged; see `push`.

    With the pass that was gauged, the reading books the pushes up to it too: all that is booked, or nothing.

    Raises
    ------
    InputError : no reading, or more than one; one that cannot be; a size that its way needs and that is not given.
    CribStateError : nothing is to be read, or another step was confirmed since.
    """
    hub = read_number(request.hub, "hub") if request.hub.strip() else None
    through = read_number(request.through, "through") if request.through.strip() else None
    if through is not None and request.not_measured:
        raise InputError("through", "write it with what the gauge reads; a push alone is booked with pushed")
    typed = typed_readings(request.measured, request.top, request.bottom, not_measured=request.not_measured)
    with_what = checked_words(request.with_what, "with", most=100)

    def act(state: RunState, hand: OnHand, by: str) -> Acted:
        if request.not_measured:
            return not_read(state, hub=hub, by=by)
        sizes = WaySizes(request.way, request.block, request.bore_is, request.other_reading, request.anvil)
        way = way_of(state, hub, sizes)
        ends = [way.t_of(each.length) for each in typed]
        gauge = Gauge(way.way.value, with_what, tuple(each.text for each in typed))
        return read(state, hand, ends, hub=hub, through=through, sure=request.sure, gauge=gauge, by=by)

    return act_on(db, request, act, at)


def push_again(db: str | None, request: RunAgainRequest, *, at: datetime | None = None) -> Kept:
    """Let a second push of the same stack be next; see `push`."""
    return act_on(db, request, lambda state, _, by: again(state, by=by), at)


def take_other_plan(db: str | None, request: RunReplanRequest, *, at: datetime | None = None) -> Kept:
    """Take the other plan that was offered; see `push`."""
    return act_on(db, request, lambda state, hand, by: replanned(state, hand, by=by), at)


def change_gauging(db: str | None, request: RunGaugingRequest, *, at: datetime | None = None) -> Kept:
    """Change how often hubs are gauged from now on; see `push`.

    Raises
    ------
    InputError : neither every nor a whole number.
    CribStateError : the run is over, they are gauged as often already, or another step was confirmed since.
    """
    return act_on(db, request, lambda state, _, by: gauging(state, request.read_each, by=by), at)


@dataclass(frozen=True, slots=True)
class Typed:
    """A length as it was typed."""

    text: str
    length: Length


@dataclass(frozen=True, slots=True)
class WaySizes:
    """How a reading was taken, and the sizes that go with the way, all as typed."""

    way: str = ""
    block: str = ""
    bore_is: str = ""
    other_reading: str = ""
    anvil: str = ""


def typed_readings(measured: str, top: str, bottom: str, *, not_measured: bool = False) -> Sequence[Typed]:
    """One reading, or one for each end, the top first; none where it was not gauged.

    Raises
    ------
    InputError : nothing is typed, or things that do not go together.
    """
    texts = {"measured": measured.strip(), "top": top.strip(), "bottom": bottom.strip()}
    given = [name for name, text in texts.items() if text]
    wanted = [[]] if not_measured else [["measured"], ["top", "bottom"]]
    if given not in wanted:
        raise InputError(
            "reading", "write what the gauge reads, or both top and bottom, or that it was not measured"
        )
    return [Typed(" ".join(texts[name].split()), parse_length(texts[name], name)) for name in given]


def way_of(state: RunState, hub: int | None, sizes: WaySizes) -> GaugeWay:
    """How a reading of a hub was taken, with the bore as it is and the keyway as its broach cuts it.

    Raises
    ------
    InputError : an unknown way, or a size that it needs and that is not given.
    """
    run = state.run
    load = (
        state.load_of(hub) if hub and hub <= run.quantity else state.current or state.load(len(state.loads))
    )
    width = state.broach(load.last_push.broach if load.last_push else load.to_do.broach).keyway_width
    bore = GaugedBore(
        run.hub.bore.nominal,
        parse_length(sizes.bore_is, "bore is") if sizes.bore_is.strip() else run.hub.bore_measured,
        width or run.keyway.width.nominal,
    )
    block, anvil, other = (
        parse_length(text, what) if text.strip() else None
        for text, what in (
            (sizes.block, "block"),
            (sizes.anvil, "anvil"),
            (sizes.other_reading, "other reading"),
        )
    )
    return gauge_way(read_way(sizes.way or "inside"), bore, block=block, anvil=anvil, other=other)
