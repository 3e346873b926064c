"""A table at any width: what it leaves out for lack of room, and what it never does."""

from __future__ import annotations

from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st

from broachplan.sheets.result import Column
from broachplan.sheets.table import TAG, Field, View, columns_of, dicts_of, rows_of, table_lines, widths

FIELDS: tuple[Field[tuple[str, int]], ...] = (
    Field(TAG, lambda item: item[0], "tag"),
    Field(Column("cuts", right=True), lambda item: item[1], "cuts"),
    Field(None, lambda _: date(2031, 5, 2), "on"),
    Field(Column("state", least=6), lambda _: None, words=lambda item, view: f"{item[1]} cuts by {view.on}"),
)
COLUMNS = (TAG, Column("kind", drops=1), Column("state", least=8), Column("set", least=4, drops=2))
TAGS = st.text("ABC7", min_size=1, max_size=30)
WORDS = st.lists(st.text("abc", min_size=1, max_size=8), max_size=5).map(" ".join)


def test_a_field_is_a_cell_a_key_or_both() -> None:
    items = [("BR-1", 7), ("BR-2", 12)]

    assert rows_of(FIELDS, items, View(date(2031, 5, 3))) == [
        ("BR-1", "7", "7 cuts by 2031-05-03"),
        ("BR-2", "12", "12 cuts by 2031-05-03"),
    ]
    assert dicts_of(FIELDS, items[:1]) == [{"tag": "BR-1", "cuts": 7, "on": "2031-05-02"}]
    assert list(dicts_of(FIELDS, items[:1], ("on", "tag"))[0]) == ["on", "tag"]
    assert [column.title for column in columns_of(FIELDS)] == ["tag", "cuts", "state"]


def test_a_moment_is_universal_time_for_a_program() -> None:
    at = datetime(2031, 5, 2, 9, 30, tzinfo=UTC)

    assert dicts_of([Field(None, lambda _: at, "at")], [0]) == [{"at": "2031-05-02T09:30:00Z"}]


@given(st.lists(st.tuples(TAGS, WORDS, WORDS, WORDS), min_size=1, max_size=5), st.integers(40, 90))
def test_lines_keep_to_their_width_and_only_what_may_drop_is_lost(
    rows: list[tuple[str, str, str, str]], width: int
) -> None:
    lines = list(table_lines(COLUMNS, rows, width))

    assert max(map(len, lines)) <= width
    for tag, _, state, _ in rows:
        assert any(tag in line for line in lines)
        for word in state.split():
            assert any(word in line for line in lines)


def test_a_tag_longer_than_its_column_is_whole_above_its_row() -> None:
    lines = list(table_lines(COLUMNS, [("T" * 40, "shim", "lent to Kim since 2031-05-02", "box")], 60))

    assert lines[1] == f"  {'T' * 40}"
    assert "shim" in lines[2]


def test_what_drops_goes_the_highest_first_and_what_may_shrink_shrinks() -> None:
    rows = [("BR-0250-A", "broach", "lent to Kim since 2031-05-02", "box Elm")]

    assert widths(COLUMNS, rows, 60) == [9, 6, 28, 7]
    assert widths(COLUMNS, rows, 32) == [9, 6, 8, 6]
    assert widths(COLUMNS, rows, 27) == [9, 6, 10, 0]
    assert widths(COLUMNS, rows, 19) == [9, 0, 9, 0]


def test_the_longest_cell_of_a_thousand_rows_counts_where_all_are_written() -> None:
    rows = [(f"S{number}", "shim", "fit", "") for number in range(1000)]

    assert len(list(table_lines(COLUMNS, rows, 80))) == 1001
