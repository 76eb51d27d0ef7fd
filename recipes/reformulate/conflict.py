"""Why there is no full answer: what stands against each limit that falls short, and what would help most.

All of it is found with every amount divisible, which is quick: what whole steps alone stand against is not
told here.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from recipes.reformulate.problem import Problem
from recipes.reformulate.proposal import Choice
from recipes.reformulate.rows import Row
from recipes.reformulate.solving import Programme

SHORT = 1e-5  # share of a limit from which a shortage is told
MOST_EXPLAINED = 6
MOST_HELPS = 3
TIMES_MORE = 3  # how far beyond its most a choice is tried
WORTH_TELLING = 0.01  # share of the whole shortage that a help has to take away


@dataclass(frozen=True)
class Relaxed:
    """The least shortage were everything divisible, with the weight that each limit and bound has in it."""

    programme: Programme
    total: float
    shortages: dict[tuple[str, str, str], float]
    weights: dict[tuple[str, str, str], float]
    of_bounds: np.ndarray


def relaxed(problem: Problem) -> Relaxed | None:
    """None when the firm rows cannot be met together."""
    programme = Programme(problem)
    found = programme.relaxed()
    if found.status != 0:
        return None
    duals = np.abs(found.ineqlin.marginals[: len(problem.elastic)])
    weights = {row.limit: 0.0 for row in problem.elastic}
    for row, dual in zip(problem.elastic, duals, strict=True):
        weights[row.limit] += float(dual)
    return Relaxed(
        programme,
        float(found.fun),
        dict(zip(programme.limits, found.x[programme.shortages], strict=True)),
        weights,
        (found.upper.marginals + found.lower.marginals)[programme.amounts],
    )


def opponents(problem: Problem, state: Relaxed) -> dict[tuple[str, str, str], list[Row]]:
    """For each limit that falls short, a least set of others with which it cannot be met; empty: with none.

    Deletion filter: of the limits that weigh in the least shortage each is left out that is not needed for
    the contradiction.
    """
    short = sorted(
        (x for x in state.shortages if state.shortages[x] > SHORT), key=lambda x: -state.shortages[x]
    )
    held = [x for x, weight in state.weights.items() if weight > 0 and state.shortages[x] <= SHORT]
    first = {row.limit: row for row in reversed(problem.elastic)}
    found = {}
    for limit in short[:MOST_EXPLAINED]:
        if not _contradict(problem, {limit, *held}):
            continue
        needed = list(held)
        for other in held:
            fewer = [x for x in needed if x != other]
            if _contradict(problem, {limit, *fewer}):
                needed = fewer
        found[limit] = [first[x] for x in needed]
    return found


def _contradict(problem: Problem, limits: set) -> bool:
    rows = tuple(row for row in problem.elastic if row.limit in limits)
    state = relaxed(replace(problem, elastic=rows))
    return state is None or state.total > SHORT


def helps(problem: Problem, choices: Sequence[Choice], state: Relaxed) -> list[str]:
    """Sentences: which choice, let beyond its bound, takes most of the shortage away; best first."""
    found = []
    for index in _promising(problem, choices, state):
        more = state.of_bounds[index] < 0
        freed = _freed(problem, index, more)
        after = relaxed(freed)
        if after is not None and state.total - after.total > WORTH_TELLING * state.total:
            grams = after.programme.nearest(index, more, after.total)
            beyond = abs(grams - problem.before_g[index]) / problem.change_g[index]
            bound = problem.most_g[index] if more else problem.least_g[index]
            way = f"{_grams(grams)} instead of at {'most' if more else 'least'} {_grams(bound)}"
            sentence = f"{choices[index].portion.food}: about {way} {_would(problem, state, after)}."
            found.append((round(after.total, 4), beyond, sentence))
    return [sentence for *_, sentence in sorted(found)[:MOST_HELPS]]


def _promising(problem: Problem, choices: Sequence[Choice], state: Relaxed) -> list[int]:
    """The choices whose bound weighs most in the shortage, first; not those that are held back."""
    weight = np.abs(state.of_bounds) * problem.change_g / problem.unit_g
    barred = [problem.most_g[index] < choice.most_g for index, choice in enumerate(choices)]
    weight[barred] = 0
    return [int(index) for index in np.argsort(-weight)[: 2 * MOST_HELPS] if weight[index] > 1e-9]


def _freed(problem: Problem, index: int, more: bool) -> Problem:
    least, most = problem.least_g.copy(), problem.most_g.copy()
    if more:
        most[index] = TIMES_MORE * most[index] or problem.change_g[index]
    else:
        least[index] = 0.0
    whole = problem.whole & (np.arange(len(least)) != index)
    return replace(problem, least_g=least, most_g=most, whole=whole)


def _would(problem: Problem, state: Relaxed, after: Relaxed) -> str:
    closed = nearer(problem, state, after, fully=True)
    return f"would meet {closed}" if closed else f"would bring {nearer(problem, state, after)} nearer"


def nearer(problem: Problem, state: Relaxed, after: Relaxed, fully: bool = False) -> str:
    """The names of the limits that fall less short, most first; fully: no longer at all."""
    names = {row.limit: row.name for row in problem.elastic}
    gains = {
        limit: short - after.shortages[limit] for limit, short in state.shortages.items() if short > SHORT
    }
    told = [x for x in sorted(gains, key=lambda x: -gains[x]) if gains[x] > SHORT]
    if fully:
        told = [x for x in told if after.shortages[x] <= SHORT]
    return ", ".join(list(dict.fromkeys(names[x] for x in told))[:MOST_HELPS])


def _grams(grams: float) -> str:
    return f"{grams:,.0f} g" if grams >= 20 else f"{grams:,.2g} g"


def firm_contradictions(problem: Problem) -> Iterator[Row]:
    """The firm rows that fall short in the nearest thing to an answer, when they cannot be met together."""
    each = tuple(replace(row, profile=str(index), nutrient="firm") for index, row in enumerate(problem.firm))
    state = relaxed(replace(problem, elastic=each, firm=()))
    for index, row in enumerate(problem.firm):
        if state.shortages[each[index].limit] > SHORT:
            yield row
