"""Anything in place of a length, of limits or of a CSV file is read or refused: at once, and never by a fault.

Inputs are right ones that were changed by chance, so that many are nearly right; a number gives the same ones each time.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import time
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from decimal import Decimal
from typing import Any

import pytest

from broachplan.errors import InputError
from broachplan.lengths import Length, Limits, read_length, read_limits, write_exact
from broachplan.store.csv_columns import FILE_NAMES, all_columns, needed_columns
from broachplan.store.csv_file import decoded
from broachplan.store.csv_form import read_form
from broachplan.store.export import as_csv
from broachplan.tooling.figures import Kind

A_MILLION = 1_000_000
LENGTHS = (
    "1 in", "1/4 in", "1-1/4 in", "1 1/4 in", "0.2510 in", ".5 in", "30 mm", "30,5 mm", "2.5 cm", "0.9 m", "625 thou",
    '5/8"', "⅝ in", "1½ in", "1⁄64 in", "10 metres", "3 Inches", "12.345678 millimetres", "9999 mm", "0,125 in",
)  # fmt: skip
LIMITS = (
    "1 in +0.001 -0.000", "8 mm +0.018 -0.018", "8 mm ±0.018", "25 mm +0.021 0", "8 mm -0.015 -0.051",
    "1 in +0.001/-0.000", "1-1/4 in +1/64 -1/32", "625 thou +1 -0", "8 mm +/-0,018", "1 in +0.001 in -0.002 in", "30 mm",
)  # fmt: skip
CELLS = (
    "", "", "", "", *LENGTHS, "S-1", "B-250", "fit", "worn", "unfit", "Fit ", "2031-05-02", "12", "2", "0.02 in^2",
    "13 mm^2", "30 kN", "2000 lbf", "20 tons", "drawer 4", "'=1+1", "micrometer", "yes", "no", "A/1/03",
)  # fmt: skip
PARTS = (
    *"0123456789 /-+.,±½¼\"'=\t\r\n\0;%e", "in", "mm", "m", "thou", "1/", "/0", "--", "+-", "٣", "１", "″", "”", "\u2212",
    "\u00a0", "\u202f", "\u200b", "\u202e", "\ud800", "\U0001f469", "e9", "9" * 50, "(", "[", "{0}", "\x1b[2J", "é", '""',
)  # fmt: skip


def changed(text: str, chance: random.Random) -> str:
    """The text with none to some changes: parts put in, taken out, doubled, turned round or made long."""
    for _ in range(chance.choice((0, 1, 1, 1, 2, 2, 3, 6))):
        start, end = sorted(chance.randint(0, len(text)) for _ in range(2))
        piece = text[start:end]
        piece = chance.choice(
            (
                chance.choice(PARTS),
                piece + chance.choice(PARTS),
                chance.choice(PARTS) + piece,
                "",
                piece * 2,
                piece[::-1],
                piece.upper(),
                piece * chance.choice((2, 3, 40, 400)) if chance.random() < 0.1 else piece,
            )
        )
        text = text[:start] + piece + text[end:]
    return text


def read_a_length(text: str) -> bool:
    """A length that is read is read the same from its own writing."""
    try:
        length = read_length(text).length
    except InputError:
        return False
    assert length.nm > 0
    assert read_length(write_exact(length)).length == length
    return True


def read_some_limits(text: str) -> bool:
    """Limits that are read are read the same from their nominal and deviations."""
    try:
        limits = read_limits(text).limits
    except InputError:
        return False
    assert Length(0) < limits.lower <= limits.upper
    assert read_limits(written(limits)).limits == limits
    return True


def written(limits: Limits) -> str:
    """Limits in millimetres to the last nanometre."""
    low, high = (each - limits.nominal for each in (limits.lower, limits.upper))
    nominal, upper, lower = (Decimal(each.nm).scaleb(-6) for each in (limits.nominal, high, low))
    return f"{nominal:f} mm {upper:+f} {lower:+f}"


def read_a_file(name: str, data: bytes) -> bool:
    """Records that are read from a file are read the same from their own export."""
    try:
        filled = read_form(decoded(data, name))
    except InputError:
        return False
    if filled.problems:
        return False
    records = [entry.record for entry in filled.entries]
    again = read_form(decoded(as_csv(filled.kind, records).encode(), FILE_NAMES[filled.kind]))
    assert again.problems == []
    assert [entry.record for entry in again.entries] == records
    return bool(records)


def a_length(chance: random.Random) -> tuple[str]:
    """What may be a length."""
    return (changed(chance.choice(LENGTHS), chance),)


def some_limits(chance: random.Random) -> tuple[str]:
    """What may be limits."""
    return (changed(chance.choice(LIMITS), chance),)


def a_file(chance: random.Random) -> tuple[str, bytes]:
    """A file's name, and a few rows of cells, each perhaps changed, and then perhaps the whole of it."""
    kind = chance.choice([*Kind])
    needed = needed_columns(kind)
    columns = [each for each in all_columns(kind) if each in needed or chance.random() < 0.6]
    rows = [columns]
    for number in range(chance.randint(0, 3)):
        row = dict.fromkeys(columns, "") | {"tag": f"T-{number}"}
        for column in chance.sample(columns, chance.randint(0, 3)):
            row[column] = chance.choice(CELLS)
            if chance.random() < 0.3:
                row[column] = changed(row[column], chance)
        rows.append([*row.values()])
    ends = chance.choice(("\n", "\n", "\r\n", "\r"))
    text = ends.join(",".join(row) for row in rows)
    if chance.random() < 0.3:
        text = changed(text, chance)
    data = text.encode("utf-8", "surrogatepass")
    if chance.random() < 0.1:
        place = chance.randint(0, len(data))
        data = data[:place] + chance.randbytes(chance.randint(0, 3)) + data[place:]
    return FILE_NAMES[kind] if chance.random() < 0.8 else "whatever.csv", data


