"""A linear programme in whole numbers, solved by HiGHS to its proven end: one thread, one seed, the same answer each time.

Only the basket loads this module: HiGHS brings numpy with it, which takes longer to load than a short command runs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import ceil

import highspy
import numpy as np

Terms = Mapping[int, int]

_SEED = 1
# Whole numbers may be off by so much: a least order of a million then moves a sum by less than one.
_TOLERANCE = 1e-9
_BELOW_ONE = 0.5
_LOOK_UP = 0.1


@dataclass(frozen=True, slots=True)
class Solved:
    """Values of all columns, or None where there is no solution; ``bound`` is below the least value of the objective.

    ``proven``: no solution is better, or there is none.
    """

    values: tuple[int, ...] | None
    bound: int | None
    proven: bool


class _Silent(highspy.Highs):
    """A solver that prints nothing: without this it greets on the standard output as soon as it is made."""

    def enableCallbacks(self) -> None:
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]

    def run_until_stopped(self) -> None:
        """Solve in a thread, so that the keys that stop a program are heard meanwhile."""
        self.HandleKeyboardInterrupt = True
        self.startSolve()
        try:
            while not self.wait(_LOOK_UP)[0]:
                pass
        except KeyboardInterrupt:
            self.cancelSolve()  # type: ignore[no-untyped-call]
            while not self.wait(_LOOK_UP)[0]:
                pass
            raise


class Program:
    """Columns between zero and some whole number, rows between two bounds."""

    def __init__(self, left: Callable[[], float]) -> None:
        """``left`` says how many seconds are left to solve in."""
        self._left = left
        self._upper: list[float] = []
        self._whole: list[bool] = []
        self._rows: list[tuple[Terms, float, float]] = []

    def column(self, upper: float = 1, *, whole: bool = True) -> int:
        """A new column, from zero up."""
        self._upper.append(upper)
        self._whole.append(whole)
        return len(self._upper) - 1

    def at_least(self, terms: Terms, low: int) -> int:
        """A row: the sum of coefficients times columns is not below ``low``."""
        self._rows.append((terms, low, highspy.kHighsInf))
        return len(self._rows) - 1

    def at_most(self, terms: Terms, high: int) -> int:
        """A row: the sum is not above ``high``."""
        self._rows.append((terms, -highspy.kHighsInf, high))
        return len(self._rows) - 1

    def minimise(self, objective: Terms) -> Solved:
        """The least value of a sum, in whole numbers."""
        left = self._left()
        if left <= 0:
            return Solved(None, None, proven=False)
        if not self._upper:
            kept = all(low <= 0 <= high for _, low, high in self._rows)
            return Solved(() if kept else None, 0 if kept else None, proven=True)
        solver = _Silent()  # type: ignore[no-untyped-call]
        for name, value in _OPTIONS.items():
            solver.setOptionValue(name, value)
        solver.setOptionValue("time_limit", left)
        solver.passModel(self._model(objective))
        solver.run_until_stopped()
        return self._solved(solver)

    def _solved(self, solver: highspy.Highs) -> Solved:
        status = solver.getModelStatus()
        if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
            return Solved(None, None, proven=True)
        info = solver.getInfo()
        proven = status == highspy.HighsModelStatus.kOptimal
        least = info.objective_function_value if proven else info.mip_dual_bound
        bound = ceil(least - _BELOW_ONE) if abs(least) < highspy.kHighsInf else None
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return Solved(None, bound, proven=False)
        return Solved(tuple(round(one) for one in solver.getSolution().col_value), bound, proven)

    def _model(self, objective: Terms) -> highspy.HighsLp:
        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self._upper), len(self._rows)
        costs = np.zeros(len(self._upper))
        costs[list(objective.keys())] = list(objective.values())
        model.col_cost_ = costs
        model.col_lower_ = np.zeros(len(self._upper))
        model.col_upper_ = np.array(self._upper, dtype=float)
        kinds = highspy.HighsVarType
        model.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in self._whole]
        model.row_lower_ = np.array([low for _, low, _ in self._rows], dtype=float)
        model.row_upper_ = np.array([high for _, _, high in self._rows], dtype=float)
        matrix = model.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_ = np.cumsum([0, *(len(terms) for terms, _, _ in self._rows)])
        matrix.index_ = np.array([at for terms, _, _ in self._rows for at in terms], dtype=np.int32)
        values = [value for terms, _, _ in self._rows for value in terms.values()]
        matrix.value_ = np.array(values, dtype=float)
        return model


_OPTIONS = {
    "threads": 1,
    "random_seed": _SEED,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": _BELOW_ONE,
    "mip_feasibility_tolerance": _TOLERANCE,
    "primal_feasibility_tolerance": _TOLERANCE,
}
