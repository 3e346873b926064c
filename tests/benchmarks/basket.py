"""The cheapest basket: over 3,000 offers, jobs on days of their own, against the sweep of verdicts; over scarce shims against CP-SAT."""

from __future__ import annotations

import csv
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import process_time

from ortools.sat.python import cp_model

from broachplan.buying.assignment import assign
from broachplan.buying.basket.find import Asked, find_basket
from broachplan.buying.basket.result import Basket
from broachplan.buying.basket.supply import Alike, Supply
from broachplan.buying.basket.ways import Ways, WayToCut
from broachplan.buying.coming import sharing_among
from broachplan.buying.offers import OfferBook
from broachplan.buying.verdicts import Judge
from broachplan.lengths import parse_length
from tests.benchmarks import verdicts
from tests.benchmarks.hubs import random_hubs
from tests.benchmarks.random_crib import make_crib
from tests.benchmarks.ratios import ROOT, process, shown, side_by_side
from tests.benchmarks.scarce import Scarce, scarce

MOST_RATIO = 10.0
_PIECES, _JOBS, _OFFERS, _BLOCKED, _SEED, _TIMES = 10_000, 2_000, 3_000, 20, 1, 3
_NEAR_MM = 0.13


def main() -> int:
    """Print both; 1 where the basket and CP-SAT differ."""
    _many_offers()
    return _scarce_shims()


# -- many offers -----------------------------------------------------------------------------------------------


def _many_offers() -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        file, offers = _crib_and_offers(folder)
        verdicts.import_jobs(file, _JOBS, own_days=True)
        asked = verdicts.arguments(file)
        paired = side_by_side(
            process(("-m", "broachplan", *asked, "--offers", str(offers)), code=3),
            process(("-m", "broachplan", *asked), code=3),
            _TIMES,
        )
        buy = verdicts.answer(file, "--offers", str(offers))["buy"]
        what = f"{_OFFERS:,} offers, {len(buy['lines'])} lines, {buy['status']}, {len(buy['still'])} jobs not ready"
        print(shown(what, paired, MOST_RATIO), flush=True)


def _crib_and_offers(folder: Path) -> tuple[Path, Path]:
    """A crib without any bushing for some of the hubs' bores, and a list in which those are offered among others."""
    whole = folder / "whole.db"
    make_crib(whole, _PIECES, seed=_SEED)
    _run("crib", "export", str(folder / "crib"), "--db", str(whole))
    bores = _bores()
    path = folder / "crib" / "bushings.csv"
    with path.open(encoding="utf-8", newline="") as rows:
        bushings = list(csv.DictReader(rows))
    gone = [row for row in bushings if _near(row["outside_diameter"], bores)]
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, bushings[0].keys())
        writer.writeheader()
        writer.writerows(row for row in bushings if row not in gone)
    file = folder / "crib.db"
    _run("crib", "import", str(folder / "crib"), "--db", str(file))
    more = folder / "more.db"
    make_crib(more, 2 * _OFFERS, seed=_SEED + 1)
    _run("crib", "export", str(folder / "more"), "--db", str(more))
    offers = folder / "offers.csv"
    _write_offers(offers, gone, folder / "more")
    return file, offers


def _bores() -> list[int]:
    found: list[int] = []
    for words in random_hubs(300, seed=_SEED):
        given = dict(zip(words[::2], words[1::2], strict=True))
        bore = parse_length(given["--bore"].partition(" +")[0], "bore").nm
        if bore not in found:
            found.append(bore)
    return found[:_BLOCKED]


def _near(text: str, bores: Sequence[int]) -> bool:
    od = parse_length(text, "outside diameter").nm
    return any(0 <= bore - od <= _NEAR_MM * 1_000_000 for bore in bores)


def _write_offers(path: Path, gone: Sequence[Mapping[str, str]], more: Path) -> None:
    random = Random(_SEED)
    rows: list[dict[str, str]] = [{"kind": "bushing", **row} for row in gone]
    for kind in ("broaches", "bushings", "shims"):
        with (more / f"{kind}.csv").open(encoding="utf-8", newline="") as file:
            some = [
                {"kind": kind.removesuffix("es" if kind == "broaches" else "s"), **row}
                for row in csv.DictReader(file)
            ]
        rows += [row for row in some if row["kind"] != "shim" or row["thickness"]]
    figures = sorted(
        {name for row in rows for name in row} - {"tag", "kind", "set", "home", "condition", "note"}
    )
    figures = [name for name in figures if not name.startswith("measured")]
    names = ("offer", "kind", "price", "lead_days", "currency", "supplier", "shipping", *figures)
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, names, extrasaction="ignore")
        writer.writeheader()
        for at, row in enumerate(random.sample(rows[len(gone) :], _OFFERS - len(gone)) + rows[: len(gone)]):
            supplier = random.randrange(5)
            writer.writerow(
                row
                | {
                    "offer": f"O-{at:04}",
                    "price": f"{random.randrange(800, 20_000) / 100:.2f}",
                    "lead_days": random.randrange(40),
                    "currency": "USD",
                    "supplier": f"S-{supplier}",
                    "shipping": f"{4 + supplier}.00",
                }
            )


