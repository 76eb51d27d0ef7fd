"""The best amounts of a problem, by scipy's HiGHS: no shortage or excess, then least change.

Two programmes after each other:
1. the least total shortage and excess, each as a share of its limit (skipped when all can be met);
2. with no more shortage than that, the least total change, where each supplement in use counts TIE more.
   So of nearly equal amounts those with fewer supplements are taken, and the change is above the least by
   TIE per supplement at most: a thousandth of one ingredient, less than a kitchen can weigh.
"""

from dataclasses import dataclass
from functools import cached_property
from time import perf_counter

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

from recipes.reformulate.problem import Problem

FIRST_TRY = 0.7  # share of the time for amounts that meet everything
SHORT_SLACK = 1e-7  # what the second programme may fall short beyond the first
EXACT = 1e-7
FINE = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
OPTIMAL, LIMIT_REACHED = 0, 1


@dataclass(frozen=True)
class Solution:
    """grams per choice; short: total shortage and excess; change: with what is in use."""

    grams: np.ndarray
    short: float
    change: float
    proven: bool


class Programme:
    """The matrix of a problem. Columns: amounts | changes | shortages | supplement in use."""

    def __init__(self, problem: Problem):
        self.problem = problem
        self.limits = list(dict.fromkeys(row.limit for row in problem.elastic))
        self.moving = np.flatnonzero((problem.before_g > 0) & (problem.most_g > problem.least_g))
        self.optional = np.flatnonzero(problem.optional)
        sizes = [len(problem.unit_g), len(self.moving), len(self.limits), len(self.optional)]
        ends = np.cumsum([0, *sizes])
        self.amounts, self.changes, self.shortages, self.in_use = map(slice, ends[:-1], ends[1:])
        self.size = int(ends[-1])

    @cached_property
    def matrix(self) -> tuple[np.ndarray, np.ndarray]:
        """Rows and lower bounds: rows @ columns >= bounds."""
        blocks = [self._limits(), self._firm(), self._changes(), self._in_use()]
        return np.vstack([rows for rows, _ in blocks]), np.concatenate([bounds for _, bounds in blocks])

    def _over_amounts(self, rows) -> tuple[np.ndarray, np.ndarray]:
        block = np.zeros((len(rows), self.size))
        for index, row in enumerate(rows):
            block[index, self.amounts] = row.coefficients * self.problem.unit_g
        return block, np.array([row.bound for row in rows])

    def _limits(self):
        block, bounds = self._over_amounts(self.problem.elastic)
        number = {limit: index for index, limit in enumerate(self.limits)}
        for index, row in enumerate(self.problem.elastic):
            block[index, self.shortages.start + number[row.limit]] = 1
        return block, bounds

    def _firm(self):
        return self._over_amounts(self.problem.firm)

    def _changes(self):
        """A change is at least as large as the amount's way up, and its way down."""
        problem, moving = self.problem, self.moving
        per_unit = problem.unit_g[moving] / problem.change_g[moving]
        present = problem.before_g[moving] / problem.change_g[moving]
        up = np.zeros((len(moving), self.size))
        down = np.zeros((len(moving), self.size))
        rows = np.arange(len(moving))
        up[rows, self.changes.start + rows] = down[rows, self.changes.start + rows] = 1
        up[rows, moving], down[rows, moving] = -per_unit, per_unit
        return np.vstack([up, down]), np.concatenate([-present, present])

    def _in_use(self):
        """What is optional is at most its most, and nothing when it is not in use."""
        optional, most = self.optional, self.problem.column_bounds()[1][self.optional]
        block = np.zeros((len(optional) + 1, self.size))
        rows = np.arange(len(optional))
        block[rows, optional], block[rows, self.in_use.start + rows] = -1, most
        block[-1, self.in_use] = -1.0 * self.problem.is_supplement[optional]
        bounds = np.zeros(len(optional) + 1)
        bounds[-1] = -self.problem.most_supplements
        return block, bounds

    def column_bounds(self, elastic: bool) -> tuple[np.ndarray, np.ndarray]:
        least, most = np.zeros(self.size), np.full(self.size, np.inf)
        least[self.amounts], most[self.amounts] = self.problem.column_bounds()
        most[self.in_use] = 1
        if not elastic:
            most[self.shortages] = 0
        return least, most

    def shortage_cost(self) -> np.ndarray:
        cost = np.zeros(self.size)
        cost[self.shortages] = 1
        return cost

    def change_cost(self) -> np.ndarray:
        problem, cost = self.problem, np.zeros(self.size)
        cost[self.changes], cost[self.in_use] = 1, problem.in_use_cost[self.optional]
        new = np.flatnonzero(problem.before_g == 0)
        cost[new] = problem.unit_g[new] / problem.change_g[new]
        return cost

    def solve(
        self, cost: np.ndarray, *, elastic: bool, short: float | None = None, seconds: float, gap: float
    ) -> tuple[np.ndarray | None, int]:
        """The best columns (None when there are none) and the solver's status.

        short: the most that all shortages may come to.
        """
        rows, bounds = self.matrix
        if short is not None:
            rows, bounds = np.vstack([rows, -self.shortage_cost()]), np.append(bounds, -short)
        whole = np.zeros(self.size, dtype=bool)
        whole[self.amounts], whole[self.in_use] = self.problem.whole, True
        least, most = self.column_bounds(elastic)
        found = milp(
            cost,
            integrality=whole,
            bounds=Bounds(least, most),
            constraints=LinearConstraint(rows, lb=bounds),
            options={"time_limit": seconds, "mip_rel_gap": gap, "presolve": False},
        )
        if found.x is None:
            return None, found.status
        least[whole] = most[whole] = np.round(found.x[whole])
        exact = _linear(cost, rows, bounds, least, most, **FINE)
        return (found.x if exact.x is None else exact.x), found.status

    def relaxed(self):
        """The least shortage were everything divisible, with the duals of rows and bounds."""
        return _linear(self.shortage_cost(), *self.matrix, *self.column_bounds(elastic=True))

    def nearest(self, index: int, more: bool, short: float) -> float:
        """The least grams of a choice (if not `more`, the most) with no more than `short` falling short."""
        rows, bounds = self.matrix
        rows, bounds = np.vstack([rows, -self.shortage_cost()]), np.append(bounds, -short - SHORT_SLACK)
        cost = np.zeros(self.size)
        cost[index] = 1 if more else -1
        found = _linear(cost, rows, bounds, *self.column_bounds(elastic=True))
        return float(found.x[index] * self.problem.unit_g[index])

    def solution(self, columns: np.ndarray, proven: bool) -> Solution:
        problem = self.problem
        amounts = np.where(problem.whole, np.round(columns[self.amounts]), columns[self.amounts])
        return Solution(
            grams=amounts * problem.unit_g,
            short=float(columns[self.shortages].sum()),
            change=float(self.change_cost() @ columns),
            proven=proven,
        )


