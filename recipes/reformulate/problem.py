"""A reformulation as a mixed-integer linear problem: columns for the choices, rows for the limits.

A column counts in its own unit: a supplement in whole smallest steps, a food in the amount that one change is
measured by. `change`: how far a choice moved, relative to its present amount, or, where that is less, to the
amount that alone would meet a whole minimum or bring all the energy. So 100 g of 500 g meat count as much as
1 g of 5 g salt, and a new supplement as much as its share of what it is there for. That something new comes
in at all counts NEW_INGREDIENT more.
"""

from collections.abc import Sequence
from dataclasses import dataclass

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

KCAL_KEPT = 0.05  # without a wish the energy stays this near to the present one (common practice, no source)
NEW_INGREDIENT = 0.1  # of a change: one more thing to buy and weigh (common practice, no source)
TIE = 1e-3  # of a change, per supplement in use: see `solving`
NOISE = 1e-9


@dataclass(frozen=True)
class Problem:
    """Per choice: before_g, least_g, most_g, change_g (the amount that counts as one change), unit_g (of the
    column), whole (the column takes whole numbers only).

    elastic: rows that may fall short. firm: rows that may not (energy, what is held back).
    optional: what may be in or out and costs something when in: supplements, and what is new. in_use_cost:
    that cost per choice [changes]. most_supplements: how many of the optional ones may be in.
    """

    before_g: np.ndarray
    least_g: np.ndarray
    most_g: np.ndarray
    change_g: np.ndarray
    unit_g: np.ndarray
    whole: np.ndarray
    elastic: tuple[Row, ...]
    firm: tuple[Row, ...]
    is_supplement: np.ndarray
    optional: np.ndarray
    in_use_cost: np.ndarray
    most_supplements: int

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
    guard: float = 0.0,
) -> tuple[Problem, Contents, Withheld]:
    """guard: a share by which every limit is tightened beyond what is asked.

    Raises ValueError when nothing holds energy at present and none is asked, or what may not be added must
    be in."""
    limits = all_limits(profiles, wishes, further=guard)
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
    is_supplement = np.array([choice.portion.is_supplement for choice in choices])
    whole = moves & is_supplement
    change_g = np.maximum(before, _amount_of_a_whole_limit(elastic + firm[:1], most_g))
    steps = [
        step_g(x) if counts else grams for x, counts, grams in zip(choices, whole, change_g, strict=True)
    ]
    most_supplements = len(choices) if wishes.most_supplements is None else wishes.most_supplements
    return Problem(
        before_g=before,
        least_g=least_g,
        most_g=most_g,
        change_g=change_g,
        unit_g=np.array(steps),
        whole=whole,
        elastic=tuple(elastic),
        firm=tuple(firm),
        is_supplement=is_supplement,
        optional=(is_supplement | (before == 0)) & (least_g <= 0) & (most_g > 0),
        in_use_cost=TIE * is_supplement + NEW_INGREDIENT * (before == 0),
        most_supplements=most_supplements - int((is_supplement & (least_g > 0)).sum()),
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
