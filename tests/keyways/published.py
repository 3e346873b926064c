"""Figures of the standards as they are printed, to hold ours against; each row names its source."""

from __future__ import annotations

import csv
from pathlib import Path


def published_rows(name: str) -> list[dict[str, str]]:
    """The rows of one file of ``data``."""
    with (Path(__file__).parent / "data" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
