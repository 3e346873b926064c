"""Rows and pieces: what goes in comes out."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broachplan.crib.records import Record
from broachplan.errors import StorageError
from broachplan.store.translate import (
    RECORD_COLUMNS,
    Translator,
    figure_values,
    piece_values,
)
from broachplan.tooling.figures import Kind
from broachplan.tooling.measures import figure_of, number_of
from broachplan.tooling.pieces import FIGURES
from tests.store.cribs import records


def row_of(record: Record) -> list[Any]:
    own = piece_values(record)
    return [*(own[name] for name in RECORD_COLUMNS), *figure_values(record.piece).values()]


@given(records())
def test_a_record_comes_back_from_its_row_as_it_was(record: Record) -> None:
    assert Translator(record.piece.kind).record(row_of(record)) == record


@given(records())
def test_every_figure_comes_back_from_its_number(record: Record) -> None:
    for figure in FIGURES[record.piece.kind]:
        value = getattr(record.piece, figure.name)
        assert figure_of(figure, number_of(value)) == value


@pytest.mark.parametrize(
    ("kind", "figures", "message"),
    [
        (Kind.SHIM, [0], r"a shim that cannot be, X-1: thickness: read 0; it must be at least 1"),
        (
            Kind.BUSHING,
            [5, 5],
            r"a bushing that cannot be, X-1: slot width .* must be less than",
        ),
    ],
)
def test_a_row_that_is_no_piece_is_broken_storage(
    kind: Kind, figures: list[int | None], message: str
) -> None:
    with pytest.raises(StorageError, match=message):
        Translator(kind).piece("X-1", figures + [None] * (len(FIGURES[kind]) - len(figures)))


@given(st.sampled_from([("condition", 3, "bent"), ("measured_on", 6, "2031-02-30")]))
def test_a_word_that_is_none_of_those_there_are_is_broken_storage(case: tuple[str, int, str]) -> None:
    _, place, word = case
    row: list[Any] = ["X-1", "", "", "fit", "", "", None, "", 0, None, None, None]
    row[place] = word

    with pytest.raises(StorageError, match="a pin that cannot be, X-1"):
        Translator(Kind.PIN).record(row)
