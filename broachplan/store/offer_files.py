"""Lists of offers read from CSV files and workbooks: all of them as one book, or a line for each thing that is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from broachplan.buying.offers import (
    LONGEST_LEAD,
    MOST_AVAILABLE,
    MOST_PIECES,
    OFFERED_KINDS,
    Between,
    Offer,
    OfferBook,
    OfferedPiece,
    Supplier,
)
from broachplan.crib.words import LONGEST_NAME
from broachplan.errors import InputError, quoted
from broachplan.money import read_amount, read_currency
from broachplan.standards.iso_286 import read_sized
from broachplan.store.csv_file import check_name
from broachplan.store.exchange import ImportRefused, named_files
from broachplan.store.listed_rows import ListedRow, ListForm, rows_of
from broachplan.tooling.figures import Figure, Kind, Quantity, read_kind
from broachplan.tooling.measures import number_of, read_figure
from broachplan.tooling.pieces import FIGURES, FigureError

NEEDED = ("offer", "kind", "price", "lead_days")
_SOLD = ("available", "currency", "supplier", "shipping", "minimum", "pieces")
# What a file of pieces has beside figures may be left in a list that was made from one.
_NOT_READ = ("note", "set", "home", "condition")
_FIGURES = tuple(dict.fromkeys(figure.name for kind in OFFERED_KINDS for figure in FIGURES[kind]))
COLUMNS = (*NEEDED, *_FIGURES, *_SOLD, *_NOT_READ)
_FORM = ListForm("offers", COLUMNS, NEEDED)
# What of an offer may be in its first row alone; what must be in that; and what an empty cell there means.
_OF_OFFER: Mapping[str, int | str | None] = {
    "price": None,
    "lead_days": None,
    "available": 1,
    "currency": "",
    "supplier": "",
}
_OF_SUPPLIER = ("shipping", "minimum")
_COLUMN = "column"
Cell = int | str


def read_offers(paths: Iterable[Path], currency: str | None = None) -> OfferBook:
    """Read lists of offers.

    Parameters
    ----------
    currency : that of offers which name none; None: the shop has set none.

    Raises
    ------
    ImportRefused : anything is wrong in any of them, with a line for each bad cell and row.
    """
    reader = _OfferReader(currency)
    for path, name in named_files(paths):
        try:
            check_name(path)
            reader.take(name, rows_of(path, name, _FORM, reader.problems))
        except InputError as error:
            reader.problems.append(str(error))
    return reader.book()


@dataclass
class _Begun:
    """An offer as its rows are read. ``sold`` has what is in its first row, ``pieces`` what is sold together."""

    first: ListedRow
    list_name: str
    sold: Mapping[str, Cell]
    pieces: list[OfferedPiece] = field(default_factory=list)


class _OfferReader:
    """Rows become offers; cells of one text, of which lists have many, are read once."""

    def __init__(self, currency: str | None) -> None:
        self.problems: list[str] = []
        self._currency = currency
        self._begun: dict[str, _Begun] = {}
        # Of offers whose first row is wrong the further rows are only looked at by themselves.
        self._spoilt: set[str] = set()
        self._suppliers: dict[tuple[str, str], tuple[int, ListedRow]] = {}
        self._known: dict[tuple[Quantity, str], Between | str] = {}

    def take(self, list_name: str, rows: Iterator[ListedRow]) -> None:
        """Read the rows of one list."""
        for row in rows:
            before = len(self.problems)
            name, kind = self._name(row), self._kind(row)
            sold = {column: self._cell(row, column) for column in (*_OF_OFFER, *_OF_SUPPLIER)}
            if name and name not in self._spoilt and len(self.problems) == before:
                self._sell(list_name, name, row, sold)
            if name not in self._begun:
                self._spoilt.add(name)
            times = self._pieces(row)
            piece = None if kind is None else self._piece(row, kind)
            if len(self.problems) == before and piece is not None and name in self._begun:
                begun = self._begun[name]
                begun.pieces += [piece] * times
                if len(begun.pieces) > MOST_PIECES:
                    self._wrong(row, "pieces", f"an offer has at most {MOST_PIECES} pieces")

    def book(self) -> OfferBook:
        """All offers, by name.

        Raises
        ------
        ImportRefused : anything was wrong.
        """
        currency = self._one_currency()
        if self.problems:
            raise ImportRefused(self.problems)
        offers = [_offer(name, begun) for name, begun in sorted(self._begun.items())]
        names = sorted({offer.supplier for offer in offers if offer.supplier})
        suppliers = [
            Supplier(name, *(self._amount_of(name, each) for each in _OF_SUPPLIER)) for name in names
        ]
        return OfferBook(tuple(offers), tuple(suppliers), currency=currency)

    # -- one row -----------------------------------------------------------------------------------------------

    def _wrong(self, row: ListedRow, column: str, said: str) -> None:
        self.problems.append(row.wrong(column, said))

    def _name(self, row: ListedRow) -> str:
        name = row.texts["offer"]
        if not name or len(name) > LONGEST_NAME:
            self._wrong(row, "offer", f"read {quoted(name)}; write a name of 1 to {LONGEST_NAME} characters")
            return ""
        return name

    def _kind(self, row: ListedRow) -> Kind | None:
        text, there = row.texts["kind"], ", ".join(OFFERED_KINDS)
        try:
            kind = read_kind(text)
        except InputError:
            self._wrong(row, "kind", f"read {quoted(text)}; write one of: {there}")
            return None
        if kind not in OFFERED_KINDS:
            self._wrong(row, "kind", f"a {kind} is not bought from a list of offers; write one of: {there}")
            return None
        return kind

    def _cell(self, row: ListedRow, column: str) -> Cell | None:
        """What a cell says of the offer or its supplier; None where it is empty."""
        text = row.texts.get(column, "")
        if not text:
            return None
        try:
            return _read_cell(column, text)
        except InputError as error:
            self._wrong(row, column, error.said)
            return None

    def _pieces(self, row: ListedRow) -> int:
        text = row.texts.get("pieces", "")
        try:
            return _whole(text, 1, MOST_PIECES) if text else 1
        except InputError as error:
            self._wrong(row, "pieces", error.said)
            return 1

    def _piece(self, row: ListedRow, kind: Kind) -> OfferedPiece | None:
        figures: dict[str, Between] = {}
        own = {figure.name: figure for figure in FIGURES[kind]}
        before = len(self.problems)
        for name in _FIGURES:
            text = row.texts.get(name, "")
            if not text:
                continue
            if name not in own:
                self._wrong(row, name, f"read {quoted(text)}; a {kind} has no such figure: leave it empty")
                continue
            value = self._figure(own[name], text)
            if isinstance(value, str):
                self._wrong(row, name, value)
            else:
                figures[name] = value
        if len(self.problems) > before:
            return None
        try:
            return OfferedPiece.of(kind, figures)
        except FigureError as error:
            label = own[error.figure].label
            self._wrong(row, error.figure, error.said if error.field == label else str(error))
            return None

    def _figure(self, figure: Figure, text: str) -> Between | str:
        key = figure.quantity, text
        if key not in self._known:
            self._known[key] = _read_figure(figure.quantity, text)
        return self._known[key]

    # -- one offer, one supplier ---------------------------------------------------------------------------------

    def _sell(self, list_name: str, name: str, row: ListedRow, sold: Mapping[str, Cell | None]) -> None:
        """Begin an offer, or hold a further row of it against the first."""
        begun = self._begun.get(name)
        if begun is None:
            self._begin(list_name, name, row, sold)
            return
        if begun.list_name != list_name:
            self._wrong(
                row, "offer", f"read {quoted(name)}, which {begun.first.where} has too: a name is one offer's"
            )
            return
        for column in _OF_OFFER:
            value = sold[column]
            if value is not None and value != begun.sold[column]:
                self._wrong(
                    row,
                    column,
                    f"read {quoted(row.texts[column])}; {begun.first.where} says otherwise, and rows of one name are one offer",
                )
        supplier = str(begun.sold["supplier"])
        self._of_supplier(row, supplier, sold, may_lack=True)

    def _begin(self, list_name: str, name: str, row: ListedRow, sold: Mapping[str, Cell | None]) -> None:
        filled: dict[str, Cell] = {}
        for column, otherwise in _OF_OFFER.items():
            value = sold[column] if sold[column] is not None else otherwise
            if value is None:
                self._wrong(row, column, "it is empty; the first row of an offer must have it")
            else:
                filled[column] = value
        if len(filled) == len(_OF_OFFER):
            self._begun[name] = _Begun(row, list_name, filled)
            self._of_supplier(row, str(filled["supplier"]), sold, may_lack=False)

    def _of_supplier(
        self, row: ListedRow, supplier: str, sold: Mapping[str, Cell | None], *, may_lack: bool
    ) -> None:
        """Hold shipping and least order against the other rows of the supplier."""
        for column in _OF_SUPPLIER:
            value = sold[column]
            if value is not None and not supplier:
                self._wrong(
                    row, column, f"read {quoted(row.texts[column])}, and no supplier; write who it is"
                )
            elif supplier and column in row.texts and not (may_lack and value is None):
                amount, first = self._suppliers.setdefault((supplier, column), (int(value or 0), row))
                if amount != int(value or 0):
                    read = quoted(row.texts[column]) if row.texts[column] else "an empty cell"
                    same = f"a {column} is the same in every row of a supplier"
                    self._wrong(row, column, f"read {read}; {first.where} says otherwise: {same}")

    def _amount_of(self, supplier: str, column: str) -> int:
        found = self._suppliers.get((supplier, column))
        return 0 if found is None else found[0]

    def _one_currency(self) -> str:
        """The currency of all offers; one that names none has the shop's, or that of the others where it has set none."""
        named = {str(begun.sold["currency"]) for begun in self._begun.values()} - {""}
        others = self._currency or next(iter(sorted(named)), "")
        first: tuple[str, str] | None = None
        for begun in self._begun.values():
            currency = str(begun.sold["currency"]) or others
            if not currency:
                right = "write three capital letters, or set currency (broachplan settings set currency USD)"
                self._wrong(begun.first, "currency", f"it is empty, and the shop has set none; {right}")
                return ""
            first = first or (currency, begun.first.where)
            if currency != first[0]:
                self._wrong(
                    begun.first,
                    "currency",
                    f"it is {currency}; {first[1]} is in {first[0]}: all lists must be in one currency",
                )
        return first[0] if first else self._currency or ""


