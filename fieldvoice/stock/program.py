"""A linear or whole-number program, handed to HiGHS. Its answers are floats: whoever asks checks them in exact numbers.

The same program gives the same answer: one thread, a fixed seed, and limits that count nodes, not seconds.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from math import inf
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import highspy


PRIMAL = 4
"""HiGHS's number for the primal simplex: a program that gets more columns goes on from where it stood, which took a
third of the time of the dual one on odd walls."""


@dataclass(frozen=True, slots=True)
class Solution:
    """Values of the columns, the prices of the rows (linear programs only), the objective, and the least that it can
    be. `values` is empty where no solution was found; `infeasible` where none exists.
    """

    values: Sequence[float]
    prices: Sequence[float]
    objective: float
    bound: float
    infeasible: bool = False


@dataclass(slots=True)
class Program:
    """Columns with cost and bounds, rows with bounds; minimized."""

    costs: list[float] = field(default_factory=list)
    uppers: list[float] = field(default_factory=list)
    lowers: list[float] = field(default_factory=list)
    entries: list[dict[int, float]] = field(default_factory=list)
    row_lowers: list[float] = field(default_factory=list)
    row_uppers: list[float] = field(default_factory=list)

    def column(
        self, cost: float, upper: float = inf, lower: float = 0.0, entries: dict[int, float] | None = None
    ) -> int:
        """Add a column; returns its index."""
        self.costs.append(cost)
        self.uppers.append(upper)
        self.lowers.append(lower)
        self.entries.append({} if entries is None else entries)
        return len(self.costs) - 1

    def row(self, coefficients: Mapping[int, float], lower: float = -inf, upper: float = inf) -> int:
        """Add a row over columns that are there; returns its index."""
        index = len(self.row_lowers)
        self.row_lowers.append(lower)
        self.row_uppers.append(upper)
        for column, coefficient in coefficients.items():
            self.entries[column][index] = self.entries[column].get(index, 0.0) + coefficient
        return index

    def enter(self, column: int, row: int, coefficient: float) -> None:
        """Add a coefficient."""
        self.entries[column][row] = self.entries[column].get(row, 0.0) + coefficient

    def solver(self, *, whole: bool) -> highspy.Highs:
        """HiGHS with this program in it."""
        import highspy
        import numpy as np

        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.costs), len(self.row_lowers)
        lp.col_cost_ = np.array(self.costs, dtype=float)
        lp.col_lower_, lp.col_upper_ = np.array(self.lowers, dtype=float), np.array(self.uppers, dtype=float)
        lp.row_lower_, lp.row_upper_ = np.array(self.row_lowers, dtype=float), np.array(self.row_uppers, dtype=float)
        lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
        starts: list[int] = [0]
        indices: list[int] = []
        values: list[float] = []
        for entries in self.entries:
            indices += entries.keys()
            values += entries.values()
            starts.append(len(indices))
        lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array(indices, dtype=np.int32)
        lp.a_matrix_.value_ = np.array(values, dtype=np.float64)
        if whole:
            lp.integrality_ = [highspy.HighsVarType.kInteger] * len(self.costs)
        _quiet()
        highs = highspy.Highs()  # type: ignore[no-untyped-call]
        for option, value in (("output_flag", False), ("threads", 1), ("parallel", "off"), ("random_seed", 17)):
            highs.setOptionValue(option, value)
        if not whole:
            highs.setOptionValue("simplex_strategy", PRIMAL)
        highs.passModel(lp)
        return highs

    def whole(self, *, nodes: int, gap: float = 0.0, effort: float = 0.05) -> Solution:
        """Solve it in whole numbers: at most `nodes` nodes of the search, until the objective is within `gap` of the
        bound. `effort` is the share of work that goes into guesses.

        No known solution is handed over: HiGHS 1.16 can carry a start wrongly into its reduced problem, and then calls
        it better than it is. Whoever has one asks for better ones with a row.
        """
        import highspy

        highs = self.solver(whole=True)
        limits = (
            ("mip_max_nodes", nodes),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", gap),
            ("mip_heuristic_effort", effort),
            ("mip_allow_restart", False),  # as good plans in a third less of the time, measured on houses
        )
        for option, value in limits:
            highs.setOptionValue(option, value)
        highs.run()
        info, status = highs.getInfo(), highs.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return Solution((), (), inf, inf, infeasible=True)
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        values = list(highs.getSolution().col_value) if found else []
        objective = info.objective_function_value if found else inf
        return Solution(values, (), objective, min(objective, info.mip_dual_bound))


def linear_answer(highs: highspy.Highs) -> Solution:
    """Run a linear program that may have grown since, from where it last stood."""
    import highspy

    highs.run()
    if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return Solution((), (), inf, -inf, infeasible=True)
    solution, info = highs.getSolution(), highs.getInfo()
    value = info.objective_function_value
    return Solution(list(solution.col_value), list(solution.row_dual), value, value)


@cache
def _quiet() -> None:
    """The first solver of a process writes its version to standard output, where only data may go, whatever its options
    say: for that once the output is turned away.
    """
    import highspy

    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        highspy.Highs()  # type: ignore[no-untyped-call]
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
