"""The whole day of a dog that eats other food beside its recipe. Pure calculation.

The other food is a food of the table. What is not known of it stays unknown: then the day cannot be
confirmed, however much the recipe brings.
"""

from dataclasses import dataclass, replace

import pandas as pd

from nutrients.adequacy import for_patient, judge
from patients.batch import Batch, Grounds
from patients.energy import recipe_energy
from recipes.analysis import IN_THE_BOWL, composition


@dataclass(frozen=True)
class WholeDay:
    """grams and kcal: of the other food, a day. judgement: of both together, at the dog's whole intake."""

    food: str
    grams: float
    kcal: float
    judgement: pd.DataFrame


def whole_day(plan, grounds: Grounds, batch: Batch) -> WholeDay | None:
    """None when the recipe is all of the day or nobody said what is fed beside it.

    Raises ValueError when the other food's energy is not known.
    """
    if plan.recipe_share == 1 or grounds.beside is None:
        return None
    kcal = recipe_energy(plan.kcal_per_day, plan.extras_kcal) * (1 - plan.recipe_share)
    grams = kcal / kcal_per_gram(grounds)
    other = replace(grounds.beside, grams=grams * plan.batch_days, when=IN_THE_BOWL, is_supplement=False)
    made_of = composition(
        [*batch.given(), other], grounds.table, grounds.retention, grounds.method, grounds.negligible
    )
    whole_kcal = batch.analysis.energy.kcal + kcal * plan.batch_days
    limits = grounds.profile
    if not limits.growth:
        limits = for_patient(limits, grounds.allowances, whole_kcal / plan.batch_days, plan.target_kg)
    judged = judge(made_of.totals, made_of.completeness, whole_kcal, limits)
    return WholeDay(grounds.beside.food, grams, kcal, judged)


def kcal_per_gram(grounds: Grounds) -> float:
    """Of the food beside the recipe, by 4/9/4. Raises ValueError when a part of it is not known."""
    alone = replace(grounds.beside, grams=100.0, when=IN_THE_BOWL, is_supplement=False)
    energy = grounds.analysed([alone], 0, None).energy
    if energy.missing or not energy.kcal > 0:
        raise ValueError(
            f"The energy of {alone.food} is not wholly known, so its grams cannot be worked out: "
            "complete its values, or choose another food."
        )
    return energy.kcal / 100
