"""Stop, park, resume, end: who may do what when, and what a refusal says."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from broachplan.errors import CribStateError, InputError
from broachplan.runs.acts.acting import Acted
from broachplan.runs.acts.correcting import again, measured, replanned
from broachplan.runs.acts.pushing import not_pushed, pushed
from broachplan.runs.acts.reading import not_read, read
from broachplan.runs.acts.stopping import abandoned, ended, needed, parked, resumed, stopped
from broachplan.runs.acts.trouble import gone
from broachplan.runs.ahead import OnHand
from broachplan.runs.counts import counts_of
from broachplan.runs.next import next_of
from broachplan.runs.state import RunState, Status, Waits
from broachplan.runs.steps import RunAct, cuts_of
from tests.runs.scenes import MM, RICH, begun, on_hand, then

HAND = on_hand()


def cut(state: RunState, passes: int, *, read_as: str = "") -> RunState:
    """The load that is due up to a pass, and read after it where a figure is given."""
    state = then(state, pushed(state, HAND, through=passes))
    return then(state, read(state, HAND, [MM(read_as)])) if read_as else state


# -- what an act is refused with in each state ------------------------------------------------------------------


def running() -> RunState:
    return begun(quantity=2)


def to_be_read() -> RunState:
    return cut(begun(quantity=2), 3)


def stopped_for_lunch() -> RunState:
    return stopped(running(), why="lunch").state


def put_away() -> RunState:
    return parked(running()).state


def stuck() -> RunState:
    return pushed(running(), HAND, part_way=True).state


def too_deep() -> RunState:
    return read(cut(running(), 4), HAND, [MM("28.17")], sure=True).state


def off_its_band() -> RunState:
    return read(to_be_read(), HAND, [MM("27.35")]).state


def all_cut() -> RunState:
    return cut(begun(), 4, read_as="28.1")


def done() -> RunState:
    return ended(all_cut()).state


def given_up() -> RunState:
    return abandoned(running(), why="no more hubs").state


_LUNCH = "the run waits for a decision: it was stopped; resume"
_CRIB = "the run waits for a decision: its tools are in the crib; resume"
_STUCK = "the run waits for a decision: a push stopped part way"
_DEEP = "the run waits for a decision on hub 1, past the limit"
_OFF = "the run waits for a decision on hub 1: the reading is off its band"
REFUSED: list[tuple[Callable[[], RunState], Callable[[RunState], Acted], str]] = [
    (to_be_read, lambda run: pushed(run, HAND), "the run waits for the reading of pass 3 of hub 1"),
    (stopped_for_lunch, lambda run: pushed(run, HAND), _LUNCH),
    (put_away, lambda run: pushed(run, HAND), _CRIB),
    (stuck, lambda run: pushed(run, HAND), _STUCK),
    (too_deep, lambda run: pushed(run, HAND), _DEEP),
    (off_its_band, lambda run: pushed(run, HAND), _OFF),
    (all_cut, lambda run: pushed(run, HAND), "the run waits for its end"),
    (done, lambda run: pushed(run, HAND), "the run waits for nothing: it is done"),
    (given_up, lambda run: pushed(run, HAND), "the run waits for nothing: it is abandoned"),
    (put_away, lambda run: read(run, HAND, [MM("25.2")]), _CRIB),
    (stuck, lambda run: read(run, HAND, [MM("25.2")]), _STUCK),
    (done, lambda run: read(run, HAND, [MM("25.2")]), "nothing is to be read; it is done"),
    (running, not_read, "the run waits for pass 1 of hub 1"),
    (running, again, "no stack can be pushed again; the run waits for pass 1 of hub 1"),
    (to_be_read, lambda run: replanned(run, HAND), "the run waits for the reading"),
    (stopped_for_lunch, lambda run: stopped(run, why="tea"), f"it cannot be stopped; {_LUNCH}"),
    (put_away, parked, f"it cannot be parked; {_CRIB}"),
    (stuck, parked, f"it cannot be parked; {_STUCK}"),
    (running, lambda run: resumed(run, HAND), "it cannot be resumed; the run waits for pass 1 of hub 1"),
    (too_deep, lambda run: resumed(run, HAND), f"it cannot be resumed; {_DEEP}"),
    (off_its_band, lambda run: resumed(run, HAND), f"it cannot be resumed; {_OFF}"),
    (running, ended, "it cannot be ended; the run waits for pass 1 of hub 1"),
    (to_be_read, ended, "it cannot be ended; the run waits for the reading of pass 3 of hub 1"),
    (put_away, ended, f"it cannot be ended; {_CRIB}"),
    (done, ended, "it cannot be ended; it is done"),
    (given_up, lambda run: abandoned(run, why="again"), "it cannot be abandoned; it is abandoned"),
    (done, lambda run: gone(run, HAND, "a"), "no shim can be missing from it; it is done"),
    (done, lambda run: measured(run, HAND, run.pieces["a"]), "no figure can be changed; it is done"),
    (too_deep, not_pushed, _DEEP),
]


@pytest.mark.parametrize(("at", "act", "says"), REFUSED)
def test_an_act_that_does_not_fit_is_refused_in_one_sentence_that_says_what_the_run_waits_for(
    at: Callable[[], RunState], act: Callable[[RunState], Acted], says: str
) -> None:
    with pytest.raises(CribStateError) as refusal:
        act(at())

    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


# -- stop and end -----------------------------------------------------------------------------------------------


def test_a_run_that_was_stopped_goes_on_where_it_was() -> None:
    state = cut(begun(), 1)
    before = next_of(state)

    state = then(state, stopped(state, why="lunch", by="Kim"))
    assert (state.status, state.why, state.waits) == (Status.STOPPED, "lunch", Waits.DECISION)
    state = then(state, resumed(state, HAND))

    assert (state.status, next_of(state)) == (Status.RUNNING, before)
    assert state.steps[-1].pieces == ()


def test_a_reason_is_asked_for_where_the_run_stops_or_is_given_up() -> None:
    with pytest.raises(InputError, match="why: write why the run stops"):
        stopped(begun(), why=" ")
    with pytest.raises(InputError, match="why: write why the run is given up"):
        abandoned(begun(), why="")


def test_a_run_ends_when_its_hubs_are_cut_and_those_that_must_be_are_read() -> None:
    state = cut(begun(quantity=3, read_each=3), 4, read_as="28.1")
    state = cut(state, 4)
    state = then(state, read(state, HAND, [MM("28.17")], books=True, sure=True))
    state = then(state, pushed(state, HAND)) if state.waits is Waits.PUSH else state
    assert state.to_read == {2}

    from broachplan.runs.acts.deciding import scrapped

    state = then(state, scrapped(state, HAND, 3, why="too deep"))
    with pytest.raises(CribStateError, match="it cannot be ended; the run waits for the reading of hub 2"):
        ended(state)
    state = then(state, read(state, HAND, [MM("28.12")], hub=2))

    state = then(state, ended(state, by="Kim"))
    assert (state.status, state.waits, state.held) == (Status.DONE, Waits.NOTHING, frozenset())
    counts = counts_of(state)
    assert (counts.done, counts.scrapped, counts.left, counts.not_measured) == (2, 1, 0, 0)


# -- park and resume --------------------------------------------------------------------------------------------


def test_parked_a_run_has_no_piece_and_takes_all_that_it_needs_again() -> None:
    state = cut(begun(quantity=2), 2)

    away = then(state, parked(state, by="Kim"))
    assert (away.why, away.held) == ("parked", frozenset())
    back = then(away, resumed(away, HAND, lent={"K", "G", "a", "b", "c"}, by="Ann"))

    assert back.held == set(needed(state)) == {"K", "G", "P", "a", "b", "c"}
    assert [piece.tag for piece in back.steps[-1].pieces if not piece.lent_by_run] == ["P"]


def test_what_is_not_needed_any_more_stays_in_the_crib() -> None:
    state = cut(begun(), 2)
    state = then(state, pushed(state, HAND, shims=("b", "f")))
    state = then(state, read(state, HAND, [MM("27.05")]))
    state = then(state, parked(state))

    back = then(state, resumed(state, HAND))

    used = {tag for stack in back.load(1).to_do.stacks for tag in stack}
    assert back.held == {"K", "G", "P", *used}


@pytest.mark.parametrize(
    ("off", "says"),
    [
        ({"G": "lent to Jo"}, "it stays stopped: G is lent to Jo"),
        ({"K": "unfit; keep it apart"}, "it stays stopped: K is unfit; keep it apart"),
        ({"a": "missing"}, "it stays stopped: a is missing"),
    ],
)
def test_a_piece_that_is_not_there_or_not_fit_keeps_the_run_stopped(off: dict[str, str], says: str) -> None:
    state = cut(begun(), 1)
    state = then(state, parked(state))

    with pytest.raises(CribStateError, match=says):
        resumed(state, on_hand(RICH.but(off=off)))


def test_a_piece_that_left_the_crib_keeps_the_run_stopped() -> None:
    state = cut(begun(), 1)
    state = then(state, parked(state))

    with pytest.raises(CribStateError, match="it stays stopped: a is not in the crib any more"):
        resumed(state, on_hand(RICH.but(shims=RICH.shims[1:])))


def test_a_figure_corrected_while_the_tools_were_in_the_crib_moves_the_plain_readings_and_the_offset() -> (
    None
):
    state = cut(begun(), 3, read_as="27.21")
    state = then(state, parked(state))
    b = replace(RICH.shims[1], thickness=MM("1.004"))
    changed = RICH.but(shims=(RICH.shims[0], b, *RICH.shims[2:]))

    back = then(state, resumed(state, on_hand(changed, b=2)))

    due = next_of(back)
    assert due is not None
    assert (due.plain, due.offset) == (MM("28.104"), MM("0.006"))
    assert back.pieces["b"].version == 2
    assert back.pieces["a"].version == 1


def test_a_figure_corrected_while_the_run_was_stopped_counts_from_its_resumption_on() -> None:
    state = cut(begun(), 3, read_as="27.21")
    state = then(state, stopped(state, why="lunch"))
    b = replace(RICH.shims[1], thickness=MM("1.004"))
    changed = RICH.but(shims=(RICH.shims[0], b, *RICH.shims[2:]))

    back = then(state, resumed(state, on_hand(changed, b=2)))

    assert [piece.tag for piece in back.steps[-1].pieces] == ["b"]
    due = next_of(back)
    assert due is not None
    assert due.plain == MM("28.104")


def test_a_figure_that_moves_the_last_reading_past_its_limit_gets_the_rest_planned_anew() -> None:
    state = cut(begun(), 2)
    state = then(state, parked(state))
    c = replace(RICH.shims[2], thickness=MM("0.96"))
    changed = RICH.but(shims=(*RICH.shims[:2], c, *RICH.shims[3:]))

    back = then(state, resumed(state, on_hand(changed, c=2)))

    assert back.load(1).to_do.stacks[-1] != ("c", "a", "b")
    due = next_of(back)
    assert due is not None
    assert MM("28.05") <= due.ahead.plan.reading <= MM("28.15")


def test_kim_parks_hub_3_after_pass_2_jo_cuts_a_rush_with_the_same_broach_and_ann_resumes_at_pass_3_of_hub_3() -> (
    None
):
    kim = cut(begun(quantity=4, read_each=4), 4, read_as="28.11")
    kim = cut(kim, 4)
    kim = cut(kim, 2)
    kim = then(kim, parked(kim, by="Kim"))

    jo = begun(number=8)
    assert "K" in jo.held - kim.held
    with pytest.raises(CribStateError, match="K is lent to Jo"):
        resumed(kim, on_hand(RICH.but(off={"K": "lent to Jo"})), by="Ann")
    jo = cut(jo, 4, read_as="28.1")
    jo = then(jo, ended(jo, by="Jo"))
    assert not jo.held

    ann = then(kim, resumed(kim, HAND, by="Ann"))
    due = next_of(ann)
    assert due is not None
    assert (due.hubs, due.pass_number, due.gauge) == ((3,), 3, ())
    assert due.change.stays == ()
    ann = then(ann, pushed(ann, HAND, through=4))
    assert ann.to_gauge == (3, (3,))
    ann = then(ann, read(ann, HAND, [MM("28.12")]))
    ann = cut(ann, 4, read_as="28.12")
    ann = then(ann, ended(ann, by="Ann"))

    pushes = [sum(step.act is RunAct.PUSHED for step in run.steps) for run in (ann, jo)]
    assert pushes == [16, 4]
    assert [sum(cuts_of(step, run.steps)[1] for step in run.steps) for run in (ann, jo)] == pushes


def test_what_the_crib_has_is_asked_for_the_pieces_of_the_run_alone() -> None:
    hand = OnHand(RICH.shelf)

    assert hand.piece("a") == RICH.shims[0]
    assert hand.known("nothing") is None
    assert OnHand(RICH.but(off={"a": "missing"}).shelf).piece("a") is None
