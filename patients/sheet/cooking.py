"""The part of a sheet's record about the recipe: what is weighed and how it is cooked. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from nutrients.language import later, say
from nutrients.owner_units import weight
from patients.batch import NO_SCALE, Batch, in_the_bowl
from patients.food_safety import safe_temperatures
from patients.portions import without_scale
from patients.sheet.words import WHEN, WHEN_ORDER
from patients.steps import names_an_amount
from patients.workings import Workings
from recipes.analysis import IN_THE_BOWL
from recipes.household import eggs, in_quarters
from recipes.scaling import ScaledLine

WITHOUT_SCALE = later(
    "You have no scale: go by the column “About”. What fits a cup can differ by a quarter. A scale is safer."
)  # common practice, no source
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
    pots = workings.filling.pots if workings.filling else 1
    lines = sorted(batch.foods, key=lambda line: WHEN_ORDER.index(line.portion.when))
    return {
        "title": say(recipe.title),
        "version": recipe.version,
        "method": say(recipe.method),
        "approved_by": recipe.approved_by,
        "approved_on": recipe.approved_on.isoformat(),
        "water_g": batch.water_g,
        "water_each_pot_g": round(batch.water_g / pots) if pots > 1 else None,
        "pots": pots,
        "stir_in": any(dose.when != IN_THE_BOWL for dose in batch.doses),
        "foods": [_food(line, workings.plan.scale, pots) for line in lines],
        "without_scale": say(WITHOUT_SCALE) if workings.plan.scale == NO_SCALE else "",
        "steps": [
            {"text": say(text), "minutes": minutes, "celsius": celsius}
            for text, minutes, celsius in recipe.steps
        ],
        "steps_name_amounts": any(names_an_amount(text) for text, _, _ in recipe.steps),
        "temperatures": [
            {
                "food": say(safe.food),
                "celsius": safe.celsius,
                "rest_minutes": safe.rest_minutes,
            }
            for safe in safe_temperatures(line.portion for line in batch.foods)
        ],
    }


def _food(line: ScaledLine, scale: str, pots: int) -> dict:
    return {
        "food": say(line.portion.food),
        "grams": line.grams,
        "each_pot_g": _each_pot(line, pots),
        "buy_g": line.buy_g,
        "waste_unknown": line.purchase_g is None,
        "household": _unweighed(line) if scale == NO_SCALE else line.household,
        "when": say(WHEN[line.portion.when]),
        "note": say(line.portion.note),
        "eggs": egg_sentence(line),
    }


def _unweighed(line: ScaledLine) -> str:
    """In cups, spoons or pieces, told with what it is off by; else weighed in the shop."""
    found = without_scale(line)
    if found is None:
        return say("have {weight} weighed in the shop").format(weight=weight(line.grams))
    off = round(found.off_percent)
    if not off:
        return found.text
    text = say("{measure} ({percent} % more)") if off > 0 else say("{measure} ({percent} % less)")
    return text.format(measure=found.text, percent=abs(off))


def _each_pot(line: ScaledLine, pots: int) -> float | None:
    """The share of each of several even pots [g]; None for one pot, and for what never sees it."""
    return None if pots == 1 or in_the_bowl(line.portion) else round(line.grams / pots, 1)


def egg_sentence(line: ScaledLine) -> str:
    """Whole raw eggs both ways: how many that is, and what becomes of the rest of the last one."""
    found = eggs(line.grams, line.portion.measures) if line.portion.food == WHOLE_RAW_EGG else None
    if found is None or found.all_used:
        return ""
    both = say("{count} large eggs: beat {whole}, weigh out {weight}, freeze the rest.")
    return both.format(count=in_quarters(found.count), whole=found.to_break, weight=weight(found.grams))
