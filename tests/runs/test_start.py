"""A run from its start: what it takes, its loads, its code, what is read, and what refuses it."""

from __future__ import annotations

import base64
import hashlib

import pytest

from broachplan.errors import InputError
from broachplan.runs.acts.starting import started, taken_by
from broachplan.runs.code import check_letters, code_of, read_code
from broachplan.runs.run import Run, read_each_of
from broachplan.runs.steps import RunAct
from tests.planner.setups import SetUp
from tests.runs.scenes import MM, RICH, begun, on_hand, run_of

STACKED = RICH.but(hub={"stack": 2})


def test_a_run_takes_the_pieces_of_its_plan_with_their_figures_versions_and_how_they_were_measured() -> None:
    plan = RICH.answer().plans[0]

    step = started(run_of(), plan, on_hand(RICH, K=4), lent=["K", "a"], by="Kim")

    assert (step.step, step.act, step.by) == (1, RunAct.STARTED, "Kim")
    assert tuple(piece.tag for piece in step.pieces) == taken_by(plan) == ("K", "G", "a", "b", "c", "P")
    broach = step.pieces[0]
    assert (broach.piece, broach.version, broach.measured.with_what) == (RICH.broach, 4, "micrometer")
    assert [piece.tag for piece in step.pieces if piece.lent_by_run] == ["K", "a"]


def test_shims_lie_from_the_slot_floor_up_the_thinnest_first() -> None:
    assert begun().new_hubs.stacks == ((), ("a",), ("a", "b"), ("c", "a", "b"))


def test_hubs_go_up_in_whole_loads() -> None:
    assert run_of(STACKED, quantity=4).loads == ((1, 2), (3, 4))
    plan = STACKED.answer().plans[0]

    with pytest.raises(InputError, match="hubs: read 3; 2 are cut at once, so write a multiple of 2"):
        started(run_of(STACKED, quantity=3), plan, on_hand(STACKED))


def test_the_last_load_holds_the_rest() -> None:
    assert run_of(STACKED, quantity=5).loads == ((1, 2), (3, 4), (5,))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"quantity": 0}, "hubs: read 0; a run is of 1 to 100,000 hubs"),
        ({"read_each": 0}, "read: read 0; write every, or a whole number from 1"),
        ({"quantity": 2, "marks": ("A",)}, "marks: read 1; there are 2 hubs; write one mark for each"),
    ],
)
def test_a_run_that_cannot_be_is_refused(changes: dict[str, object], says: str) -> None:
    shown: dict[str, object] = {"number": 1, "question": {}, "hub": RICH.hub, "keyway": RICH.keyway}
    shown |= {"settings": RICH.settings, "program": "0"}
    with pytest.raises(InputError, match=says):
        Run(**shown | changes)  # type: ignore[arg-type]


def test_a_hub_has_the_mark_that_was_given_for_it() -> None:
    run = run_of(quantity=2, marks=("A1", "A2"))

    assert (run.mark(1), run.mark(2)) == ("A1", "A2")
    assert run_of().mark(1) == ""


def test_every_hub_is_read_or_the_first_each_nth_and_the_last() -> None:
    assert read_each_of("every", 9) == 1
    assert read_each_of(" 4 ", 9) == 4
    assert read_each_of("", 9) == 9

    run = run_of(quantity=9, read_each=4)
    assert [hub for hub in range(1, 10) if run.reads(hub)] == [1, 4, 8, 9]
    assert [hub for hub in range(1, 10) if run_of(quantity=9, read_each=9).reads(hub)] == [1, 9]
    assert all(run_of(quantity=9, read_each=1).reads(hub) for hub in range(1, 10))
    with pytest.raises(InputError, match="read: read “0”; write every, or each how many hubs"):
        read_each_of("0", 9)


def test_the_code_is_the_number_and_four_letters_of_the_first_plan() -> None:
    state = begun()
    # RFC 4648, base 32, of the SHA-256 of the plan's tags.
    plan = "\n".join(["K", "G", "P", "", "a", "a,b", "c,a,b"])
    letters = base64.b32encode(hashlib.sha256(plan.encode()).digest())[:4].decode()

    assert code_of(7, state.steps[0]) == f"R7-{letters}"


def test_a_code_is_typed_in_any_case_or_as_a_number_alone() -> None:
    assert read_code("R7-K3QX") == read_code(" r7-k3qx ") == (7, "K3QX")
    assert read_code("7") == (7, "")
    for text in ("", "R", "R0", "7-K3Q", "K3QX", "R7-K3Q1"):
        with pytest.raises(InputError, match=r"run: .*write its number, or its code, for example R7-K3QX"):
            read_code(text)


def test_letters_of_another_run_are_refused() -> None:
    start = begun().steps[0]

    check_letters(7, "", start)
    check_letters(7, code_of(7, start).partition("-")[2], start)
    with pytest.raises(InputError, match=r"run 7 has the code R7-[A-Z2-7]{4}; check the number"):
        check_letters(7, "AAAA", start)


def test_another_plan_gives_other_letters() -> None:
    def code(setup: SetUp) -> str:
        return code_of(7, begun(setup).steps[0])

    assert code(RICH) != code(RICH.but(broach={"tag": "K2"}))
    assert code(RICH) == code(RICH.but(broach={"overall_length": MM(250)}))