def _read_cell(column: str, text: str) -> Cell:
    if column == "currency":
        return read_currency(text, _COLUMN)
    if column == "lead_days":
        return _whole(text, 0, LONGEST_LEAD)
    if column == "available":
        return _whole(text, 0, MOST_AVAILABLE)
    if column == "supplier":
        if len(text) > LONGEST_NAME:
            raise InputError(_COLUMN, f"at most {LONGEST_NAME} characters", read=text)
        return text
    return read_amount(text, _COLUMN)


def _whole(text: str, least: int, most: int) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= len(str(most)) and least <= int(text) <= most):
        raise InputError(_COLUMN, f"write a whole number from {least} to {most}", read=text)
    return int(text)


def _read_figure(quantity: Quantity, text: str) -> Between | str:
    """All values of a figure, or what is wrong with its text."""
    try:
        if quantity is Quantity.LENGTH:
            limits = read_sized(text, _COLUMN).limits
            return Between(limits.lower.nm, limits.upper.nm)
        number = number_of(read_figure(quantity, text, _COLUMN))
    except InputError as error:
        return error.said
    assert number is not None
    return Between(number, number)


def _offer(name: str, begun: _Begun) -> Offer:
    price, lead, available = (int(begun.sold[each]) for each in ("price", "lead_days", "available"))
    return Offer(name, tuple(begun.pieces), price, lead, available, str(begun.sold["supplier"]))
