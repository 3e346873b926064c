"""The guided first crib at the desk, on either kind of database: cut off, at two stations, beside the rest of the box."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from broachplan.crib.drafts import GuideDraft
from broachplan.desks.attendant.first_crib import begin_guide, step
from broachplan.desks.attendant.keep_draft import keep_draft, kept_drafts
from broachplan.desks.attendant.look_again import look_again
from broachplan.guide.guide import NONE, Guide, Stage, as_words
from broachplan.guide.step import BeginGuideRequest, StepOutcome, StepRequest
from broachplan.questions.acts import KeepDraftRequest
from broachplan.questions.piece import AddRequest, LookAgainRequest
from broachplan.questions.reads import DraftsRequest
from broachplan.tooling.figures import Kind
from tests.desks.doing import add_piece, edit_piece, retire_piece
from tests.desks.looking import list_pieces, show_piece

HUB = {"bore": "1 in", "hub_length": "1-1/8 in", "key": "1/4 in", "material": NONE}
SHIM = {"tag": "SH-1", "thickness": "0.0312 in", "width": "0.248 in", "measured_with": "micrometer"}


@pytest.fixture(autouse=True)
def station(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A station that has nothing unfinished."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "station"))


def begun(db: str, session: str) -> Guide:
    return begin_guide(db, BeginGuideRequest(session=session)).guide


def keep(db: str, session: str, guide: Guide) -> None:
    keep_draft(db, KeepDraftRequest(draft=GuideDraft(session, as_words(guide))))


def stepped(db: str, guide: Guide, *, session: str = "a", sure: bool = True) -> StepOutcome:
    return step(db, StepRequest(guide=guide, session=session, sure=sure))


def test_a_session_killed_right_after_it_took_a_piece_in_does_not_take_it_in_twice(db: str) -> None:
    guide = Guide(Stage.SHIMS, HUB).filled(SHIM)
    keep(db, "a", guide)
    # The desk says on the disk what it is about to do; the session ends before it can say that it was done.
    after = stepped(db, guide)
    assert after.lines == ("SH-1, a shim, is in the crib",)
    resumed = begun(db, "b")
    assert (resumed.sent, dict(resumed.values)) == (True, SHIM)
    done = stepped(db, resumed, session="b")
    assert done.lines == ("SH-1 is in the crib already, with these figures",)
    assert done.guide.offered("tag") == "SH-2"
    assert list_pieces(db).total == 1


def test_two_stations_with_a_shim_each_of_one_size_and_tag_keep_both(db: str) -> None:
    one, other = (Guide(Stage.SHIMS, HUB).filled(SHIM) for _ in range(2))
    stepped(db, one)
    refused = stepped(db, other, session="b")
    assert (refused.at, refused.guide.values) == ("tag", SHIM)
    assert "which a shim in the crib has" in refused.wrong
    assert refused.guide.offered("tag") == "SH-2"
    stepped(db, refused.guide.answered("tag", "SH-2"), session="b")
    assert {kept.record.piece.tag for kept in list_pieces(db)} == {"SH-1", "SH-2"}


def test_a_session_that_is_taken_over_while_it_runs_loses_nothing(db: str) -> None:
    mine = Guide(Stage.SHIMS, HUB).filled({"tag": "SH-7"})
    keep(db, "mine", mine)
    assert dict(begun(db, "theirs").values) == {"tag": "SH-7"}
    assert [draft for draft in kept_drafts(db, DraftsRequest()) if isinstance(draft, GuideDraft)] == [
        GuideDraft("theirs", as_words(mine))
    ]
    # The first one types on: it is on the disk again, beside the other.
    keep(db, "mine", mine.answered("thickness", "0.031 in"))
    sessions = {draft.session for draft in kept_drafts(db, DraftsRequest()) if isinstance(draft, GuideDraft)}
    assert sessions == {"mine", "theirs"}


def test_tags_of_the_crib_are_not_offered_and_a_retired_one_is_passed_by_once_it_is_refused(db: str) -> None:
    for tag in ("SH-1", "SH-2", "SH-3"):
        add_piece(db, "shim", tag, {})
    retire_piece(db, "SH-3")
    guide = replace(begun(db, "a"), stage=Stage.SHIMS, hub=HUB)
    assert guide.offered("tag") == "SH-3"
    refused = stepped(db, guide.filled({**SHIM, "tag": "SH-3"}))
    assert "had until it was retired" in refused.wrong
    assert refused.guide.offered("tag") == "SH-4"


def test_a_hub_that_cannot_be_is_asked_again_at_its_line(db: str) -> None:
    wrong = Guide(Stage.HUB).filled({**HUB, "key": "3 in"})
    refused = stepped(db, wrong)
    assert (refused.guide.stage, bool(refused.wrong), refused.at) == (Stage.HUB, True, "key")


def test_the_rest_of_the_box_is_looked_at_where_it_can_tell_a_slip(db: str) -> None:
    size = {"outside_diameter": "1.0001 in", "slot_width": "0.252 in"}
    add_piece(db, "bushing", "G-1", {**size, "web": "0.4 in"})
    add_piece(db, "bushing", "G-2", {"outside_diameter": "0.75 in", "slot_width": "0.19 in", "web": "0.3 in"})

    def asked(**values: str) -> list[str]:
        add = AddRequest(kind=Kind.BUSHING, tag="G-3", values={**size, **values})
        return [doubt.words for doubt in look_again(db, LookAgainRequest(add=add))]

    assert asked(web="0.4085 in") == []
    assert asked(web="0.45 in") == [
        "web 0.45 in, but G-1, of the same diameter and slot, has 0.4 in; measure it again"
    ]
    # A point in the wrong place and a wrong unit.
    assert (
        "far from the others in the box, 0.3 in to 0.4 in"
        in asked(outside_diameter="2.5 in", web="1.9 in")[0]
    )
    assert len(asked(outside_diameter="1.0001 mm", slot_width="0.252 mm", web="0.4 mm")) == 3


def test_a_web_over_a_broach_is_known_as_well_as_both_measurements_together(db: str) -> None:
    heights = {"first_tooth_height": "0.7 in", "last_tooth_height": "0.8132 in"}
    add_piece(db, "broach", "B-9", {**heights, "measured_to": "0.0003 in"})
    add_piece(db, "bushing", "G-9", {"web": "1.4382 in over B-9", "measured_to": "0.0001 in"})
    measured = show_piece(db, "G-9").record.measured
    assert measured.to is not None
    assert (measured.to.nm, "over broach B-9, last tooth" in measured.with_what) == (10_160, True)
    # Undone and measured plainly, nothing of the broach is left in it.
    edit_piece(db, "G-9", {"web": "0.625 in"})
    assert show_piece(db, "G-9").record.measured.with_what == ""
