"""A reformulation as a mixed-integer linear problem: columns for the choices, rows for the limits.

A column counts in its own unit: a supplement in whole smallest steps, a food in the amount that one change is
measured by. `change`: how far a choice moved, relative to its present amount, or, where that is less, to the
amount that alone would meet a whole minimum or bring all the energy. So 100 g of 500 g meat count as much as
1 g of 5 g salt, and a new supplement as much as its share of what it is there for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from nutrients.adequacy import ProfileLimits
from nutrients.composition import PARTS
from recipes.reformulate.confirming import Withheld, withheld
from recipes.reformulate.contents import Contents, contents_of
from recipes.reformulate.limits import all_limits
from recipes.reformulate.proposal import Choice, Wishes
from recipes.reformulate.rows import Row, cap_row, cost_row, energy_rows, limit_rows
from recipes.scaling import dose_step

# Share by which every limit is tightened, so that the solver's tolerance (1e-7) decides no judgement.
GUARD = 1e-6
KCAL_KEPT = 0.05  # without a wish the energy stays this near to the present one (common practice, no source)
NOISE = 1e-9


@dataclass(frozen=True)
class Problem:
    """Per choice: before_g, least_g, most_g, change_g (the amount that counts as one change), unit_g (of the
    column), whole (the column takes whole numbers only).

    elastic: rows that may fall short. firm: rows that may not (energy, what is held back).
    counted: supplements that may be in or out. most_counted: how many of them may be in, None for any.
    """

    before_g: np.ndarray
    least_g: np.ndarray
    most_g: np.ndarray
    change_g: np.ndarray
    unit_g: np.ndarray
    whole: np.ndarray
    elastic: tuple[Row, ...]
    firm: tuple[Row, ...]
    counted: np.ndarray
    most_counted: int | None

    def between(self, least_g: np.ndarray, most_g: np.ndarray) -> "Problem":
        """The same with other bounds."""
        return replace(self, least_g=least_g, most_g=most_g)

    def column_bounds(self) -> tuple[np.ndarray, np.ndarray]:
        """Least and most in the columns' own units, whole numbers where only those are taken."""
        least, most = self.least_g / self.unit_g, self.most_g / self.unit_g
        return (
            np.where(self.whole, np.ceil(least - NOISE), least),
            np.where(self.whole, np.floor(most + NOISE), most),
        )


def problem_of(
    choices: Sequence[Choice],
    table: pd.DataFrame,
    retention: pd.DataFrame,
    method: str,
    profiles: Sequence[ProfileLimits],
    negligible: frozenset[tuple[str, str]],
    wishes: Wishes,
) -> tuple[Problem, Contents, Withheld]:
    """Raises ValueError when nothing holds energy at present and none is asked, or what may not be added must
    be in."""
    limits = all_limits(profiles, wishes, further=GUARD)
    keys = {part for profile in limits for key in profile.limits.index for part in PARTS.get(key, (key,))}
    contents = contents_of([x.portion for x in choices], table, retention, method, negligible, keys)
    held = withheld(choices, contents, profiles)
    least, most = energy_bounds(choices, contents, wishes)
    before = np.array([choice.before_g for choice in choices])
    most_g = np.where(held.barred, 0.0, [choice.most_g for choice in choices])
    reference = before if before.any() else most_g
    elastic = [row for x in limits for row in limit_rows(x, contents, (least + most) / 2, reference)]
    if wishes.cost_ceiling is not None:
        elastic.append(cost_row([choice.cost_per_kg for choice in choices], wishes.cost_ceiling))
    caps = [cap_row(cap, contents, before, most_g) for cap in held.caps]
    problem = _problem(choices, most_g, elastic, energy_rows(contents, least, most) + caps, wishes)
    return problem, contents, held


def energy_bounds(choices: Sequence[Choice], contents: Contents, wishes: Wishes) -> tuple[float, float]:
    """Least and most energy of the batch [kcal]: as asked, else near the present one."""
    if wishes.kcal:
        return wishes.kcal
    present = float(contents.kcal_per_gram @ [choice.before_g for choice in choices])
    if present <= 0:
        raise ValueError("Nothing in the recipe holds energy yet: say how much energy the batch shall hold.")
    return present * (1 - KCAL_KEPT), present * (1 + KCAL_KEPT)


def _problem(choices, most_g: np.ndarray, elastic: list[Row], firm: list[Row], wishes: Wishes) -> Problem:
    before = np.array([choice.before_g for choice in choices])
    least_g = np.array([choice.least_g for choice in choices])
    moves = most_g > least_g
    whole = moves & np.array([choice.portion.is_supplement for choice in choices])
    change_g = np.maximum(before, _amount_of_a_whole_limit(elastic + firm[:1], most_g))
    steps = [
        step_g(x) if counts else grams for x, counts, grams in zip(choices, whole, change_g, strict=True)
    ]
    supplement = np.array([choice.portion.is_supplement for choice in choices])
    most_counted = wishes.most_supplements
    if most_counted is not None:
        most_counted -= int((supplement & (least_g > 0)).sum())
    return Problem(
        before_g=before,
        least_g=least_g,
        most_g=most_g,
        change_g=change_g,
        unit_g=np.array(steps),
        whole=whole,
        elastic=tuple(elastic),
        firm=tuple(firm),
        counted=supplement & (least_g <= 0) & (most_g > 0),
        most_counted=most_counted,
    )


def _amount_of_a_whole_limit(rows: Sequence[Row], most_g: np.ndarray) -> np.ndarray:
    """Grams of each choice that alone meet a whole minimum or bring all the energy; else the most of it."""
    minima = [row.coefficients for row in rows if row.side in ("minimum", "kcal")]
    richest = np.max(minima, axis=0)
    filled = np.where(most_g > 0, most_g, 1.0)
    return np.divide(1.0, richest, out=filled, where=richest > 0)


def step_g(choice: Choice) -> float:
    """The smallest step of a supplement [g]; ValueError when its dose unit is not known."""
    step, grams_per_unit = dose_step(choice.portion)
    return step * grams_per_unit
