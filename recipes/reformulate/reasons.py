"""Why a line stands where it stands: the limits that its change closes or keeps, the bound that holds it."""

from dataclasses import dataclass

import numpy as np

from recipes.reformulate.problem import Problem

MOST_NAMED = 3
NEAR = 1e-3  # share of a limit from which it counts as just met
TOLD = 0.02  # share of a limit from which a line's part in it is told


@dataclass(frozen=True)
class _Pull:
    """A limit that was not met before or is only just met now."""

    name: str
    coefficients: np.ndarray


def reasons(problem: Problem, grams: np.ndarray) -> list[str]:
    """One text per choice; "" where nothing is to say."""
    pulls = [
        _Pull(_named(row), row.coefficients)
        for row in (*problem.elastic, *problem.firm)
        if row.name and _pulls(row, problem.before_g, grams)
    ]
    return [_reason(problem, index, grams, pulls) for index in range(len(grams))]


def _named(row) -> str:
    return f"{row.name} (maximum)" if row.side == "maximum" else row.name


def _pulls(row, before_g: np.ndarray, grams: np.ndarray) -> bool:
    was_short = row.coefficients @ before_g < row.bound - NEAR
    return was_short or row.coefficients @ grams < row.bound + NEAR


def _reason(problem: Problem, index: int, grams: np.ndarray, pulls: list[_Pull]) -> str:
    least, most = problem.least_g[index], problem.most_g[index]
    moved = grams[index] - problem.before_g[index]
    parts = {}
    for pull in pulls:
        part = pull.coefficients[index] * moved
        parts[pull.name] = max(part, parts.get(pull.name, 0.0))
    told = [name for name in sorted(parts, key=lambda name: -parts[name]) if parts[name] > TOLD]
    if not told and moved:
        told = [name for name in sorted(parts, key=lambda name: -parts[name])[:1] if parts[name] > 0]
    named = ", ".join(told[:MOST_NAMED])
    if least >= most:
        return "" if most == 0 else "not to be moved"
    for bound, text in ((least, "held at its least"), (most, "held at its most")):
        if abs(grams[index] - bound) < 1e-6 and bound > 0:
            return f"{named}; {text}" if named else text
    return named
