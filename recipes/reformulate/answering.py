"""From a question to a proposal: check, solve, round, judge afresh, and explain."""

from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits
from recipes.reformulate.checks import check
from recipes.reformulate.confirming import Withheld
from recipes.reformulate.explaining import contradicted, explained
from recipes.reformulate.judging import judged, unmet, wishes_unmet
from recipes.reformulate.problem import Problem, problem_of
from recipes.reformulate.proposal import Choice, Line, Obstacle, Proposal, Wishes
from recipes.reformulate.reasons import reasons
from recipes.reformulate.rounding import weighable
from recipes.reformulate.solving import Solution, solve

# Share by which every limit is tightened when the solver's tolerance would decide a judgement.
GUARD = 1e-6
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
    asked = (choices, table, retention, method, profiles, negligible, wishes)
    answer = _answer(asked)
    if answer.is_spoilt_by_tolerance and perf_counter() - start < SECONDS / 2:
        answer = _answer(asked, guard=GUARD)
    obstacles, helping = answer.obstacles, []
    if answer.best is not None:
        obstacles, helping = explained(obstacles, answer.best, answer.problem, choices, wishes)
    return Proposal(
        lines=_lines(choices, answer.grams, reasons(answer.problem, answer.grams)),
        feasible=not obstacles,
        obstacles=tuple(obstacles),
        helps=tuple(helping),
        withheld=tuple(answer.held.sentences),
        seconds=perf_counter() - start,
        proven=answer.best is not None and answer.best.proven,
    )


@dataclass(frozen=True)
class _Answer:
    """best: the solver's amounts, None when nothing can be proposed; grams: as they can be weighed."""

    problem: Problem
    held: Withheld
    best: Solution | None
    grams: np.ndarray
    obstacles: Sequence[Obstacle]

    @property
    def is_spoilt_by_tolerance(self) -> bool:
        """The solver took everything for met, but judged afresh something is not."""
        return (
            self.best is not None
            and self.best.short == 0
            and any(obstacle.short for obstacle in self.obstacles)
        )


def _answer(asked: tuple, guard: float = 0.0) -> _Answer:
    choices, *_, wishes = asked
    problem, contents, held = problem_of(*asked, guard=guard)
    best = solve(problem, SECONDS)
    if best is None:
        return _Answer(problem, held, None, problem.before_g, contradicted(problem))
    grams = weighable(problem, choices, best)
    result = judged(choices, grams, *asked[1:])
    obstacles = [*unmet(result, wishes.margin), *wishes_unmet(choices, result, wishes, contents)]
    return _Answer(problem, held, best, grams, obstacles)


def _lines(choices: Sequence[Choice], grams: np.ndarray, why: Sequence[str]) -> tuple[Line, ...]:
    return tuple(
        Line(choice.portion, choice.before_g, float(after), _doses(choice, float(after)), reason)
        for choice, after, reason in zip(choices, grams, why, strict=True)
    )


def _doses(choice: Choice, grams: float) -> float | None:
    of_one = choice.portion.grams_per_dose_unit
    return round(grams / of_one, 6) if choice.portion.is_supplement and of_one else None