def _run(*arguments: str) -> None:
    subprocess.run(
        [sys.executable, "-m", "broachplan", *arguments], cwd=ROOT, check=True, stdout=subprocess.DEVNULL
    )


# -- scarce shims ----------------------------------------------------------------------------------------------


def _scarce_shims() -> int:
    wrong = 0
    for of in (scarce(2, 8, 4),):
        begun = process_time()
        basket = _basket(of)
        ours = process_time() - begun
        begun = process_time()
        expected = _by_cp_sat(of, len(of.jobs) - len(basket.still))
        theirs = process_time() - begun
        units = sum(line.quantity for line in basket.lines)
        same = expected == (basket.total, units)
        wrong += not same
        what = f"{len(of.jobs)} jobs on {of.days} days, {len(of.book.offers)} offers"
        print(
            f"{what}: {basket.total} in {units} units, {basket.status}; CP-SAT {'the same' if same else expected}"
        )
        print(f"    {ours:.1f} s, CP-SAT {theirs:.1f} s with all ways given to it", flush=True)
    return int(wrong > 0)


def _basket(of: Scarce) -> Basket:
    sharing = sharing_among(of.jobs)
    now = assign(of.jobs, Judge(of.crib, of.settings, of.today, sharing), plans=False)
    return find_basket(Asked(now, of.crib, of.book, of.settings, of.today, sharing), lambda: 3_600.0)


def _by_cp_sat(of: Scarce, ready: int) -> tuple[int, int] | None:
    """Least cost, then fewest units, of a basket that readies so many jobs: every way to cut each with every smallest set of shims.

    Nothing is at hand and nothing left out: each way says all pieces that it takes.
    """
    supply = Supply(of.crib, of.book, of.settings, of.today, sharing_among(of.jobs))
    model = cp_model.CpModel()
    units = {one.name: model.new_int_var(0, one.available, one.name) for one in of.book.offers}
    used: dict[tuple[Alike, object], list[object]] = {}
    done = []
    for job in of.jobs:
        ways = Ways(supply.judge.serving(job), supply.judge.off(job), frozenset(), supply)
        ways.find_sets(lambda: 3_600.0)
        chosen = []
        for way, counts in _every(ways):
            column = model.new_bool_var("")
            chosen.append(column)
            for alike, count in [*((one, 1) for one in way.needs), *counts.items()]:
                for day in job.days:
                    used.setdefault((alike, day), []).append(count * column)
        model.add(sum(chosen) <= 1)
        done += chosen
    model.add(sum(done) >= ready)
    for (alike, _), some in used.items():
        model.add(sum(some) <= len(alike.crib) + sum(n * units[name] for name, n in alike.offered.items()))
    cost = _cost(model, of.book, units)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    model.minimize(cost)
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    least = round(solver.objective_value)
    model.add(cost <= least)
    model.minimize(sum(units.values()))
    return (least, round(solver.objective_value)) if solver.solve(model) == cp_model.OPTIMAL else None


def _every(ways: Ways) -> Sequence[tuple[WayToCut, Mapping[Alike, int]]]:
    return [(way, counts) for way in ways.ways for counts in way.sets or ()]


def _cost(model: cp_model.CpModel, book: OfferBook, units: Mapping[str, object]) -> object:
    cost = sum(one.price * units[one.name] for one in book.offers)
    for supplier in book.suppliers:
        lines = [one for one in book.offers if one.supplier == supplier.name]
        used, short = model.new_bool_var(""), model.new_int_var(0, supplier.minimum, "")
        spent = sum(one.price * units[one.name] for one in lines)
        for one in lines:
            model.add(units[one.name] <= one.available * used)
        model.add(short + spent >= supplier.minimum * used)
        cost += supplier.shipping * used + short
    return cost
