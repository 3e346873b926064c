"""Lists of offers: what they mean, and that a bad one is refused with list, row and column."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from random import Random

import pytest

from broachplan.buying.offers import Between, OfferBook
from broachplan.errors import InputError
from broachplan.store.exchange import ImportRefused
from broachplan.store.offer_files import COLUMNS, read_offers
from broachplan.store.xlsx_file import as_book
from broachplan.tooling.figures import Kind

GOOD = """\
offer,kind,price,lead_days,available,currency,supplier,shipping,minimum,pieces,keyway_width,first_tooth_height,last_tooth_height,outside_diameter,slot_width,web,thickness,width,length,note
Set 3/16,broach,212.50,10,2,USD,Northgate,9.50,50,,0.1885 in,0.4400 in,0.4900 in,,,,,,,a set
Set 3/16,bushing,,,,,,,,,,,,0.7490 in +0 -0.0005,0.1890 in +0.001 -0,0.5600 in,,,1.5 in,
Set 3/16,shim,,,,,,,,2,,,,,,,0.0625 in +0.0005 -0.0005,0.1880 in,,
Brass,shim,4,3,,,,,,,,,,,,,1.60 mm,4.7 mm,40 mm,=2+2
"""
ROWS = list(csv.reader(io.StringIO(GOOD)))


def written(folder: Path, rows: list[list[str]] = ROWS, name: str = "mill.csv") -> Path:
    """A list of these rows."""
    path = folder / name
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    return path


def changed(row: int, column: str, text: str) -> list[list[str]]:
    """The good list with one cell changed; row 1 is the header."""
    rows = [list(each) for each in ROWS]
    rows[row - 1][ROWS[0].index(column)] = text
    return rows


def refused(path: Path, currency: str | None = "USD") -> tuple[str, ...]:
    with pytest.raises(ImportRefused, match=re.escape(path.name)) as caught:
        read_offers([path], currency)
    return caught.value.lines


def test_rows_of_one_name_are_one_offer_with_the_figures_limits(tmp_path: Path) -> None:
    book = read_offers([written(tmp_path)], "USD")
    brass, parts = book.offers
    assert (brass.name, brass.price, brass.lead_days, brass.available, brass.supplier) == (
        "Brass",
        400,
        3,
        1,
        "",
    )
    assert (parts.price, parts.lead_days, parts.available, parts.supplier) == (21_250, 10, 2, "Northgate")
    assert [piece.kind for piece in parts.pieces] == [Kind.BROACH, Kind.BUSHING, Kind.SHIM, Kind.SHIM]
    # 0.7490 in less 0.0005 in to 0.7490 in, in nanometres.
    assert parts.pieces[1].span("outside_diameter") == Between(19_011_900, 19_024_600)
    assert parts.pieces[2].span("thickness") == Between(1_574_800, 1_600_200)
    assert (book.currency, book.suppliers[0].shipping, book.suppliers[0].minimum) == ("USD", 950, 5000)


def test_a_workbook_means_the_same(tmp_path: Path) -> None:
    book = tmp_path / "mill.xlsx"
    book.write_bytes(as_book([("offers", ROWS)]))
    assert read_offers([book], "USD") == read_offers([written(tmp_path)], "USD")


def test_the_order_of_rows_and_lists_changes_nothing(tmp_path: Path) -> None:
    head, *rows = ROWS
    one = written(tmp_path, [head, rows[3], *rows[:3]])
    two = [
        written(tmp_path, [head, *some], name) for some, name in ((rows[:3], "a.csv"), (rows[3:], "b.csv"))
    ]
    expected = read_offers([written(tmp_path, name="c.csv")], "USD")
    assert read_offers([one], "USD") == read_offers(two, "USD") == read_offers(two[::-1], "USD") == expected


def test_a_list_with_its_header_alone_has_no_offers(tmp_path: Path) -> None:
    assert read_offers([written(tmp_path, ROWS[:1])]) == OfferBook()


@pytest.mark.parametrize(
    ("row", "column", "text", "said"),
    [
        (2, "price", "", "first row of an offer must have it"),
        (2, "price", "-5", "at most two decimals"),
        (2, "price", "5.125", "at most two decimals"),
        (2, "price", "1,250.00", "at most two decimals"),
        (3, "price", "212.60", "row 2 says otherwise"),
        (3, "lead_days", "9", "row 2 says otherwise"),
        (3, "supplier", "Other", "row 2 says otherwise"),
        (4, "available", "3", "row 2 says otherwise"),
        (2, "lead_days", "1000", "0 to 999"),
        (2, "available", "100", "0 to 99"),
        (2, "available", "1.5", "0 to 99"),
        (2, "currency", "usd", "three capital letters"),
        (5, "currency", "EUR", "one currency"),
        (3, "shipping", "9.60", "same in every row of a supplier"),
        (5, "minimum", "5", "no supplier"),
        (2, "kind", "press", "not bought from a list"),
        (2, "kind", "pin", "not bought from a list"),
        (2, "kind", "rings", "not bought from a list"),
        (2, "kind", "chisel", "write one of: broach, bushing, shim"),
        (2, "web", "0.5 in", "a broach has no such figure"),
        (5, "thickness", "1.60", "without a unit"),
        (5, "thickness", "2031-05-28", "unit"),
        (5, "thickness", "1.6 mm +0.1", "both deviations"),
        (5, "thickness", "1.6 mm +0.1 -1.7", "above zero"),
        (3, "slot_width", "0.7490 in", "less than the outside diameter"),
        (2, "last_tooth_height", "0.4400 in", "less than the last tooth height"),
        (4, "pieces", "0", "1 to 1000"),
        (5, "offer", "", "1 to 100 characters"),
        (5, "note", "a\u202eb", "U\\+202E"),
    ],
)
def test_a_bad_cell_is_refused_with_its_list_row_and_column(
    row: int, column: str, text: str, said: str, tmp_path: Path
) -> None:
    lines = refused(written(tmp_path, changed(row, column, text)))
    assert len(lines) == 1
    assert re.fullmatch(rf"mill\.csv, row {row}, column \w+: .*{said}.*", lines[0])


def test_one_name_in_two_lists_is_refused(tmp_path: Path) -> None:
    paths = [written(tmp_path), written(tmp_path, [ROWS[0], ROWS[4]], "other.csv")]
    with pytest.raises(ImportRefused, match=r"other\.csv, row 2, column offer: .*mill\.csv, row 5 has too"):
        read_offers(paths, "USD")


def test_offers_in_no_currency_or_in_another_than_the_shops_are_refused(tmp_path: Path) -> None:
    only = written(tmp_path, [ROWS[0], ROWS[4]])
    assert "the shop has set none" in refused(only, None)[0]
    assert read_offers([only], "EUR").currency == "EUR"
    assert read_offers([written(tmp_path, name="all.csv")], None).currency == "USD"
    assert "one currency" in refused(written(tmp_path), "EUR")[0]


@pytest.mark.parametrize("lacks", ["offer", "kind", "price", "lead_days"])
def test_a_list_without_a_needed_column_is_refused(lacks: str, tmp_path: Path) -> None:
    at = ROWS[0].index(lacks)
    rows = [[*row[:at], *row[at + 1 :]] for row in ROWS]
    assert refused(written(tmp_path, rows)) == (f"mill.csv, row 1: column {lacks} is missing",)


def test_an_unknown_column_is_refused_by_name(tmp_path: Path) -> None:
    rows = [[*ROWS[0], "vat"], *([*row, ""] for row in ROWS[1:])]
    assert "read “vat”, which is no column of offers" in refused(written(tmp_path, rows))[0]


def problems(path: Path, currency: str | None) -> list[str]:
    """What is wrong with a list; where nothing is, its offers are whole."""
    try:
        book = read_offers([path], currency)
    except InputError as error:
        return str(error).splitlines()
    assert all(offer.pieces and offer.name for offer in book.offers)
    return []


def test_a_list_of_something_else_is_refused_in_one_line_beside_what_it_lacks(tmp_path: Path) -> None:
    jobs = [
        ["number", "due", "bore", "key", "offer", "price"],
        ["J-1", "2031-05-28", "1 in", "1/4 in", "", ""],
    ]
    assert refused(written(tmp_path, jobs)) == (
        "mill.csv, row 1: column kind is missing",
        "mill.csv, row 1: column lead_days is missing",
        "mill.csv, row 1: read “number”, “due”, “bore” and 1 more, which are no columns of offers; there are: "
        + ", ".join(COLUMNS),
    )


HOSTILE = (
    "", "0", "-1", "1e9", "9" * 60, "=1+1", "'=1", "0.5 in", "1/0 in", "0,5 mm", "1.6 mm +-", "USD", "EUR", "x" * 500,
    "\x00", "\u202e", "[bold]", "Set 3/16", "Brass", "shim", "broach", "press", "10 m", "0.000000001 mm", "NaN", "٣", "½ in",
)  # fmt: skip


def test_random_bad_lists_are_refused_in_words_or_read_whole(tmp_path: Path) -> None:
    random, bad = Random(13), 0
    for _ in range(300):
        rows = [list(row) for row in ROWS]
        for _ in range(random.choice((1, 1, 2, 4))):
            at = random.randrange(random.choice((0, 1, 1, 1)), len(rows))
            rows[at][random.randrange(len(rows[at]))] = random.choice(HOSTILE)
        if random.random() < 0.2:
            random.choice(rows).pop()
        lines = problems(written(tmp_path, rows), random.choice(("USD", None)))
        assert all(line.startswith("mill.csv") for line in lines)
        bad += bool(lines)
    assert 150 < bad < 300


def test_every_column_that_may_be_there_is_read_or_left() -> None:
    assert set(ROWS[0]) <= set(COLUMNS)
    assert len(set(COLUMNS)) == len(COLUMNS)
