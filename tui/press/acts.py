"""What is done at the press as requests for the machinist's desk, each with the step that the screen was drawn from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from broachplan.lengths import Length, write_exact
from broachplan.questions import runs
from broachplan.runs.state import Reading
from broachplan.runs.steps import End, Stack
from tui.press.gauging import Gauging
from tui.press.typed import TypedReading
from tui.press.view import PressView

# An act asks for nothing before it is its turn: what it is written behind may be the step before it.
Act = Callable[[PressView], Any]
_NO_SHIM = "none"


def _act(kind: Callable[..., Any], by: str = "", **texts: Any) -> Act:
    def request(view: PressView) -> Any:
        return kind(run=str(view.run.number), step=str(view.state.step), by=by or view.by, **texts)

    return request


def pushed(through: int) -> Act:
    """All passes up to this one are through, with what was planned."""
    return _act(runs.RunPushedRequest, through=str(through))


def pushed_with(shims: Stack) -> Act:
    """The pass due is through, with these shims."""
    return _act(runs.RunPushedRequest, shims=_tags(shims))


def part_way() -> Act:
    """The push stopped part way."""
    return _act(runs.RunPushedRequest, part_way=True)


def not_pushed(step: int) -> Act:
    """What was booked as a push was none."""
    return _act(runs.RunCorrectRequest, at=str(step), not_pushed=True, why="not pushed")


def again() -> Act:
    """The same stack once more."""
    return _act(runs.RunAgainRequest)


def other_plan() -> Act:
    """The other plan from here on."""
    return _act(runs.RunReplanRequest)


def read(hub: int, gauged: TypedReading, *, through: int | None = None, sure: bool = False) -> Act:
    """What a hub reads after the pass pushed last, or after ``through``, which it books; of two ends the top is first."""
    texts = gauged.texts
    ends = {"measured": texts[0]} if len(texts) == 1 else {"top": texts[0], "bottom": texts[1]}

    def request(view: PressView) -> Any:
        texts = {**ends, **_way(view.gauging)}
        if through is not None:
            texts["through"] = str(through)
        return _act(runs.RunReadRequest, hub=str(hub), sure=sure, **texts)(view)

    return request


def gauging(each: str) -> Act:
    """Hubs are gauged more often, or less, from now on."""
    return _act(runs.RunGaugingRequest, read_each=each)


def not_read(hub: int) -> Act:
    """A hub is not gauged."""
    return _act(runs.RunReadRequest, hub=str(hub), not_measured=True)


def sure(view: PressView, reading: Reading) -> Act:
    """What a hub read is right, off its band or not: the same figure, gauged again with care."""
    texts = {gauged.end: view.state.steps[gauged.step - 1].typed for gauged in reading.ends}
    ends = (
        {"measured": texts[None]}
        if None in texts
        else {"top": texts.get(End.TOP, ""), "bottom": texts.get(End.BOTTOM, "")}
    )
    return _act(runs.RunReadRequest, hub=str(reading.hub), sure=True, **ends)


def correct_shims(step: int, shims: Stack) -> Act:
    """What was really in at a push."""
    return _act(runs.RunCorrectRequest, at=str(step), shims=_tags(shims), why="wrong shim was in")


def correct_reading(reading: Reading, gauged: TypedReading, by: str) -> tuple[Act, ...]:
    """What a hub really reads, an end at a time; a correction is kept as T."""

    def put_right(at: int, read: Length) -> Act:
        def request(view: PressView) -> Any:
            t = write_exact(view.gauging.t_of(view.state, read))
            return _act(runs.RunCorrectRequest, by, at=str(at), measured=t, why="typed wrong")(view)

        return request

    ends = zip(reading.ends, gauged.lengths, strict=True)
    return tuple(put_right(end.step, length) for end, length in ends)


def correct_not_measured(step: int, by: str) -> Act:
    """What was typed as a reading was none."""
    return _act(runs.RunCorrectRequest, by, at=str(step), not_measured=True, why="not gauged")


def gone(tag: str) -> Act:
    """A shim is missing."""
    return _act(runs.RunGoneRequest, shim=tag)


def broken(tag: str) -> Act:
    """A broach is broken."""
    return _act(runs.RunBrokenRequest, broach=tag)


def aside(hub: int, why: str) -> Act:
    """A hub is set aside."""
    return _act(runs.RunAsideRequest, hub=str(hub), why=why)


def scrap(hub: int, why: str) -> Act:
    """A hub is scrapped."""
    return _act(runs.RunScrapRequest, hub=str(hub), why=why)


def accept(hub: int, why: str, by: str = "") -> Act:
    """A hub is used as it is; ``by`` says so."""
    return _act(runs.RunAcceptRequest, by, hub=str(hub), why=why)


def stop(why: str) -> Act:
    """Stop for now; the tools stay."""
    return _act(runs.RunStopRequest, why=why)


def park() -> Act:
    """Stop for now; the tools go back."""
    return _act(runs.RunParkRequest)


def resume(name: str = "") -> Act:
    """Continue: the person at the press, or this one."""
    return _act(runs.RunResumeRequest, name)


def end(condition: str = "") -> Act:
    """Finished with; with a condition what the run lent is returned."""
    return _act(runs.RunEndRequest, broach_condition=condition)


def abandon(why: str) -> Act:
    """End it unfinished."""
    return _act(runs.RunEndRequest, abandon=True, why=why)


def _way(gauging: Gauging) -> dict[str, str]:
    """How it is gauged, with the sizes that go with it; nothing where it is gauged from floor to far wall."""
    sizes = {
        "block": gauging.block,
        "anvil": gauging.anvil,
        "bore_is": gauging.bore,
        "other_reading": gauging.other,
    }
    texts = {name: write_exact(size) for name, size in sizes.items() if size is not None}
    return {"way": gauging.way.value, **texts} if texts else {}


def _tags(shims: Stack) -> str:
    return ",".join(shims) or _NO_SHIM
