"""The demo toolroom's files as rows of text, read without the importer."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "seed_inventory"


@cache
def sheet(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one file."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


@cache
def header(name: str) -> tuple[str, ...]:
    """The header of one file."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(next(csv.reader(file)))
