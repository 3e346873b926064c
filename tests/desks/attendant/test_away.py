"""What is lost, broken, sent out or just back: the books say where it is, who had it, and plans count on it only then."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

import pytest

from broachplan.crib.entries import Act
from broachplan.crib.loans import Asker
from broachplan.desks.attendant.list_to_inspect import Waiting, list_to_inspect
from broachplan.desks.machinist.runs.pausing import end_run
from broachplan.errors import CribStateError, InputError
from broachplan.questions import runs as ask
from broachplan.questions.reads import ToInspectRequest
from broachplan.store.check import check
from broachplan.store.shelf_read import read_shelf
from broachplan.store.work import reading
from broachplan.tooling.figures import Kind
from broachplan.views.history import act_words
from tests.databases import contents
from tests.desks.doing import (
    break_piece,
    edit_piece,
    export_crib,
    found_piece,
    import_crib,
    inspect_piece,
    lend_piece,
    lose_piece,
    receive_piece,
    regrind_piece,
    retire_piece,
    return_piece,
    send_piece,
    undo_act,
)
from tests.desks.looking import list_missing, list_out, show_piece, stock_on
from tests.desks.machinist.runs.press import begin, crib, parked

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
DAY, NEXT = NOW.date(), NOW + timedelta(days=1)
HEIGHTS = {"first_tooth_height": "0.399 in", "last_tooth_height": "0.449 in"}


def off(db: str, tag: str, on: date | None = None, *, today: date | None = DAY, by: str = "") -> str:
    """Why a piece is off the shelf on a day; empty where it is there."""
    with reading(db) as work:
        return read_shelf(work, on=on, today=today, asker=Asker(by)).off.get(tag, "")


def waiting(db: str) -> tuple[str, ...]:
    return tuple(each.tag for each in list_to_inspect(db, ToInspectRequest()))


def test_a_piece_that_kim_lost_is_missing_and_the_books_keep_who_had_it_for_which_job(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", job="J-701", at=NOW)

    lines = lose_piece(filled, "B-250", note="not in the box", at=NEXT).lines

    assert lines == (
        "B-250 is lost, lent to Kim since 2031-05-02, job J-701, until now; no plan uses it until it is found",
    )
    assert list_out(filled, DAY).pieces == ()
    (gone,) = list_missing(filled)
    assert (gone.piece.tag, gone.last_with, gone.job) == ("B-250", "Kim", "J-701")
    assert gone.piece.status.missing_since == NEXT.date()
    entry = show_piece(filled, "B-250").history[0].entry
    assert (act_words(entry), entry.note) == (
        "lost, with Kim since 2031-05-02, job J-701",
        "not in the box",
    )
    assert off(filled, "B-250", DAY) == "missing since 2031-05-03"
    found_piece(filled, "B-250", at=NEXT)
    assert (list_missing(filled), off(filled, "B-250", DAY), check(filled)) == ((), "", ())


def test_a_piece_that_broke_in_kims_hands_is_in_the_crib_and_out_of_service(filled: str) -> None:
    lend_piece(filled, "B-250", "Kim", at=NOW)

    lines = break_piece(filled, "B-250", note="third tooth", at=NEXT).lines

    assert lines == (
        "B-250 is broken, lent to Kim since 2031-05-02, until now; out of service: keep it apart, no plan uses it until it is fit",
    )
    assert (list_out(filled, DAY).pieces, show_piece(filled, "B-250").state) == ((), "out of service")
    assert act_words(show_piece(filled, "B-250").history[0].entry) == "broken, with Kim since 2031-05-02"
    assert check(filled) == ()


def test_what_is_in_the_crib_is_lost_and_broken_too_and_undone_with_its_loan(filled: str) -> None:
    assert lose_piece(filled, "S-1", at=NOW).loan is None
    with pytest.raises(CribStateError, match="S-1 is missing since 2031-05-02 already; book it found first"):
        break_piece(filled, "S-1", at=NOW)
    found_piece(filled, "S-1", at=NOW)
    assert break_piece(filled, "S-1", at=NOW).loan is None
    lend_piece(filled, "B-250", "Kim", job="J-701", due="+7", at=NOW)
    for act in (lose_piece, break_piece):
        before = contents(filled)["loan"]
        act(filled, "B-250", at=NEXT)
        undo_act(filled, at=NEXT)
        assert contents(filled)["loan"] == before
        assert show_piece(filled, "B-250").record.condition == "fit"
    assert (list_missing(filled), check(filled)) == ((), ())


def test_a_worn_broach_is_sent_for_regrinding_and_counted_on_from_the_day_after_it_is_expected(
    filled: str,
) -> None:
    inspect_piece(filled, "B-250", "worn", at=NOW)

    sent = send_piece(filled, "B-250", "Northside", back="+5", at=NOW)

    assert sent.lines == ("B-250 is sent to Northside, expected back 2031-05-07",)
    (out,) = list_out(filled, DAY)
    assert (out.tag, out.loan.to, out.loan.sent, out.overdue) == ("B-250", "Northside", True, False)
    away = "sent to Northside since 2031-05-02, due 2031-05-07; worn"
    assert off(filled, "B-250", date(2031, 5, 7)) == away
    assert off(filled, "B-250", date(2031, 5, 8)) == ""
    # Overdue it is counted on no more, and nobody works with it where it is.
    assert off(filled, "B-250", date(2031, 5, 12), today=date(2031, 5, 8)) == away
    assert off(filled, "B-250", DAY, by="Northside") == away
    assert list_out(filled, date(2031, 5, 8)).pieces[0].overdue
    with pytest.raises(CribStateError, match=r"B-250 is sent to Northside since 2031-05-02, due 2031-05-07$"):
        lend_piece(filled, "B-250", "Kim", at=NEXT)
    with pytest.raises(CribStateError, match=r"B-250 is sent to Northside .*; receive it"):
        return_piece(filled, "B-250", "fit", at=NEXT)


def test_what_is_received_waits_for_its_inspection_or_for_the_heights_of_its_regrind(filled: str) -> None:
    send_piece(filled, "B-250", "Northside", at=NOW)
    assert off(filled, "B-250", date(2031, 6, 1)) == "sent to Northside since 2031-05-02"

    lines = receive_piece(filled, "B-250", at=NEXT).lines

    assert lines == (
        "B-250 is back from Northside, not yet inspected; book the regrind with its new heights, or inspect it; its home is drawer 4",
    )
    assert off(filled, "B-250", date(2031, 6, 1)) == "back, not yet inspected"
    assert list_to_inspect(filled, ToInspectRequest()) == (
        Waiting("B-250", Kind.BROACH, "drawer 4", NEXT.date(), "Northside", True),
    )
    with pytest.raises(CribStateError, match="B-250 is back, not yet inspected; only a fit piece is lent"):
        lend_piece(filled, "B-250", "Kim", at=NEXT)
    with pytest.raises(CribStateError, match="B-250 was not sent out"):
        receive_piece(filled, "B-250", at=NEXT)
    regrind_piece(filled, "B-250", HEIGHTS, at=NEXT)
    assert (waiting(filled), off(filled, "B-250", DAY), check(filled)) == ((), "", ())
    assert [act_words(line.entry) for line in show_piece(filled, "B-250").history] == [
        "reground",
        "back from Northside",
        "sent to Northside",
    ]


def test_what_is_returned_without_a_look_is_on_the_list_until_it_is_inspected(filled: str) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)

    back = return_piece(filled, "S-1", "uninspected", at=NEXT)

    assert (
        back.words
        == "S-1 is back from Kim, not yet inspected; keep it apart, no plan uses it until it is fit"
    )
    assert (waiting(filled), off(filled, "S-1", DAY)) == (("S-1",), "back, not yet inspected")
    with pytest.raises(InputError, match="condition: read “uninspected”; write fit, worn or unfit"):
        inspect_piece(filled, "S-1", "uninspected", at=NEXT)
    inspect_piece(filled, "S-1", "fit", at=NEXT)
    assert (waiting(filled), off(filled, "S-1", DAY)) == ((), "")


def test_what_is_sent_comes_and_goes_with_undo_and_is_in_the_stock_of_a_past_day(filled: str) -> None:
    send_piece(filled, "B-250", "Northside", back="+5", at=NOW)
    before = contents(filled)["loan"]
    receive_piece(filled, "B-250", at=NEXT)
    inspect_piece(filled, "B-250", "fit", at=NEXT + timedelta(days=1))

    past = {each.tag: each.status for each in stock_on(filled, DAY, at=NEXT).pieces}
    assert past["B-250"].loan is not None
    assert (past["B-250"].loan.to, past["B-250"].loan.sent) == ("Northside", True)
    undo_act(filled, at=NEXT)
    assert waiting(filled) == ("B-250",)
    undo_act(filled, at=NEXT)
    assert contents(filled)["loan"] == before
    undo_act(filled, at=NEXT)
    assert (list_out(filled, DAY).pieces, show_piece(filled, "B-250").state, check(filled)) == ((), "fit", ())


def test_a_day_before_it_goes_an_unknown_tag_and_a_piece_that_is_not_there_are_refused(filled: str) -> None:
    with pytest.raises(InputError, match="back: read 2031-05-01, which is before 2031-05-02"):
        send_piece(filled, "B-250", "Northside", back="2031-05-01", at=NOW)
    with pytest.raises(InputError, match="B-999"):
        send_piece(filled, "B-999", "Northside", at=NOW)
    lend_piece(filled, "S-1", "Kim", at=NOW)
    with pytest.raises(CribStateError, match="S-1 is lent to Kim"):
        send_piece(filled, "S-1", "Northside", at=NOW)
    with pytest.raises(
        CribStateError, match="S-1 is lent to Kim since 2031-05-02; return it, for it was not sent"
    ):
        receive_piece(filled, "S-1", at=NOW)
    retire_piece(filled, "R-1", at=NOW)
    for act in (lose_piece, break_piece):
        with pytest.raises(CribStateError, match="R-1 is retired"):
            act(filled, "R-1", at=NOW)


ACTS: dict[str, Callable[[str], object]] = {
    "lost": lambda db: lose_piece(db, "K", at=NOW),
    "broken": lambda db: break_piece(db, "K", at=NOW),
    "send": lambda db: send_piece(db, "K", "Northside", at=NOW),
}


@pytest.mark.parametrize("act", ACTS)
def test_a_piece_of_an_open_run_is_not_lost_broken_or_sent_behind_it_and_is_of_a_parked_one(
    db: str, act: str
) -> None:
    begin(crib(db))
    before = contents(db)

    with pytest.raises(CribStateError, match=r"K is in use in run R1-[A-Z2-7]{4} \(Kim\)"):
        ACTS[act](db)

    assert contents(db) == before
    parked(db)
    ACTS[act](db)
    assert check(db) == ()


def test_what_is_not_yet_inspected_goes_out_in_a_file_and_comes_in_again_as_it_was(
    filled: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("files")
    send_piece(filled, "S-1", "Northside", at=NOW)
    receive_piece(filled, "S-1", at=NOW)

    export_crib(filled, folder)
    edit_piece(filled, "S-1", {"condition": "fit"}, at=NOW)
    import_crib(filled, [folder], at=NOW)

    assert waiting(filled) == ("S-1",)


def test_a_broach_that_broke_in_a_run_is_booked_in_the_words_of_the_window(db: str) -> None:
    begin(crib(db))
    end_run(db, ask.RunEndRequest(run="1", abandon=True, why="late"), at=NOW)
    break_piece(db, "K", at=NOW)

    assert show_piece(db, "K").history[0].entry.act is Act.BROKEN
    assert check(db) == ()
