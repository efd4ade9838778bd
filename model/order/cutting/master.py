"""The linear and the whole-number programme over patterns, solved by HiGHS."""

from collections.abc import Sequence
from typing import Any, NamedTuple

import highspy
import numpy as np

from pelmet.model.order.cutting.patterns import Floats

TOLERANCE = 1e-9
"""How far a row, a dual or a whole number may be missed; all that is asked here is near 1."""
ANY_NODES = 1 << 30
"""No limit but that of time."""
_OPTIONS: dict[str, bool | int | float | str] = {
    "output_flag": False,
    "threads": 1,  # the same steps, and so the same answer, each time
    "parallel": "off",
    "random_seed": 1,
    "mip_rel_gap": 0.0,
    "primal_feasibility_tolerance": TOLERANCE,
    "dual_feasibility_tolerance": TOLERANCE,
    "mip_feasibility_tolerance": TOLERANCE,
}


class _Solver(highspy.Highs):
    """HiGHS that says nothing: by itself it greets on the first use, right across the screen."""

    def enableCallbacks(self) -> None:  # noqa: N802 -- the name is theirs
        """Set it up before its first word."""
        for name, value in _OPTIONS.items():
            self.setOptionValue(name, value)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


class Found(NamedTuple):
    """What came of the whole-number programme."""

    times: tuple[int, ...] | None
    """How often each column is taken; None: none was found."""
    bound: float
    """No whole-number answer costs less, but for the rounding of floating point."""
    done: bool
    """Whether it came to its end; if it did and found none, there is none."""


class Master:
    """Rows that are to be held, and columns that hold them at a cost."""

    def __init__(self, low: Sequence[float], high: Sequence[float]) -> None:
        self.solver = _Solver()  # type: ignore[no-untyped-call]
        nothing = np.zeros(0, dtype=np.int32)
        self.solver.addRows(
            len(low), np.array(low), np.array(high), 0, nothing, nothing, np.zeros(0)
        )
        self.costs: Floats = np.zeros(0)

    @property
    def size(self) -> int:
        """Give the number of columns."""
        return len(self.costs)

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

    def relaxed(self) -> tuple[Floats, Floats] | None:
        """Solve it in parts of columns: how much of each, and the dual value of each row."""
        self.solver.run()
        if self.solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self.solver.getSolution()
        return np.array(solution.col_value), np.array(solution.row_dual)

    def cost_between(self, least: float, most: float) -> None:
        """Look for nothing that costs more, and for nothing better where one costs the least.

        A known answer is passed by this alone: given as a start, HiGHS 1.16 has been seen to carry
        it wrongly into the programme that it had made smaller, and to give it as the best.
        """
        every = np.arange(self.size, dtype=np.int32)
        self.solver.addRow(least, most, self.size, every, self.costs)

    def in_whole(self, seconds: float, apart: float, nodes: int) -> Found:
        """Solve it in whole columns.

        Args:
            seconds: Time for it. [s]
            apart: It is done when no other answer costs so much less; above 0.
            nodes: Part answers that it looks at, at most.
        """
        solver, every = self.solver, np.arange(self.size, dtype=np.int32)
        integer: Any = np.ones(self.size, dtype=np.uint8)
        solver.changeColsIntegrality(self.size, every, integer)
        solver.setOptionValue("mip_abs_gap", apart)
        solver.setOptionValue("mip_max_nodes", nodes)
        solver.setOptionValue("time_limit", max(seconds, 0.01))
        solver.run()
        status, info = solver.getModelStatus(), solver.getInfo()
        none = status in {
            highspy.HighsModelStatus.kInfeasible,
            highspy.HighsModelStatus.kUnboundedOrInfeasible,
        }
        done = none or status == highspy.HighsModelStatus.kOptimal
        times = None
        if (
            not none
            and info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        ):
            times = tuple(round(value) for value in solver.getSolution().col_value)
        return Found(times, info.mip_dual_bound, done)
