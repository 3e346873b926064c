"""The buyer's desk: what cannot be cut yet, each row opened to its reason, and a page that never changes under a hand."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from broachplan.desks.buyer.can_we import CanWe, can_we
from broachplan.desks.buyer.import_jobs import import_jobs
from broachplan.desks.buyer.offer_choice import offer_choice
from broachplan.desks.buyer.shortages import Shortages, find_shortages
from broachplan.desks.buyer.start_job import JobNotStarted, StartedJob, start_job
from broachplan.desks.buyer.what_if import JobDifference, what_if
from broachplan.errors import StorageError
from broachplan.questions.can_we import CanWeRequest
from broachplan.questions.jobs import JobImportRequest, JobStartRequest
from broachplan.questions.offer_choice import OfferChoiceRequest
from broachplan.questions.shortages import ShortagesRequest
from broachplan.questions.what_if import WhatIfRequest
from tests.desks.buyer.acting import shown
from tests.desks.doing import change_setting, import_crib, lend_piece
from tests.seed_inventory.toolroom import FOLDER
from tests.tui.attending import Attending, attend
from tests.tui.driving import assert_golden
from tui.desks import Desks
from tui.widgets.entry import EntryLine

FEW = ("J-701", "J-706", "J-707", "J-712", "J-714", "J-715")


def made(folder: Path, only: tuple[str, ...] = ()) -> Path:
    """The demo toolroom with its coming jobs, or some of them: all that a page shows costs time."""
    db, jobs = folder / "toolroom.db", folder / "jobs.csv"
    header, *rows = (FOLDER / "jobs.csv").read_text(encoding="utf-8").splitlines()
    jobs.write_text("\n".join([header, *(row for row in rows if not only or row.startswith(only))]))
    import_crib(str(db), [FOLDER])
    import_jobs(str(db), JobImportRequest(paths=(str(jobs),)))
    change_setting(str(db), "make_bushing_days", "3")
    change_setting(str(db), "make_shim_days", "1")
    return db


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """With all jobs."""
    return made(tmp_path_factory.mktemp("whole"))


@pytest.fixture(scope="module")
def part(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """With six of them: two can be cut, one clashes, three are blocked."""
    return made(tmp_path_factory.mktemp("part"), FEW)


@pytest.fixture
def toolroom(whole: Path, tmp_path: Path) -> str:
    """A copy of the whole."""
    return str(shutil.copy(whole, tmp_path / "toolroom.db"))


@pytest.fixture
def few(part: Path, tmp_path: Path) -> str:
    """A copy of that with six jobs."""
    return str(shutil.copy(part, tmp_path / "few.db"))


def asked_on_the_30th(db: str | None, request: ShortagesRequest, **beside: Any) -> Shortages:
    return find_shortages(db, replace(request, on="2026-11-30"), **beside)


def would_on_the_30th(db: str | None, request: WhatIfRequest, **beside: Any) -> JobDifference:
    return what_if(db, replace(request, on="2026-11-30"), **beside)


def answered_on_the_30th(db: str | None, request: CanWeRequest, **beside: Any) -> CanWe:
    return can_we(db, replace(request, on="2026-11-30"), **beside)


def started_on_the_30th(db: str | None, request: JobStartRequest) -> StartedJob | JobNotStarted:
    return start_job(db, request, at=datetime(2026, 11, 30, 9, tzinfo=UTC))


@pytest.fixture(scope="module")
def desks() -> Desks:
    """The buyer's desks as on 30 November 2026; what is asked again of the same bytes is found out once."""
    kept: dict[tuple[ShortagesRequest, bytes], Shortages] = {}

    def asked(db: str, request: ShortagesRequest, **beside: Any) -> Shortages:
        key = request, sha256(Path(db).read_bytes()).digest()
        if key not in kept:
            kept[key] = asked_on_the_30th(db, request, **beside)
        return kept[key]

    return Desks(
        {
            ShortagesRequest: asked,
            WhatIfRequest: would_on_the_30th,
            CanWeRequest: answered_on_the_30th,
            JobStartRequest: started_on_the_30th,
        }
    )


