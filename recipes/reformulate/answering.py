"""From a question to a proposal: check, solve, round, judge afresh, and explain."""

from collections.abc import Sequence
from time import perf_counter

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits
from recipes.reformulate.checks import check
from recipes.reformulate.confirming import Withheld
from recipes.reformulate.explaining import contradicted, explained
from recipes.reformulate.judging import judged, unmet, wishes_unmet
from recipes.reformulate.problem import Problem, problem_of
from recipes.reformulate.proposal import Choice, Line, Proposal, Wishes
from recipes.reformulate.reasons import reasons
from recipes.reformulate.rounding import weighable
from recipes.reformulate.solving import solve

NO_WISHES = Wishes()
SECONDS = 1.2  # for the best amounts; rounding and explaining come on top


def reformulate(
    choices: Sequence[Choice],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    profiles: Sequence[ProfileLimits],
    negligible: frozenset[tuple[str, str]],
    wishes: Wishes = NO_WISHES,
) -> Proposal:
    """Amounts within the bounds of the choices that meet every profile and wish, with the least change.

    table, retention, method, negligible: as of `recipes.analysis.composition`. When not everything can be met
    the total shortage and excess is the least, each as a share of its limit. The amounts are judged afresh as
    rounded. Raises ValueError with a sentence when what is asked contradicts itself.
    """
    start = perf_counter()
    check(choices, profiles, wishes)
    problem, contents, held = problem_of(choices, table, retention, method, profiles, negligible, wishes)
    best = solve(problem, SECONDS)
    if best is None:
        return _nothing(choices, problem, held, perf_counter() - start)
    found = weighable(problem, choices, best)
    result = judged(choices, found.grams, table, retention, method, profiles, negligible, wishes)
    open_limits = [*unmet(result, wishes.margin), *wishes_unmet(choices, result, wishes, contents)]
    obstacles, helping = explained(open_limits, best, problem, choices, wishes)
    return Proposal(
        lines=_lines(choices, result.grams, reasons(problem, result.grams)),
        feasible=not obstacles,
        obstacles=tuple(obstacles),
        helps=tuple(helping),
        withheld=tuple(held.sentences),
        seconds=perf_counter() - start,
        proven=found.proven,
    )


def _lines(choices: Sequence[Choice], grams: np.ndarray, why: Sequence[str]) -> tuple[Line, ...]:
    return tuple(
        Line(choice.portion, choice.before_g, float(after), _doses(choice, float(after)), reason)
        for choice, after, reason in zip(choices, grams, why, strict=True)
    )


def _doses(choice: Choice, grams: float) -> float | None:
    of_one = choice.portion.grams_per_dose_unit
    return round(grams / of_one, 6) if choice.portion.is_supplement and of_one else None


def _nothing(choices: Sequence[Choice], problem: Problem, held: Withheld, seconds: float) -> Proposal:
    """The present amounts, with what cannot be had together whatever the limits."""
    lines = _lines(choices, problem.before_g, [""] * len(choices))
    return Proposal(lines, False, tuple(contradicted(problem)), (), tuple(held.sentences), seconds)
