"""What a whole run found, kept in two files beside this one: the figures of each room, and what survived and why."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path

from tests.mutation.results import ENDLESS, KILLED, SURVIVED, UNTRIED, Results

HERE = Path(__file__).parent
FIGURES, SURVIVORS = HERE / "figures.csv", HERE / "survivors.csv"
_FIGURE_COLUMNS = ("room", "day", "mutants", "killed", "endless", "survived", "not_tried")
_SURVIVOR_COLUMNS = ("room", "mutant", "reason")
# mutmut writes broachplan.room.module.x_function__mutmut_3, and for a method xǁClassǁmethod__mutmut_3.
_NAME = re.compile(
    r"broachplan\.\w+\.(?P<module>\w+)\.x(?:ǁ(?P<owner>\w+)ǁ|_)(?P<name>\w+?)__mutmut_(?P<number>\d+)"
)


def plain_name(mutant: str) -> str:
    """A mutant's name without what mutmut puts before and between: ``load.LoadModel.of_pass 3``."""
    found = _NAME.fullmatch(mutant)
    if found is None:
        return mutant
    parts = (found["module"], found["owner"], found["name"])
    return f"{'.'.join(part for part in parts if part)} {found['number']}"


def record(room: str, results: Results, on: date, *, folder: Path = HERE) -> None:
    """Write the figures and the survivors of a room; a survivor that was known keeps its reason."""
    counts = Counter(results.by_name.values())
    figures = (len(results.by_name), counts[KILLED], counts[ENDLESS], counts[SURVIVED], counts[UNTRIED])
    _replace(folder / FIGURES.name, _FIGURE_COLUMNS, room, [(room, on.isoformat(), *map(str, figures))])
    file = folder / SURVIVORS.name
    reasons = {row["mutant"]: row["reason"] for row in _rows(file) if row["room"] == room}
    names = sorted(map(plain_name, results.left), key=_in_order)
    _replace(file, _SURVIVOR_COLUMNS, room, [(room, name, _reason(name, reasons)) for name in names])


def _reason(name: str, reasons: Mapping[str, str]) -> str:
    """The reason written beside it before, under its name with or without the module."""
    return reasons.get(name, reasons.get(name.partition(".")[2], ""))


def _in_order(name: str) -> tuple[str, int]:
    function, _, number = name.rpartition(" ")
    return function, int(number) if number.isdigit() else 0


def _replace(file: Path, columns: Sequence[str], room: str, rows: Iterable[Sequence[str]]) -> None:
    others = [[row[column] for column in columns] for row in _rows(file) if row["room"] != room]
    # Stable by room alone: within one the order is the caller's.
    together = sorted([*others, *map(list, rows)], key=lambda row: row[0])
    with file.open("w", newline="", encoding="utf-8") as opened:
        csv.writer(opened, lineterminator="\n").writerows([columns, *together])


def _rows(file: Path) -> list[dict[str, str]]:
    if not file.exists():
        return []
    with file.open(newline="", encoding="utf-8") as opened:
        return list(csv.DictReader(opened))
