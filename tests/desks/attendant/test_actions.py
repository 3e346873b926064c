"""What the desk shows before something is typed or undone."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from broachplan.crib.entries import Act
from broachplan.store.actions import FIRST
from tests.desks.doing import import_crib, lend_piece, lend_set, return_piece, undo_act
from tests.desks.looking import list_actions, list_known

NOW = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)


def test_the_last_actions_are_listed_with_their_first_pieces_and_which_are_undone(
    filled: str, tmp_path: Path
) -> None:
    file = tmp_path / "shims.csv"
    rows = "".join(f"T-{number:02},1 mm,2 mm,,,,,\n" for number in range(FIRST + 5))
    file.write_text(f"tag,thickness,width,length,set,home,condition,note\n{rows}")
    import_crib(filled, [file], by="Ann", at=NOW)
    lend_piece(filled, "S-1", "Kim", by="Joe", at=NOW)
    undo_act(filled, 2, by="Ann", at=NOW)

    undoing, lent, received = list_actions(filled)

    assert (undoing.undoes, undoing.undone, undoing.by) == (lent.number, False, "Ann")
    assert (lent.undone, lent.by, lent.pieces, lent.first[0].line.entry.act) == (True, "Joe", 1, Act.LENT)
    assert (received.pieces, len(received.first), received.first[0].tag) == (FIRST + 5, FIRST, "T-00")
    assert list_actions(filled, 1) == (undoing,)


def test_known_are_the_words_of_the_crib_and_of_its_history(filled: str) -> None:
    lend_set(filled, "inch set", "Kim", by="Ann", at=NOW)
    return_piece(filled, "B-250", "worn", by="joe", at=NOW)

    shown = list_known(filled, date(2031, 5, 3))

    assert list(shown.pieces) == ["B-250", "G-1000", "N-1", "P-1", "R-1", "S-1"]
    assert shown.pieces["B-250"].loan is None
    assert (shown.sets, shown.homes, shown.people) == (("inch set",), ("bench", "drawer 4"), ("Kim",))
    assert shown.attendants == ("Ann", "joe")