def solve(problem: Problem, seconds: float, gap: float = EXACT) -> Solution | None:
    """The best amounts, within about so many seconds; None when the firm rows cannot be met together.

    gap: by which share the answer may be worse than the best.
    """
    programme, end = Programme(problem), perf_counter() + seconds
    change, shortage = programme.change_cost(), programme.shortage_cost()
    met, status = programme.solve(change, elastic=False, seconds=seconds * FIRST_TRY, gap=gap)
    if met is not None:
        return programme.solution(met, status == OPTIMAL)
    known = status != LIMIT_REACHED
    least, status = programme.solve(shortage, elastic=True, seconds=_left(end) * 2 / 3, gap=gap)
    if least is None:
        return None
    known &= status == OPTIMAL
    short = float(shortage @ least) + SHORT_SLACK
    nearest, status = programme.solve(change, elastic=True, short=short, seconds=_left(end), gap=gap)
    if nearest is None:
        return programme.solution(least, False)
    return programme.solution(nearest, known and status == OPTIMAL)


def _linear(cost, rows, bounds, least, most, **options):
    """The linear programme with nothing whole: rows @ columns >= bounds."""
    return linprog(
        cost, A_ub=-rows, b_ub=-bounds, bounds=np.column_stack([least, most]), method="highs", options=options
    )


def _left(end: float) -> float:
    return max(0.05, end - perf_counter())
