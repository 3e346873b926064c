"""What was typed of a reading at the press: which pieces were pushed, and what the gauge said, by which way of gauging."""

from __future__ import annotations

from dataclasses import dataclass

from broachplan.cut.gauge_ways import T_ITSELF, GaugedBore, GaugeWay, Way, gauge_way, read_way
from broachplan.errors import InputError
from broachplan.lengths import Length, parse_length
from broachplan.planner.answer import Answer
from broachplan.questions.hub import PlanRequest
from broachplan.questions.read_run import read_tags
from broachplan.tooling.hub import Hub


@dataclass(frozen=True, slots=True, kw_only=True)
class WayQuestion:
    """How it is gauged, with the sizes that go with the way, as typed."""

    way: Way = Way.INSIDE
    block: Length | None = None
    anvil: Length | None = None
    other: Length | None = None

    def for_plan(self, answer: Answer) -> GaugeWay:
        """The way with the broach of the best plan; T itself where there is no plan."""
        if not answer.plans or answer.plans[0].broach.keyway_width is None:
            return T_ITSELF
        return self.on(answer.hub, answer.plans[0].broach.keyway_width)

    def on(self, hub: Hub, width: Length) -> GaugeWay:
        """The way on this hub with a keyway so wide; raises `InputError` where a size for it is not known."""
        bore = GaugedBore(hub.bore.nominal, hub.bore_measured, width)
        return gauge_way(self.way, bore, block=self.block, anvil=self.anvil, other=self.other)


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterQuestion:
    """A reading as it was typed.

    ``shims`` are the tags of what was in, ``read`` what the gauge said, once or at top and bottom, and ``before`` what it
    said before that push; all by the one ``way``.
    """

    broach: str
    bushing: str
    shims: tuple[str, ...]
    read: tuple[Length, ...]
    before: Length | None
    way: WayQuestion


# Lines that say nothing without a reading.
_GO_WITH_A_READING = ("last_shims", "before")


def read_way_question(request: PlanRequest) -> WayQuestion:
    """How it is gauged; raises `InputError` where a field cannot be read."""
    return WayQuestion(
        way=read_way(request.way) if request.way else Way.INSIDE,
        block=_length(request.block, "block"),
        anvil=_length(request.anvil, "anvil"),
        other=_length(request.other_reading, "other reading"),
    )


def read_after_question(request: PlanRequest) -> AfterQuestion | None:
    """The reading that a plan is asked after; None where there was none.

    Raises
    ------
    InputError : a field that cannot be read, or fields that do not go together.
    """
    read = _read(request)
    if not read:
        _refuse_without_a_reading(request)
        return None
    for what, tag in (("broach", request.broach), ("bushing", request.bushing)):
        if not tag:
            raise InputError(
                what, f"a reading is compared with the pieces that were pushed: name the {what} too"
            )
    return AfterQuestion(
        broach=request.broach,
        bushing=request.bushing,
        shims=read_tags(request.last_shims, "last shims") if request.last_shims.strip() else (),
        read=read,
        before=_length(request.before, "before"),
        way=read_way_question(request),
    )


def _read(request: PlanRequest) -> tuple[Length, ...]:
    if request.measured and (request.top or request.bottom):
        raise InputError("measured", "type one reading, or top and bottom, not both")
    if request.measured:
        return (parse_length(request.measured, "measured"),)
    if not (request.top or request.bottom):
        return ()
    for what, text in (("top", request.top), ("bottom", request.bottom)):
        if not text:
            raise InputError(what, "two ends are read at top and bottom: type both, or one as measured")
    return parse_length(request.top, "top"), parse_length(request.bottom, "bottom")


def _refuse_without_a_reading(request: PlanRequest) -> None:
    for name in _GO_WITH_A_READING:
        if getattr(request, name):
            raise InputError(
                name.replace("_", " "), "it goes with a reading: type measured, or top and bottom, too"
            )


def _length(text: str, what: str) -> Length | None:
    return parse_length(text, what) if text else None
