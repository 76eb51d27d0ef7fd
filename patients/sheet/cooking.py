"""The part of a sheet's record about the recipe: what is weighed and how it is cooked. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from nutrients.language import plain, say
from nutrients.units import fahrenheit
from patients.batch import Batch
from patients.food_safety import safe_temperatures
from patients.sheet.words import WHEN, WHEN_ORDER
from patients.steps import names_an_amount
from patients.workings import Workings
from recipes.analysis import IN_THE_BOWL
from recipes.household import eggs, in_quarters
from recipes.scaling import ScaledLine

WHOLE_RAW_EGG = "Egg, whole, raw"  # as the food table names it


@dataclass(frozen=True)
class Recipe:
    """The version that is cooked. steps: (text, minutes or None, temperature to reach [°C] or None)."""

    title: str
    version: int
    method: str
    approved_by: str
    approved_on: date
    steps: Sequence[tuple[str, int | None, float | None]]
    keeps_liquid: bool


def recipe_part(recipe: Recipe, workings: Workings, batch: Batch) -> dict:
    lines = sorted(batch.foods, key=lambda line: WHEN_ORDER.index(line.portion.when))
    return {
        "title": recipe.title,
        "version": recipe.version,
        "method": recipe.method,
        "approved_by": recipe.approved_by,
        "approved_on": recipe.approved_on.isoformat(),
        "water_g": batch.water_g,
        "stir_in": any(dose.when != IN_THE_BOWL for dose in batch.doses),
        "foods": [_food(line) for line in lines],
        "steps": [
            {"text": text, "minutes": minutes, "celsius": celsius, "fahrenheit": _fahrenheit(celsius)}
            for text, minutes, celsius in recipe.steps
        ],
        "steps_name_amounts": any(names_an_amount(text) for text, _, _ in recipe.steps),
        "temperatures": [
            {
                "food": safe.food,
                "celsius": safe.celsius,
                "fahrenheit": safe.fahrenheit,
                "rest_minutes": safe.rest_minutes,
            }
            for safe in safe_temperatures(line.portion for line in batch.foods)
        ],
    }


def _fahrenheit(celsius: float | None) -> int | None:
    return None if celsius is None else fahrenheit(celsius)


def _food(line: ScaledLine) -> dict:
    return {
        "food": line.portion.food,
        "grams": line.grams,
        "buy_g": line.buy_g,
        "waste_unknown": line.purchase_g is None,
        "household": line.household,
        "when": say(WHEN[line.portion.when]),
        "note": line.portion.note,
        "eggs": egg_sentence(line),
    }


def egg_sentence(line: ScaledLine) -> str:
    """Whole raw eggs both ways: how many that is, and what becomes of the rest of the last one."""
    found = eggs(line.grams, line.portion.measures) if line.portion.food == WHOLE_RAW_EGG else None
    if found is None or found.all_used:
        return ""
    both = say("{count} large eggs: beat {whole}, weigh out {grams} g, freeze the rest.")
    return both.format(count=in_quarters(found.count), whole=found.to_break, grams=plain(found.grams))
