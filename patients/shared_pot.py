"""Two dogs, one pot: a base batch that is shared, each dog's own portion of it and doses in its bowl. Pure.

All eat the same version of a recipe for the same days. What is warm or frozen for one of them is so for the
pot: then the heat-sensitive supplements go into each dog's own bowl.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import pandas as pd

from nutrients.adequacy import judge
from patients.batch import Grounds, in_the_bowl
from patients.portions import fridge_split, grams_per_meal
from patients.timing import COLD, Dose, as_given, schedule
from patients.workings import REWARMED, WATER_STEP_G, limits_for_dog
from recipes.analysis import IN_THE_BOWL, Portion, composition
from recipes.scaling import ScaledBatch, ScaledLine, scale

FEWEST = 2


@dataclass(frozen=True)
class Eater:
    """A dog of the pot: its plan, what the plan rests on, and the recipe's energy a day [kcal]."""

    name: str
    plan: object
    grounds: Grounds
    recipe_kcal: float


@dataclass(frozen=True)
class Share:
    """One dog's part of the pot. share: 0..1 of it; meal_g: cooked food per meal; bowl: its own doses.

    judgement: of what it eats, at its own intake.
    """

    name: str
    share: float
    pot_g: float
    meal_g: float
    meals: int
    bowl: tuple[Dose, ...]
    bowl_foods: tuple[tuple[ScaledLine, float], ...]
    judgement: pd.DataFrame


@dataclass(frozen=True)
class SharedPot:
    """The base: foods of the pot, doses of the cooled batch, water and the cooked weight [g]."""

    days: int
    scaled: ScaledBatch
    doses: tuple[Dose, ...]
    water_g: float
    cooked_g: float
    cooked_is_estimate: bool
    fresh_days: int
    frozen_days: int
    shares: tuple[Share, ...]

    @property
    def foods(self) -> list[ScaledLine]:
        lines = self.scaled.lines
        return [line for line in lines if not line.portion.is_supplement and not in_the_bowl(line.portion)]


def share_pot(eaters: Sequence[Eater], days: int) -> SharedPot:
    """Raises ValueError for fewer than two dogs, or when a dose cannot be given in whole steps."""
    if len(eaters) < FEWEST:
        raise ValueError("A shared pot needs two dogs that eat the same version of a recipe.")
    grounds = eaters[0].grounds
    written_kcal = _written_kcal(grounds)
    fresh, frozen = fridge_split(days)
    serve = COLD if all(eater.plan.serve == COLD for eater in eaters) else REWARMED
    kcal = sum(eater.recipe_kcal for eater in eaters)
    scaled = scale(grounds.portions, written_kcal, kcal, days)
    base, doses = _base(scaled, serve, frozen > 0, days)
    water_g = round(grounds.added_water_g * scaled.factor / WATER_STEP_G) * WATER_STEP_G
    cooked = grounds.analysed(base, water_g, None)
    shares = [
        _share(eater, eater.recipe_kcal / kcal, base, cooked.cooked_g, written_kcal, days, serve, frozen > 0)
        for eater in eaters
    ]
    return SharedPot(
        days, scaled, doses, water_g, cooked.cooked_g, cooked.cooked_is_estimate, fresh, frozen, tuple(shares)
    )


def _written_kcal(grounds: Grounds) -> float:
    as_written = grounds.analysed(grounds.portions, grounds.added_water_g, grounds.cooked_weight_g)
    return as_written.energy.kcal


def _base(scaled: ScaledBatch, serve: str, frozen: bool, days: int) -> tuple[list[Portion], tuple[Dose, ...]]:
    """The foods of the pot with what is stirred into the cooled batch, and the doses of that."""
    supplements = scaled.supplements()
    pairs = zip(supplements, schedule(supplements, serve, frozen, days, 1), strict=True)
    stirred = [(supplement, dose) for supplement, dose in pairs if dose.when != IN_THE_BOWL]
    foods = [portion for portion in scaled.foods() if not in_the_bowl(portion)]
    given = as_given([supplement for supplement, _ in stirred], [dose for _, dose in stirred])
    return foods + given, tuple(dose for _, dose in stirred)


def _share(
    eater: Eater,
    share: float,
    base,
    cooked_g: float,
    written_kcal: float,
    days: int,
    serve: str,
    frozen: bool,
) -> Share:
    plan = eater.plan
    own = scale(eater.grounds.portions, written_kcal, eater.recipe_kcal, days)
    supplements = own.supplements()
    pairs = zip(supplements, schedule(supplements, serve, frozen, days, plan.meals_per_day), strict=True)
    bowl = [(supplement, dose) for supplement, dose in pairs if dose.when == IN_THE_BOWL]
    foods = [line for line in own.lines if not line.portion.is_supplement and in_the_bowl(line.portion)]
    eaten = [
        *(replace(portion, grams=portion.grams * share) for portion in base),
        *(replace(line.portion, grams=line.grams) for line in foods),
        *as_given([supplement for supplement, _ in bowl], [dose for _, dose in bowl]),
    ]
    return Share(
        name=eater.name,
        share=share,
        pot_g=cooked_g * share,
        meal_g=grams_per_meal(cooked_g * share, days, plan.meals_per_day),
        meals=plan.meals_per_day,
        bowl=tuple(dose for _, dose in bowl),
        bowl_foods=tuple((line, grams_per_meal(line.grams, days, plan.meals_per_day)) for line in foods),
        judgement=_judged(eater, eaten, days),
    )


def _judged(eater: Eater, eaten: Sequence[Portion], days: int) -> pd.DataFrame:
    grounds = eater.grounds
    made_of = composition(eaten, grounds.table, grounds.retention, grounds.method, grounds.negligible)
    kcal = grounds.analysed(eaten, 0, None).energy.kcal
    limits = grounds.profile
    if not limits.growth:
        limits = limits_for_dog(eater.plan, grounds, kcal / days)
    return judge(made_of.totals, made_of.completeness, kcal, limits)
