"""A drawer counted blind, its differences settled, and what is missing found, all by keys."""

from __future__ import annotations

from broachplan.crib.drafts import CausesDraft
from broachplan.desks.attendant.count_drawer import Counted, count_drawer
from broachplan.desks.attendant.keep_draft import keep_draft
from broachplan.desks.attendant.settle_count import Settled
from broachplan.errors import CribStateError, StorageError
from broachplan.questions.acts import CountRequest, KeepDraftRequest, SettleRequest
from tests.desks.looking import kept_drafts, list_counts, list_missing, show_count, show_piece
from tests.tui.attending import Attending, attend
from tests.tui.driving import assert_golden
from tui.desks import Desks


def test_a_drawer_is_counted_blind_and_settled_with_a_cause_for_each_difference(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "ctrl+n", "=drawer 4", "enter")
        # A scanner's burst: a tag twice, one that no piece has, one taken out again; the books stay hidden.
        await at.type("=s-1", "enter", "=S-1", "enter", "=N-1", "enter", "f4", "=X-9", "enter")
        assert [row[1] for row in at.rows] == ["X-9", "S-1"]
        assert "no piece in the crib has this tag" in at.words("#said")
        assert "B-250" not in at.screen()
        assert_golden("count_80x24", at.screen())
        # Leaving in the middle asks, and what was scanned is kept.
        await at.type("escape", "f8")
        assert at.rows[0][3] == "BEGUN, 2 scanned"
        await at.type("enter", "f2", "=Joe", "f2")
        assert at.name == "settle"
        assert [row[:2] for row in at.rows] == [
            ("B-250", "not here"),
            ("S-1", "wrong drawer"),
            ("X-9", "no such tag"),
        ]
        await at.type("f2")
        assert "B-250: why does it differ?" in at.words("#said")
        assert_golden("settle_80x24", at.screen())
        # A ready cause, one typed, a place to stay at; a scanned tag chooses its row.
        await at.type("f3", "=it is kept here", "enter", "=s-1", "enter", "=07", "f10", "f8", "f2", "f2")
        assert "S-1 stays; its home is drawer 4/07 now" in at.screen()
        await at.type("escape")
        await at.type("f4")
        assert [row[0] for row in at.rows] == ["B-250"]
        await at.type("f2", "enter", "escape")
        assert "Nothing is missing." in at.screen()
        await at.type("escape", "f3")
        assert [(row[1], row[-1]) for row in at.rows] == [("drawer 4", "3 differ, settled")]
        await at.type("enter")
        assert "X-9: no piece had this tag; cause: it is kept here" in at.screen()

    attend(filled_file, act)

    assert {line.tag: line.cause for line in show_count(filled_file, 1).count.lines} == {
        "B-250": "put in the wrong place",
        "S-1": "it is kept here",
        "X-9": "it is kept here",
    }
    assert show_piece(filled_file, "S-1").record.home == "drawer 4/07"
    assert show_piece(filled_file, "B-250").history[0].entry.by == "Joe"
    assert list_missing(filled_file) == ()


def test_tags_and_causes_are_kept_when_the_desk_refuses_them(filled_file: str) -> None:
    refusing = True

    def count(db: str | None, request: CountRequest) -> Counted:
        if refusing:
            raise StorageError("the disk is full")
        return count_drawer(db, request)

    def keep(db: str | None, request: KeepDraftRequest) -> None:
        if refusing:
            raise StorageError("the station's disk is full")
        keep_draft(db, request)

    def settle(_: str | None, request: SettleRequest) -> Settled:
        raise CribStateError(f"count {request.number} was settled by somebody else")

    async def act(at: Attending) -> None:
        nonlocal refusing
        await at.type("f8", "ctrl+n")
        await at.type("=BENCH", "enter", "=B-250", "enter")
        assert "the station's disk is full: what is scanned would be lost" in at.words("#said")
        await at.type("=x,y", "enter")
        assert "tag: read “x,y”" in at.words("#said")
        assert at.typed("filter") == "x,y"
        await at.type("ctrl+u", "f2", "f2")
        assert "NOT KEPT: the disk is full" in at.words("#said")
        assert [row[1] for row in at.rows] == ["B-250"]
        # Where what is scanned is on no disk, leaving the program asks.
        await at.type("ctrl+q")
        assert "F8 leaves, escape goes back." in at.screen()
        await at.type("escape")
        refusing = False
        await at.type("f2", "f2")
        await at.type("f6", "f6", "f2", "f2")
        assert "NOT SETTLED: count 1 was settled by somebody else" in at.words("#said")
        assert [row[2] for row in at.rows] == ["not known", "not known"]
        await at.type("escape", "=open", "f2")
        assert [row[2] for row in at.rows] == ["not known", "not known"]

    attend(
        filled_file, act, desks=Desks({CountRequest: count, SettleRequest: settle, KeepDraftRequest: keep})
    )

    assert len(list_counts(filled_file).open) == 1


def test_a_drawer_that_agrees_is_reported_and_an_unknown_one_is_refused(filled_file: str) -> None:
    async def act(at: Attending) -> None:
        await at.type("f8", "f10", "c", "=benhc", "enter")
        assert "drawer: read “benhc”" in at.words("#said")
        assert "bench" in at.words("#said")
        await at.type("=ctrl", "ctrl+u", "=bench", "enter", "=P-1", "f2", "f2")
        assert "count 1, drawer bench: it agrees with the books, 1 piece." in at.words("#said")
        await at.type("=bench")
        assert at.rows[0][3] == "agreed"

    attend(filled_file, act)


def test_a_station_that_is_cut_off_resumes_its_count_and_its_causes(filled_file: str) -> None:
    async def scan(at: Attending) -> None:
        await at.type("f8", "ctrl+n", "=bench", "enter")
        await at.type("=B-250", "enter")
        await at.app.workers.wait_for_complete()

    async def keep(at: Attending) -> None:
        await at.type("f8", "ctrl+n", "=bench")
        assert at.rows[0][3] == "BEGUN, 1 scanned"
        await at.type("enter")
        assert [row[1] for row in at.rows] == ["B-250"]
        await at.type("f2", "f2")
        await at.type("f6")
        assert [row[2] for row in at.rows] == ["not known", ""]
        await at.app.workers.wait_for_complete()

    async def settle(at: Attending) -> None:
        await at.type("f8", "ctrl+n", "=bench")
        await at.type("f2")
        assert [row[2] for row in at.rows] == ["not known", ""]
        await at.type("f6", "f6", "f2", "f2")

    # The program is ended each time where it is, without a key for it.
    attend(filled_file, scan)
    attend(filled_file, keep)
    assert kept_drafts(filled_file) == (CausesDraft(1, {"P-1": "not known"}),)
    attend(filled_file, settle)

    assert kept_drafts(filled_file) == ()
    assert list_counts(filled_file).open == ()
