"""A linear or whole-number programme, solved by HiGHS.

Nothing in it asks for the time: one thread, and limits in nodes, so that the same programme has the
same answer on every machine, however busy.
"""

from collections.abc import Sequence
from typing import Any

import highspy
import numpy as np

from pelmet.model.order.cutting.patterns import Floats

_TOLERANCE = 1e-9
"""How far a row, a dual or a whole number may be missed; all that is asked here is near 1."""
_OPTIONS: dict[str, bool | int | float | str] = {
    "output_flag": False,
    "threads": 1,  # the same steps, and so the same answer, each time
    "parallel": "off",
    "random_seed": 1,
    "mip_rel_gap": 0.0,
    "primal_feasibility_tolerance": _TOLERANCE,
    "dual_feasibility_tolerance": _TOLERANCE,
    "mip_feasibility_tolerance": _TOLERANCE,
}


class _Solver(highspy.Highs):
    """HiGHS that says nothing: by itself it greets on the first use, right across the screen."""

    def enableCallbacks(self) -> None:  # noqa: N802 -- the name is theirs
        """Set it up before its first word."""
        for name, value in _OPTIONS.items():
            self.setOptionValue(name, value)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class Programme:
    """Rows that are to be held, and columns that hold them at a cost."""

    def __init__(self, low: Sequence[float], high: Sequence[float]) -> None:
        self.solver = _Solver()  # type: ignore[no-untyped-call]
        nothing = np.zeros(0, dtype=np.int32)
        self.solver.addRows(
            len(low), np.array(low), np.array(high), 0, nothing, nothing, np.zeros(0)
        )
        self.costs: Floats = np.zeros(0)
        self.cost = 0.0

    def add(self, costs: Floats, matrix: Floats) -> None:
        """Add columns, a row of the matrix each."""
        columns, rows = np.nonzero(matrix)
        many = len(costs)
        starts = np.searchsorted(columns, np.arange(many))
        self.solver.addCols(
            many, costs, np.zeros(many), np.full(many, highspy.kHighsInf),
            len(rows), starts.astype(np.int32), rows.astype(np.int32), matrix[columns, rows],
        )  # fmt: skip
        self.costs = np.concatenate([self.costs, costs])

    def solve(self) -> tuple[Floats, Floats] | None:
        """Solve it in parts of columns: how much of each, and the dual value of each row.

        Both are rounded, lest what is equal is put in another order on another machine.
        """
        self.solver.run()
        if self.solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self.solver.getSolution()
        self.cost = self.solver.getInfo().objective_function_value
        return np.round(solution.col_value, 12), np.round(solution.row_dual, 12)

    def keep_between(self, values: Floats, least: float, most: float) -> None:
        """Ask that the columns taken, each at its value, come to no less and no more.

        A known answer is passed by this alone: given as a start, HiGHS 1.16 has been seen to carry
        it wrongly into the programme that it had made smaller, and to give it as the best.
        """
        self.solver.addRow(least, most, len(values), self._every, values)

    def solve_in_whole(self, apart: float, nodes: int) -> tuple[tuple[int, ...] | None, bool]:
        """Solve it in whole columns.

        Args:
            apart: It is done when no other answer costs so much less; above 0.
            nodes: Part answers that it looks at, at most.

        Returns:
            How often each column is taken, None if no answer was found; and whether it came to its
            end: if it did and found none, there is none.
        """
        solver = self.solver
        integer: Any = np.ones(len(self.costs), dtype=np.uint8)
        solver.changeColsIntegrality(len(self.costs), self._every, integer)
        solver.setOptionValue("mip_abs_gap", apart)
        solver.setOptionValue("mip_max_nodes", nodes)
        solver.run()
        status, info = solver.getModelStatus(), solver.getInfo()
        if status in {
            highspy.HighsModelStatus.kInfeasible,
            highspy.HighsModelStatus.kUnboundedOrInfeasible,
        }:
            return None, True
        times = None
        if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
            times = tuple(round(value) for value in solver.getSolution().col_value)
        return times, status == highspy.HighsModelStatus.kOptimal

    @property
    def _every(self) -> Any:
        return np.arange(len(self.costs), dtype=np.int32)
