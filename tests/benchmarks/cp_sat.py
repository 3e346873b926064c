"""The pass sequence as a model for OR-Tools CP-SAT: fewest passes, then tenths off aim, then shims handled.

The model is stated as kindly to the solver as we know how: lengths are whole multiples of the shims' common divisor,
passes are tried from a lower bound upward, each total has its reachable range, no tenth off aim is tried before all
are weighed.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import gcd
from typing import Any

from ortools.sat.python import cp_model

from tests.benchmarks.drawers import STACK_MOST, PassCase, thicknesses


@dataclass(frozen=True)
class Optimum:
    """What the criteria settle: passes, tenths off aim of the last reading, shims handled over all passes."""

    passes: int
    tenths: int
    handled: int


@dataclass(frozen=True)
class _Units:
    """A case in units of the shims' common divisor; totals of the last pass are those within the limits."""

    unit: int
    lift_nm: int
    sizes: tuple[int, ...]
    first: tuple[int, int]
    last: tuple[int, int]
    advance: int

    @classmethod
    def of(cls, case: PassCase) -> _Units:
        most = case.most_total_nm
        usable = [nm for nm in thicknesses(case.shims) if nm <= most]
        unit = gcd(*usable) or max(most, 1)
        lift = case.web_nm + case.teeth.last_nm
        past = case.section.first_metal_floor_nm + 1 - lift
        enters = case.section.highest_within_a_rise(case.teeth.rise) - case.web_nm - case.teeth.first_nm
        return cls(
            unit,
            lift,
            tuple(nm // unit for nm in usable),
            (-(-max(past, 0) // unit), enters // unit),
            (max(-(-(case.target.lower - lift) // unit), 0), (case.target.upper - lift) // unit),
            case.teeth.advance_nm // unit,
        )

    def least_passes(self) -> int:
        """No fewer passes can come from the first range to the last."""
        gap = self.last[0] - self.first[1]
        return 1 if gap <= 0 or self.advance <= 0 else 1 - (-gap // self.advance)

    def of_pass(self, k: int, passes: int) -> tuple[int, int]:
        """The range of the total of pass ``k`` (0 the first) that the others leave it."""
        left = passes - 1 - k
        low = max(self.first[0] + k, self.last[0] - left * self.advance)
        high = min(self.first[1] + k * self.advance, self.last[1] - left)
        return low, high


def solve(case: PassCase, most_passes: int, *, tuned: bool = True) -> Optimum | None:
    """The optimum, proven; None when no sequence of at most ``most_passes`` exists.

    ``tuned`` takes the settings that were quickest over random cases, otherwise the solver's own but one worker.
    """
    units = _Units.of(case)
    for passes in range(units.least_passes(), most_passes + 1):
        found = _on_aim(case, units, passes, tuned) or _weighed(case, units, passes, tuned)
        if found is not None:
            return found
    return None


@dataclass(frozen=True)
class _Model:
    model: Any
    last: Any
    handled: Any


def _on_aim(case: PassCase, units: _Units, passes: int, tuned: bool) -> Optimum | None:
    """The fewest shims handled with the last reading less than one tenth off its aim."""
    stated = _stated(units, passes)
    readings = case.target.of_tenth(0)
    if stated is None or not readings:
        return None
    least = -(-(min(low for low, _ in readings) - units.lift_nm) // units.unit)
    most = (max(high for _, high in readings) - units.lift_nm) // units.unit
    if least > most:
        return None
    stated.model.add_linear_constraint(stated.last, least, most)
    stated.model.minimize(stated.handled)
    solver = _run(stated.model, tuned)
    return None if solver is None else Optimum(passes, 0, round(solver.objective_value))


def _weighed(case: PassCase, units: _Units, passes: int, tuned: bool) -> Optimum | None:
    """Tenths off aim and shims handled in one objective; a tenth outweighs all the shims there can be."""
    stated = _stated(units, passes)
    if stated is None:
        return None
    model, target = stated.model, case.target
    width = target.upper - target.lower
    tenths = model.new_int_var(0, 10, "")
    off_aim = stated.last * (2 * units.unit) + (2 * units.lift_nm - target.twice_aim)
    model.add(10 * off_aim <= 2 * width * (tenths + 1) - 1)
    model.add(-10 * off_aim <= 2 * width * (tenths + 1) - 1)
    tenth = STACK_MOST * passes + 1
    model.minimize(tenths * tenth + stated.handled)
    solver = _run(model, tuned)
    return None if solver is None else Optimum(passes, *divmod(round(solver.objective_value), tenth))


def _stated(units: _Units, passes: int) -> _Model | None:
    """Stacks, totals and steps; None where some pass has no range at all."""
    model = cp_model.CpModel()
    totals, counts = [], []
    for k in range(passes):
        low, high = units.of_pass(k, passes)
        if low > high:
            return None
        taken = [model.new_bool_var("") for _ in units.sizes]
        total, count = model.new_int_var(low, high, ""), model.new_int_var(0, STACK_MOST, "")
        model.add(cp_model.LinearExpr.weighted_sum(taken, units.sizes) == total)
        model.add(cp_model.LinearExpr.sum(taken) == count)
        totals.append(total)
        counts.append(count)
    for before, after in pairwise(totals):
        model.add_linear_constraint(after - before, 1, units.advance)
    return _Model(model, totals[-1], cp_model.LinearExpr.sum(counts))


def _run(model: Any, tuned: bool) -> Any:
    """The solver with a proven optimum; None where there is proven to be no solution."""
    solver = cp_model.CpSolver()
    settings = solver.parameters
    settings.num_workers = 1
    settings.random_seed = 1
    if tuned:
        # Models this small are solved in less time than it takes to simplify them.
        settings.cp_model_presolve = False
        settings.symmetry_level = 0
        settings.cp_model_probing_level = 0
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return None
    if status != cp_model.OPTIMAL:
        raise SystemExit(f"CP-SAT came to no end: {solver.status_name(status)}")
    return solver
