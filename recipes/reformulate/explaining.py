"""What a proposal says when there is no full answer: obstacles with what stands against them, and helps."""

from collections.abc import Sequence
from dataclasses import replace

from recipes.reformulate.conflict import (
    SHORT,
    WORTH_TELLING,
    Relaxed,
    firm_contradictions,
    helps,
    nearer,
    opponents,
    relaxed,
)
from recipes.reformulate.judging import WISHED
from recipes.reformulate.problem import Problem
from recipes.reformulate.proposal import Choice, Obstacle, Wishes
from recipes.reformulate.rows import Row
from recipes.reformulate.solving import Solution, solve

IN_STEPS = "Only the whole steps of the doses, or the number of supplements, stand against it."
SECONDS = 0.2  # for the question whether more supplements would help


def explained(
    obstacles: Sequence[Obstacle], best: Solution, problem: Problem, choices: Sequence[Choice], wishes: Wishes
) -> tuple[list[Obstacle], list[str]]:
    """The obstacles, each saying with what it cannot be met, and what would help most, best first."""
    state = relaxed(problem)
    if state is None or not (best.short > SHORT or any(obstacle.short for obstacle in obstacles)):
        return list(obstacles), []
    told = _with_opponents(obstacles, problem, state)
    helping = helps(problem, choices, state)
    if wishes.most_supplements is not None:
        told += _too_few_supplements(best, problem, choices, wishes.most_supplements)
    return told, helping + _with_values(problem, choices, state)


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
    if state.total <= SHORT:
        told = [replace(x, sentence=f"{x.sentence} {IN_STEPS}") if x.short else x for x in told]
    known = {(obstacle.profile, obstacle.nutrient, obstacle.side) for obstacle in obstacles if obstacle.short}
    return told + [_held(row) for limit, row in further.items() if limit not in known]


def _together(rows: Sequence[Row]) -> str:
    if not rows:
        return "No amounts within the bounds and this energy meet it, whatever else gives way."
    return f"It cannot be met together with {', '.join(_said(row) for row in rows)}."


def _said(row: Row) -> str:
    return f"the {row.name}" if row.profile == WISHED else f"{row.name} ({row.side}, {row.profile})"


def _held(row: Row) -> Obstacle:
    sentence = f"{row.name} ({row.profile}): its {row.side} is held, and stands against the others."
    return Obstacle(row.profile, row.nutrient, row.name, row.side, 0.0, "", sentence)


def _too_few_supplements(best: Solution, problem: Problem, choices, asked: int) -> list[Obstacle]:
    """An obstacle when more supplements than asked would leave less short."""
    freed = solve(replace(problem, most_supplements=len(choices)), SECONDS)
    if freed is None or freed.short > (1 - WORTH_TELLING) * best.short:
        return []
    used = int((problem.is_supplement & (freed.grams > 0)).sum())
    said = f"Supplements: with {used} instead of {asked} the shortage would be less"
    sentence = f"{said}." if freed.short > 0 else f"{said}: everything could be met."
    return [Obstacle(WISHED, "supplements", "Supplements", "supplements", 0.0, "", sentence)]


def _with_values(problem: Problem, choices: Sequence[Choice], state: Relaxed) -> list[str]:
    """A sentence when what is held back for want of a value would help."""
    freed = replace(
        problem,
        firm=tuple(row for row in problem.firm if row.side != "maximum"),
        most_g=problem.most_g
        + [choice.most_g - most for choice, most in zip(choices, problem.most_g, strict=True)],
    )
    after = relaxed(freed)
    if after is None or state.total - after.total <= WORTH_TELLING * state.total:
        return []
    names = nearer(problem, state, after)
    return [f"The missing values would help: with them {names} could come nearer, if the maxima leave room."]


def contradicted(problem: Problem) -> list[Obstacle]:
    """Why nothing at all can be proposed."""
    found = [
        Obstacle(row.profile, row.nutrient, row.name, row.side, None, "", row.sentence)
        for row in firm_contradictions(problem)
    ]
    said = (
        "No amounts in whole doses were found that hold this energy without raising what must not be raised."
    )
    return found or [Obstacle(WISHED, "kcal", "Energy", "kcal", None, "", said)]
