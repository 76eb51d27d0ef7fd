"""Amounts that a kitchen can weigh: moved foods in whole steps where every limit holds, else in 0.1 g."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from recipes.reformulate.problem import Problem
from recipes.reformulate.proposal import Choice
from recipes.reformulate.solving import Solution, solve

FINE_G = (0.1, 0.01)
STEPS_AROUND = 20  # how far from the best amount a whole step may be looked for
MORE_SHORT = 0.01  # by which an answer that falls short may fall further short for the sake of whole steps
SECONDS = 0.12  # for each try
GOOD_ENOUGH = 0.02  # share by which whole steps may change more than the nearest ones would
MOVED = 1e-6  # share of one change from which an amount counts as moved


def weighable(problem: Problem, choices: Sequence[Choice], best: Solution) -> np.ndarray:
    """The best amounts [g] with every moved food in whole steps of its own, else of 0.1 g.

    Doses stay as they are. Where 0.1 g are too coarse 0.01 g are taken, and at last the amounts unrounded:
    what holds, and above all what must not be raised, is not given up for round numbers.
    """
    moved = ~problem.whole & (np.abs(best.grams - problem.before_g) > MOVED * problem.change_g)
    moved &= problem.most_g > problem.least_g
    if not moved.any():
        return _settled(problem, best.grams, moved)
    own = np.array([choice.portion.step_g or FINE_G[0] for choice in choices])
    for step_g in (own, *(np.full(len(own), fine) for fine in FINE_G)):
        found = _in_steps(problem, best, moved, step_g)
        if found is not None and found.short <= best.short + MORE_SHORT:
            return _settled(problem, found.grams, moved)
    return _settled(problem, best.grams, moved)


def _in_steps(problem: Problem, best: Solution, moved: np.ndarray, step_g: np.ndarray) -> Solution | None:
    """The best amounts in whole steps near the solution that keep what it holds; None when there are none."""
    steps = best.grams / step_g
    least = np.maximum(np.floor(steps) - STEPS_AROUND, np.ceil(problem.least_g / step_g - MOVED))
    most = np.minimum(np.ceil(steps) + STEPS_AROUND, np.floor(problem.most_g / step_g + MOVED))
    if (least > most)[moved].any():
        return None
    settled = _settled(problem, best.grams, moved)
    short = {row.limit for row in problem.elastic if row.coefficients @ best.grams < row.bound - MOVED}
    gridded = replace(
        problem,
        elastic=tuple(row for row in problem.elastic if row.limit in short),
        firm=problem.firm + tuple(row for row in problem.elastic if row.limit not in short),
        least_g=np.where(moved, least * step_g, settled),
        most_g=np.where(moved, most * step_g, settled),
        unit_g=np.where(moved, step_g, problem.unit_g),
        whole=moved,
        optional=np.zeros_like(problem.optional),
        most_supplements=0,
    )
    return solve(gridded, SECONDS, GOOD_ENOUGH)


def _settled(problem: Problem, grams: np.ndarray, moved: np.ndarray) -> np.ndarray:
    """Unmoved foods at exactly their present amount, everything without the noise of floating point."""
    kept = (
        ~moved & ~problem.whole & (problem.before_g >= problem.least_g) & (problem.before_g <= problem.most_g)
    )
    return np.round(np.where(kept, problem.before_g, grams), 6) + 0.0  # no negative zero