def test_the_page_lists_what_cannot_be_cut_and_each_row_opens_to_its_reason(
    toolroom: str, desks: Desks, tmp_path: Path
) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "ctrl+d")
        assert at.name == "buyer"
        assert "Mon 30 Nov 2026   30 jobs to come: 15 can be cut, 15 cannot yet" in at.words("#title")
        assert at.rows[1] == (
            "2",
            "16 Dec",
            "J-712",
            "2",
            "bushing 1-1/8 in, key 1/4 in",
            "make OD 1.1240 web 0.5515 in",
        )
        assert_golden("buyer_80x24", at.screen())
        assert "more, from" in at.words("#more")
        assert "9 Dec  J-706 (2 hubs), J-707 (1 hub): BR-0500-A. One after the other?" in at.words("#parts")
        await at.type("2")
        assert at.words("#title") == "J-712, due Wed 16 Dec 2026: CANNOT BE CUT YET"
        assert_golden("job_80x24", at.screen())
        await at.type("f3")  # nothing has its pieces
        assert at.name == "job"
        await at.press("f5")
        assert at.typed("file") == "J-712.pdf"
        await at.type("ctrl+u", f"={tmp_path / 'made.svg'}", "enter")
        assert "1 drawing for job J-712 (bushing)" in at.words("#said")
        assert "<svg" in (tmp_path / "made.svg").read_text()[:400]
        await at.type("escape", "end", "enter")
        assert "J-730" in at.words("#title")
        await at.type("escape", "f4")
        assert "Can be cut" in at.words("#pane-text")
        await at.press("escape", "f8")
        assert at.name == "crib"
        await at.type("escape", "escape", "escape")
        assert at.name == "desk"

    attend(toolroom, act, desks=desks)


def test_one_key_marks_a_job_as_following_the_one_that_has_its_pieces_and_the_page_is_judged_again(
    few: str,
    desks: Desks,
) -> None:
    async def act(at: Attending) -> None:
        await at.press("ctrl+d", "1")
        assert "BR-0500-A: J-706 has it" in at.screen()
        assert "Free with nothing else moved: 8 Dec." in at.screen()
        await at.type("f3")
        assert at.name == "buyer"
        assert "3 can be cut, 3 cannot yet" in at.words("#title")
        assert "OLD" not in at.words("#head")
        assert at.rows[0][2] == "J-712"

    attend(few, act, desks=desks)

    assert shown(few, "J-707").listed.job.after == "J-706"


def test_a_change_elsewhere_marks_the_page_as_old_and_leaves_its_rows_until_it_is_asked_again(
    few: str,
    desks: Desks,
) -> None:
    async def act(at: Attending) -> None:
        await at.press("ctrl+d", "down", "down")
        before = at.rows
        await at.type("f11", "=BR-0250-A", "enter", "=Kim", "enter", "escape")
        assert at.name == "buyer"
        assert "OLD: the crib has changed. F5 looks again" in at.words("#head")
        assert at.rows == before
        await at.type("f5")
        assert "OLD" not in at.words("#head")
        assert "BR-0250-A" not in at.words("#parts")  # lent without a day on which it is due back
        assert at.app.screen.query_one("#jobs").chosen == 2  # type: ignore[attr-defined]
        lend_piece(few, "BR-0188-A", "Ann")  # at another station
        at.app.look_elsewhere()
        await at.settle()
        assert "OLD" in at.words("#head")
        await at.press("f5")
        assert "OLD" not in at.words("#head")

    attend(few, act, desks=desks)


def test_a_piece_that_is_late_is_said_and_so_is_a_crib_that_cannot_be_read(toolroom: str) -> None:
    lend_piece(toolroom, "BR-0250-A", "Kim", due="2026-11-27", at=datetime(2026, 11, 20, 9, tzinfo=UTC))
    broken = False

    def sometimes(db: str | None, request: ShortagesRequest, **beside: Any) -> Shortages:
        if broken:
            raise StorageError("the crib cannot be reached")
        return asked_on_the_30th(db, request, **beside)

    async def act(at: Attending) -> None:
        nonlocal broken
        await at.type("ctrl+d")
        assert "LATE: BR-0250-A with Kim, due back 27 Nov" in at.words("#parts")
        broken = True
        await at.type("f5")
        assert at.words("#said") == "the crib cannot be reached"
        assert len(at.rows) >= 15

    attend(toolroom, act, desks=Desks({ShortagesRequest: sometimes}))


