"""From a question to a proposal: check, solve, round, judge afresh, and explain."""

from collections.abc import Sequence
from dataclasses import replace
from time import perf_counter

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits
from recipes.reformulate.checks import check
from recipes.reformulate.confirming import Withheld
from recipes.reformulate.conflict import Relaxed, firm_contradictions, helps, opponents, relaxed
from recipes.reformulate.judging import WISHED, judged, unmet, wishes_unmet
from recipes.reformulate.problem import Problem, problem_of
from recipes.reformulate.proposal import Choice, Line, Obstacle, Proposal, Wishes
from recipes.reformulate.reasons import reasons
from recipes.reformulate.rounding import weighable
from recipes.reformulate.rows import Row
from recipes.reformulate.solving import solve

NO_WISHES = Wishes()
SECONDS = 1.4  # for the best amounts; rounding and explaining come on top


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
    obstacles = [*unmet(result), *wishes_unmet(choices, result, wishes, contents)]
    helping: list[str] = []
    if any(obstacle.short for obstacle in obstacles):
        state = relaxed(problem)
        obstacles = _with_opponents(obstacles, problem, state)
        helping = helps(problem, choices, state)
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


def _with_opponents(obstacles: Sequence[Obstacle], problem: Problem, state: Relaxed) -> list[Obstacle]:
    """The obstacles, each saying with what it cannot be met; limits met at their cost follow after them."""
    against = opponents(problem, state)
    told, further = [], {}
    for obstacle in obstacles:
        limit = (obstacle.profile, obstacle.nutrient, obstacle.side)
        if obstacle.short and limit in against:
            obstacle = replace(obstacle, sentence=f"{obstacle.sentence} {_together(against[limit])}")
            further |= {row.limit: row for row in against[limit]}
        told.append(obstacle)
    known = {(obstacle.profile, obstacle.nutrient, obstacle.side) for obstacle in obstacles if obstacle.short}
    return told + [_held(row) for limit, row in further.items() if limit not in known]


def _together(rows: Sequence[Row]) -> str:
    if not rows:
        return "No amounts of these choices can meet it, whatever else gives way."
    return f"It cannot be met together with {', '.join(_said(row) for row in rows)}."


def _said(row: Row) -> str:
    return f"the {row.name}" if row.profile == WISHED else f"{row.name} ({row.side}, {row.profile})"


def _held(row: Row) -> Obstacle:
    sentence = f"{row.name} ({row.profile}): its {row.side} is held, and stands against the others."
    return Obstacle(row.profile, row.nutrient, row.name, row.side, 0.0, "", sentence)


def _nothing(choices: Sequence[Choice], problem: Problem, held: Withheld, seconds: float) -> Proposal:
    """The present amounts, with what cannot be had together whatever the limits."""
    obstacles = tuple(
        Obstacle(row.profile, row.nutrient, row.name, row.side, None, "", row.sentence)
        for row in firm_contradictions(problem)
    )
    lines = _lines(choices, problem.before_g, [""] * len(choices))
    return Proposal(lines, False, obstacles, (), tuple(held.sentences), seconds)
