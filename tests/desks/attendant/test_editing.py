"""Pieces taken in, changed and retired one at a time: checked as an import checks them, and kept in the history."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from broachplan.crib.entries import Act, Change
from broachplan.crib.records import Condition, Measurement
from broachplan.desks.attendant.add_piece import Added
from broachplan.desks.attendant.edit_piece import ChangedMeanwhile
from broachplan.errors import CribStateError, InputError
from broachplan.lengths import Length
from broachplan.store.check import check
from broachplan.store.entries import Difference
from broachplan.tooling.figures import Kind
from broachplan.tooling.pieces import Bushing
from tests.databases import contents
from tests.desks.doing import add_piece, edit_piece, import_crib, lend_piece, retire_piece, return_piece
from tests.desks.looking import list_pieces, show_piece
from tests.store.cribs import inch

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)
WEB = {
    "outside_diameter": "1 in",
    "slot_width": "1/4 in",
    "web": "0.42 in",
    "set": "inch set",
    "home": "drawer 4",
    "measured_with": "micrometer",
    "measured_on": "2031-05-02",
    "measured_by": "Kim",
}


def test_a_piece_added_is_kept_with_everything_given(db: str) -> None:
    added = add_piece(db, Kind.BUSHING, " G-1 ", WEB, by="Ann", at=NOW)

    assert added == Added(Kind.BUSHING, "G-1", ())
    shown = show_piece(db, "G-1")
    assert shown.record.piece == Bushing(
        tag="G-1", outside_diameter=inch("1"), slot_width=inch("0.25"), web=inch("0.42")
    )
    assert shown.record.measured == Measurement("micrometer", NOW.date(), "Kim")
    assert (shown.record.set_name, shown.record.home, shown.record.condition) == (
        "inch set",
        "drawer 4",
        Condition.FIT,
    )
    ((message),) = shown.history
    assert (message.entry.act, message.entry.by, message.entry.at) == (Act.RECEIVED, "Ann", NOW)


def test_a_piece_may_be_taken_in_before_it_is_measured(db: str) -> None:
    assert add_piece(db, Kind.SHIM, "S-1", {}, at=NOW).missing == ("thickness", "width")


@pytest.mark.parametrize(
    ("kind", "tag", "message", "why"),
    [
        (
            Kind.SHIM,
            "B-250",
            {},
            "tag: read “B-250”, which a broach in the crib has; give the piece another tag",
        ),
        (Kind.SHIM, "", {}, "tag: read “”; use at most 40"),
        (Kind.SHIM, "a,b", {}, "tag: read “a,b”"),
        (Kind.SHIM, "S-2", {"thickness": "0.05"}, "thickness: read “0.05” without a unit"),
        (Kind.SHIM, "S-2", {"thickness": "0 in"}, "thickness: read “0 in”; it must be above zero"),
        (
            Kind.SHIM,
            "S-2",
            {"web": "1 in"},
            "web: a shim has no such figure; it has: thickness, width, length",
        ),
        (Kind.SHIM, "S-2", {"condition": "good"}, "condition: read “good”"),
        (Kind.SHIM, "S-2", {"measured_on": "May"}, "measured on: read “May”; write a day"),
        (Kind.SHIM, "S-2", {"home": "a\x07"}, r"home: read .*U\+0007"),
        (Kind.SHIM, "S-2", {"note": "n" * 201}, "note: read .*at most 200"),
        (Kind.BROACH, "B-1", {"rising_teeth": "1.5"}, "rising teeth: read “1.5”; write a whole number"),
        (Kind.BUSHING, "G-2", {"outside_diameter": "1 in", "web": "1 in"}, "web 1 in: it must be less"),
    ],
)
def test_a_piece_that_cannot_be_is_refused_and_nothing_is_written(
    filled: str, kind: Kind, tag: str, message: dict[str, str], why: str
) -> None:
    before = contents(filled)

    with pytest.raises(InputError, match=f"^{why}"):
        add_piece(filled, kind, tag, message, at=NOW)

    assert contents(filled) == before


def test_a_figure_is_changed_and_the_history_shows_what_it_was(filled: str) -> None:
    edited = edit_piece(filled, "S-1", {"thickness": "0.051 in", "length": ""}, by="Kim", at=NOW)

    assert edited.differences == (
        Difference("thickness", inch("0.05"), inch("0.051")),
        Difference("length", inch("4"), None),
    )
    shown = show_piece(filled, "S-1")
    assert shown.version == 2
    assert shown.record.piece.length is None  # type: ignore[attr-defined]
    (message,) = shown.history
    assert (message.entry.act, message.entry.by) == (Act.CHANGED, "Kim")
    assert message.entry.changes == (
        Change("thickness", Length.inches("0.05").nm, Length.inches("0.051").nm),
        Change("length", Length.inches("4").nm, None),
    )
    assert check(filled) == ()


def test_an_inspection_alone_is_recorded_as_one(filled: str) -> None:
    edit_piece(filled, "G-1000", {"condition": "fit"}, at=NOW)

    assert show_piece(filled, "G-1000").state == "fit"
    assert [message.entry.act for message in show_piece(filled, "G-1000").history] == [Act.INSPECTED]


def test_what_is_so_already_is_no_change(filled: str) -> None:
    before = contents(filled)

    assert edit_piece(filled, "S-1", {"thickness": "1.27 mm"}, at=NOW).differences == ()

    assert contents(filled) == before


def test_a_change_to_what_cannot_be_is_refused_and_nothing_is_written(filled: str) -> None:
    before = contents(filled)

    with pytest.raises(InputError, match=r"^web 0.9985 in: it must be less than the outside diameter"):
        edit_piece(filled, "G-1000", {"web": "0.9985 in"}, at=NOW)
    with pytest.raises(InputError, match=r"^tag: read “S-9”"):
        edit_piece(filled, "S-9", {"web": "1 in"}, at=NOW)

    assert contents(filled) == before


def test_the_second_person_to_edit_a_piece_sees_what_changed(filled: str) -> None:
    first = second = show_piece(filled, "S-1")
    edit_piece(filled, "S-1", {"thickness": "0.051 in"}, seen=first, at=NOW)

    with pytest.raises(
        ChangedMeanwhile, match=r"^S-1 was changed meanwhile: thickness 0.05 in -> 0.051 in; look"
    ) as message:
        edit_piece(filled, "S-1", {"home": "drawer 5"}, seen=second, at=NOW)

    assert message.value.differences == (Difference("thickness", inch("0.05"), inch("0.051")),)
    assert edit_piece(filled, "S-1", {"home": "drawer 5"}, seen=show_piece(filled, "S-1"), at=NOW).differences


def test_a_return_counts_as_a_change_for_whoever_edits(filled: str) -> None:
    seen = show_piece(filled, "S-1")
    lend_piece(filled, "S-1", "Kim", at=NOW)
    return_piece(filled, "S-1", "worn", at=NOW)

    with pytest.raises(ChangedMeanwhile, match=r"condition “fit” -> “worn”"):
        edit_piece(filled, "S-1", {"condition": "fit"}, seen=seen, at=NOW)


def test_a_retired_piece_is_in_no_list_and_its_history_stays(filled: str) -> None:
    assert retire_piece(filled, " S-1 ", note="bent", by="Kim", at=NOW).tag == "S-1"

    assert "S-1" not in [kept.record.piece.tag for kept in list_pieces(filled)]
    shown = show_piece(filled, "S-1")
    assert (shown.state, shown.version) == ("retired", 2)
    assert [(message.entry.act, message.entry.note) for message in shown.history] == [(Act.RETIRED, "bent")]
    assert check(filled) == ()


def test_what_was_retired_is_not_changed_lent_or_retired_again_and_its_tag_is_not_given_away(
    filled: str,
) -> None:
    retire_piece(filled, "S-1", at=NOW)

    with pytest.raises(CribStateError, match=r"^S-1 is retired already$"):
        retire_piece(filled, "S-1", at=NOW)
    with pytest.raises(CribStateError, match=r"^S-1 is retired and is not changed any more$"):
        edit_piece(filled, "S-1", {"home": "x"}, at=NOW)
    with pytest.raises(CribStateError, match=r"^S-1 is retired$"):
        lend_piece(filled, "S-1", "Kim", at=NOW)
    with pytest.raises(InputError, match=r"^tag: read “S-1”, which a shim had until it was retired"):
        add_piece(filled, Kind.SHIM, "S-1", {}, at=NOW)


def test_what_is_out_is_not_retired(filled: str) -> None:
    lend_piece(filled, "S-1", "Kim", at=NOW)

    with pytest.raises(CribStateError, match=r"^S-1 is lent to Kim since 2031-05-02; it must be back"):
        retire_piece(filled, "S-1", at=NOW)


def test_an_import_is_in_the_history_of_each_piece_it_added_or_changed(filled: str, tmp_path: Path) -> None:
    file = tmp_path / "shims.csv"
    file.write_text(
        "tag,thickness,width,length,set,home,condition,note\nS-1,0.051 in,0.248 in,4 in,,,,\nS-2,1 mm,,,,,,\n"
    )

    import_crib(filled, [file], by="Ann", at=NOW)

    (changed,) = show_piece(filled, "S-1").history
    (received,) = show_piece(filled, "S-2").history
    assert (changed.entry.act, changed.entry.by, changed.entry.at) == (Act.CHANGED, "Ann", NOW)
    assert changed.differences == (Difference("thickness", inch("0.05"), inch("0.051")),)
    assert received.entry.act is Act.RECEIVED
    assert show_piece(filled, "B-250").history == ()
    assert check(filled) == ()