# Of ten inputs five lengths, three limits and two files: how each is made, and how it is read.
FAMILIES: tuple[tuple[Callable[[random.Random], tuple[Any, ...]], Callable[..., bool]], ...] = (
    *[(a_length, read_a_length)] * 5,
    *[(some_limits, read_some_limits)] * 3,
    *[(a_file, read_a_file)] * 2,
)
SLOW = 1.0


def fuzz(seed: int, count: int) -> tuple[list[str], Counter[str]]:
    """Try so many inputs; what went wrong, and how many of each family were read."""
    chance, wrong, accepted = random.Random(seed), list[str](), Counter[str]()
    for number in range(count):
        make, read = FAMILIES[number % len(FAMILIES)]
        made = make(chance)
        start = time.process_time()
        try:
            accepted[read.__name__] += read(*made)
        except Exception as error:
            wrong.append(f"{made!r:.500}: {type(error).__name__} {error!s:.300}")
        if time.process_time() - start > SLOW:
            wrong.append(f"{made!r:.500}: over a second")
    return wrong, accepted


def test_thousands_of_inputs_are_read_or_refused_at_once() -> None:
    wrong, accepted = fuzz(2031, 4000)

    assert wrong == []
    assert accepted["read_a_length"] > 300
    assert accepted["read_some_limits"] > 150
    assert accepted["read_a_file"] > 50


@pytest.mark.nightly
def test_a_million_inputs_are_read_or_refused_at_once() -> None:
    lot = 20_000
    # A server of processes that nothing runs in yet: a fork of this one would take its threads' locks along.
    context = multiprocessing.get_context("forkserver")
    with ProcessPoolExecutor(os.cpu_count(), mp_context=context) as workers:
        results = list(workers.map(fuzz, range(A_MILLION // lot), [lot] * (A_MILLION // lot)))

    assert [line for wrong, _ in results for line in wrong] == []
