"""Plain treats within what a plan leaves for extras. Pure calculation."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from nutrients.language import later
from patients.dog import Dog

# Plain foods of the food table that are commonly given; common practice, no source. Name -> group.
TREATS = {
    later("Carrots, raw"): "vegetable",
    later("Green beans, boiled, no salt"): "vegetable",
    later("Cucumber, unpeeled, raw"): "vegetable",
    later("Blueberries, raw"): "fruit",
    later("Apple, with skin, raw"): "fruit",
    later("Strawberries, raw"): "fruit",
    later("Chicken breast, skinless, stewed"): "muscle meat",
}
STEP_G = 5  # common practice, no source: what is cut up and weighed
MOST_G = 100  # common practice, no source: more of one raw food a day upsets a stomach


@dataclass(frozen=True)
class Treat:
    """A day's treats, if this alone is given [g], and the energy of that [kcal]."""

    food: str
    grams: float
    kcal: float


def treats_within(budget_kcal: float, kcal_per_100g: Mapping[str, float], dog: Dog) -> list[Treat]:
    """Each alone within the budget; none the dog must avoid, none of unknown energy or too rich for a step.

    kcal_per_100g: food -> kcal, NaN where it is not known.
    """
    avoided = {food for food, _ in dog.avoided(TREATS)}
    found = []
    for food in TREATS:
        kcal = kcal_per_100g.get(food, math.nan)
        if food in avoided or not kcal > 0:
            continue
        grams = min(MOST_G, math.floor(budget_kcal / kcal * 100 / STEP_G) * STEP_G)
        if grams:
            found.append(Treat(food, grams, grams * kcal / 100))
    return found
