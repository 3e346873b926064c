"""How the tables beside this module are read: once, exactly, every row with its source and status.

``status`` is ``read`` (seen in at least one reproduction of the standard) or ``memory`` (recalled, not seen).
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from broachplan.lengths import NM_PER_INCH, NM_PER_MM, Length, Limits

_FOLDER = Path(__file__).parent
_NM = {"in": NM_PER_INCH, "mm": NM_PER_MM}


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one shipped table, by its file name without the ending."""
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def cell(text: str) -> Length:
    """A length or deviation as the tables write it: an exact decimal, a space and ``in`` or ``mm``."""
    number, unit = text.split(" ")
    whole, _, decimals = number.partition(".")
    # Integers all the way: hundreds of cells are read at the start of a short command.
    nm, rest = divmod(int(whole + decimals) * _NM[unit], 10 ** len(decimals))
    if rest:
        raise ValueError(f"{text} is not a whole number of nanometres")
    return Length(nm)


def cell_or_none(text: str) -> Length | None:
    """A length cell that may be empty."""
    return cell(text) if text else None


@dataclass(frozen=True, slots=True)
class Zone:
    """Two deviations that hold for sizes over ``over``, to and including ``to``."""

    labels: tuple[str, ...]
    over: Length
    to: Length
    lower: Length
    upper: Length
    source: str
    status: str

    def around(self, nominal: Length) -> Limits:
        """The limits these deviations give a nominal size."""
        return Limits(nominal, nominal + self.lower, nominal + self.upper)


def zones(name: str, *label_columns: str) -> tuple[Zone, ...]:
    """The rows of a table of deviations; ``label_columns`` say what else a row is for."""
    return tuple(_zone(row, tuple(row[column] for column in label_columns)) for row in rows(name))


def zone_for(table: Iterable[Zone], labels: tuple[str, ...], size: Length) -> Zone | None:
    """The row for ``labels`` whose range holds ``size``, or None outside the table."""
    return next((zone for zone in table if zone.labels == labels and zone.over < size <= zone.to), None)


def _zone(row: dict[str, str], labels: tuple[str, ...]) -> Zone:
    over, to, lower, upper = (cell(row[column]) for column in ("over", "to", "lower", "upper"))
    return Zone(labels, over, to, lower, upper, row["source"], row["status"])