def test_a_shop_without_jobs_is_sent_to_the_list_of_jobs(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("ctrl+d")
        assert "No job is to come. F6 is the list of jobs." in at.screen()
        await at.press("1", "f4", "escape", "f6")
        assert at.name == "jobs"

    attend(filled_file, act)


def test_a_job_is_moved_added_and_dropped_after_its_effect_on_the_others_was_shown(
    few: str,
    desks: Desks,
) -> None:
    async def act(at: Attending) -> None:
        await at.press("ctrl+d", "f6")
        await at.type("=J-707", "f3")
        await at.type("ctrl+u", "=2026-12-08", "f2")
        assert "Change job J-707?" in at.words("#modal-title")
        assert "jobs that can be cut: 2 now, 3 then" in at.words("#modal-text")
        assert "J-707: can be cut; now: another job has its pieces" in at.words("#modal-text")
        assert "no other job gets another verdict" in at.words("#modal-text")
        await at.type("escape")
        assert at.typed("due") == "2026-12-08"  # nothing typed is lost
        await at.press("f2")
        await at.type("=Ann", "f2")
        assert at.name == "jobs"
        assert "J-707: due “2026-12-09” -> “2026-12-08”" in at.words("#said")

        # One more job that wants the same broach, and comes first.
        await at.type("f2")
        assert at.typed("number") == "J-716"
        await at.type("=2026-12-08", "enter", "=3", "enter", "=2-1/4", "f2")
        assert "write a number and its unit" in at.words("#said")
        await at.type("= in", "down", "right", "down", "=1/2 in", "down", "down", "=2-1/4 in")
        at.app.screen.query_one("#priority", EntryLine).value = "1"
        await at.type("f2")
        assert "J-716: can be cut" in at.words("#modal-text")
        assert "J-707: another job has its pieces; now: can be cut" in at.words("#modal-text")
        await at.press("f2")
        assert "job J-716 is in the list, due 2026-12-08" in at.words("#said")

        await at.type("=J-716")
        await at.press("f8")
        assert "J-716: not in the list any more" in at.words("#modal-text")
        assert "J-707: can be cut; now: another job has its pieces" in at.words("#modal-text")
        await at.press("f2")
        assert "job J-716 is dropped" in at.words("#said")
        await at.press("escape")
        assert at.name == "buyer"
        assert "OLD" in at.words("#head")

    attend(few, act, desks=desks)

    assert shown(few, "J-707").history[0].by == "Ann"
    assert shown(few, "J-716").listed.job.state == "dropped"


def test_a_job_is_started_and_finished_on_the_list_and_lists_are_brought_in(
    few: str, desks: Desks, tmp_path: Path
) -> None:
    header = "number,due,quantity,bore,key,hub_length\n"
    wrong, right = tmp_path / "wrong.csv", tmp_path / "right.csv"
    wrong.write_text(f"{header}J-801,2026-12-21,1,1,1/4 in,1 in\n")
    right.write_text(f"{header}J-801,2026-12-21,1,1 in,1/4 in,1 in\n")

    async def act(at: Attending) -> None:
        await at.press("ctrl+d", "f6")
        await at.type("=J-712")
        await at.press("f4", "f2")
        assert "NO PLAN" in at.words("#pane-title")
        await at.press("escape")
        await at.type("ctrl+u", "=J-701")
        await at.press("f4", "f2")
        assert "job J-701 is started; held on 2026-12-01: BR-0250-A" in at.words("#said")
        await at.press("f6", "f2")
        assert "job J-701 is done; free again: BR-0250-A" in at.words("#said")
        assert "F6" not in at.screen().splitlines()[-1]
        await at.press("enter")
        assert "finished" in at.words("#pane-text")
        await at.press("escape", "ctrl+e")
        await at.type(f"={wrong}", "f2")
        assert "NOT DONE: " in at.words("#said")
        assert "wrong.csv" in at.words("#said") + at.words("#results")
        assert "row 2" in at.words("#said") + at.words("#results")
        await at.type("ctrl+u", f"={right}", "f2")
        assert "DONE: 1 added, 0 changed, 0 as before" in at.words("#said")

    attend(few, act, desks=desks)

    assert shown(few, "J-801").listed.job.state == "coming"


def test_while_the_customer_waits_a_line_is_typed_and_answered_and_one_key_makes_it_a_job(
    few: str,
    desks: Desks,
) -> None:
    async def act(at: Attending) -> None:
        await at.press("ctrl+d")
        await at.type(
            "q", "=1-1/8", "enter", "=1/4 in", "enter", "=1 in", "enter", "enter", "=4", "enter", "enter"
        )
        assert "bore: read “1-1/8” without a unit" in at.words("#said")
        await at.type("shift+tab", "shift+tab", "shift+tab", "shift+tab", "shift+tab", "=1-1/8 in")
        await at.press("f2")
        answer = at.words("#answer")
        assert answer.splitlines()[0] == "NO, not as things are"
        assert "missing: bushing 1-1/8 in, key 1/4 in. make OD 1.1240" in answer
        await at.press("f2")
        assert "What would do: a bushing for broach BR-0250-A" in at.words("#pane-text")
        await at.press("escape", "f3")
        assert "job J-716 is in the list, due 2026-11-30" in at.words("#answer")
        assert "7 jobs to come: 2 can be cut, 5 cannot yet" in at.words("#title")

        # The broach that J-706 has on the 9th is free on the 8th.
        await at.type(
            "q", "=2-1/4 in", "enter", "=1/2 in", "enter", "=2-1/4 in", "enter", "enter", "=2", "enter"
        )
        await at.type("=2026-12-09", "enter")
        assert "YES, if it is cut on Tue 8 Dec; not on Wed 9 Dec" in at.words("#answer")
        await at.press("f3")
        assert "job J-717 is in the list, due 2026-12-09" in at.words("#answer")
        assert "3 can be cut, 5 cannot yet" in at.words("#title")

    attend(few, act, desks=desks)

    kept = shown(few, "J-717").listed.job
    assert (kept.quantity, str(kept.press_by)) == (2, "2026-12-08")
    assert kept.question == {"bore": "2-1/4 in", "key": "1/2 in", "hub_length": "2-1/4 in"}


def test_the_page_is_printed_into_a_file_that_nobody_has_unless_it_is_to_be_replaced(
    toolroom: str, desks: Desks, tmp_path: Path
) -> None:
    file = tmp_path / "page.pdf"

    async def act(at: Attending) -> None:
        await at.press("ctrl+d", "p")
        assert at.typed("file") == "buying-2026-11-30.pdf"
        await at.type("ctrl+u", f"={file}", "f2")
        assert at.name == "buyer"
        assert "2 pages in" in at.words("#said")
        first = file.read_bytes()
        assert "%PDF" in first[:8].decode()
        file.write_text("something else")
        await at.press("P")
        await at.type("ctrl+u", f"={file}", "f2")
        assert "is there already" in at.words("#modal-text")
        await at.press("escape")
        assert file.read_text() == "something else"
        await at.press("f2", "f2")
        assert file.read_bytes() == first

    attend(toolroom, act, desks=desks)


OFFERS = FOLDER / "offers.csv"


def test_what_to_buy_comes_from_the_lists_of_this_station_and_an_offer_is_taken_out_after_its_effect_was_shown(
    toolroom: str,
    desks: Desks,
) -> None:
    async def act(at: Attending) -> None:
        await at.press("ctrl+d", "b")
        assert "No list of offers is chosen. F2 chooses them." in at.screen()
        await at.press("f2")
        await at.type("=nothing.csv", "f2")
        assert "nothing.csv" in at.words("#said")
        await at.press("f2")
        await at.type("ctrl+u", f"={OFFERS}", "f2")
        assert "Total 699.50 USD; 22 of 30 jobs can be cut with it" in at.words("#title")
        assert_golden("basket_80x24", at.screen())
        offers = [row[0] for row in at.rows]
        assert offers == sorted(offers)
        assert "HB-0250-PAIR" in offers
        await at.press("tab", *["down"] * 30)
        assert "MT-1125-0250: web" in at.screen()  # what to ask its seller
        await at.press("tab", *["down"] * offers.index("HB-0250-PAIR"), "enter")
        assert "not ready: J-712, J-719" in at.words("#pane-text")
        assert "web" in at.words("#pane-text")
        await at.press("escape", "f3")
        assert at.words("#modal-title") == "Take HB-0250-PAIR out?"
        assert "total 699.50 now" in at.words("#modal-text")
        assert "HB-1125-0250: 1, now none" in at.words("#modal-text")
        assert "the same jobs can be cut" in at.words("#modal-text")
        await at.press("escape")
        assert "699.50" in at.words("#title")
        await at.press("f3", "f2")
        assert "taken out: HB-0250-PAIR" in at.words("#head")
        assert "HB-0250-PAIR" not in [row[0] for row in at.rows]
        await at.press("escape", "b")  # kept at this station
        assert "from offers.csv   taken out: HB-0250-PAIR" in at.words("#head")
        await at.press("f4", "f2")
        assert "Total 699.50 USD" in at.words("#title")

    attend(toolroom, act, desks=desks)

    kept = offer_choice(toolroom, OfferChoiceRequest())
    assert (kept.lists, kept.without) == ((str(OFFERS),), ())


WAYS = ("f1", "f10", "f8 enter", "f8 f10", "f8 ctrl+b", "f11")


def test_one_key_leads_to_the_buyers_desk_from_any_screen_and_escape_back(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        for way in WAYS:
            await at.press(*way.split())
            before = at.name
            assert before != "desk", way
            await at.press("ctrl+d", "ctrl+d")
            assert at.name == "buyer", way
            await at.press("escape")
            assert at.name == before, way
            while at.name != "desk":
                await at.press("escape")
        await at.press("ctrl+p", *"cannot", "enter")  # the palette finds it by its words
        assert at.name == "buyer"
        await at.press("escape", "f8", "f10", "y")
        assert at.name == "buyer"

    attend(filled_file, act)
