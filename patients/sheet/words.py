"""The words of a take-home sheet, for someone who cooks at home. Pure."""

from datetime import date

from nutrients.adequacy_table import AdequacyRow
from patients.timing import Dose
from patients.workings import Workings
from recipes.scaling import QUARTERS

GOALS = {"hold": "keep the weight", "lose": "lose weight", "gain": "gain weight", "grow": "grow evenly"}
SERVED = {"cold": "cold, straight from the fridge", "rewarmed": "warmed again"}
WHEN = {
    "in_the_pot": "in the pot",
    "late": "for the last minutes",
    "off_the_heat": "off the heat",
    "cooled_batch": "into the cooled batch",
    "in_the_bowl": "in the bowl, at the meal",
}
WHEN_ORDER = tuple(WHEN)
DIVIDED = ("tablet", "capsule")  # told in halves and quarters; all other units are weighed or counted
UNBROKEN = "\N{NO-BREAK SPACE}"
UNCHANGED = ("g", "mg", "ml")  # units without a plural


def counted(amount: float, unit: str) -> str:
    """An amount with its unit, such as `½ tablet`, `7 drops`, `1.3 ml`."""
    if unit in UNCHANGED:
        return f"{amount:g} {unit}"
    whole, part = divmod(amount, 1)
    if unit in DIVIDED and part in QUARTERS:
        return f"{f'{whole:.0f}' if whole else ''}{QUARTERS[part]} {unit}{'s' if amount > 1 else ''}"
    return f"{amount:g} {unit}{'s' if amount != 1 else ''}"


def figure(row: AdequacyRow, value: float) -> str:
    """A number of an adequacy row with its unit, such as `1.42 g`; a ratio has no unit."""
    return f"{value:,.{row.decimals}f}{'' if row.unit == 'ratio' else f'{UNBROKEN}{row.unit}'}"


def amount_of(row: AdequacyRow) -> str:
    """A nutrient with what is known of it, such as `Calcium 1.42 g`."""
    return f"{row.name} unknown" if row.amount is None else f"{row.name}{UNBROKEN}{figure(row, row.amount)}"


def known_amount(row: AdequacyRow) -> str:
    """The same; where a food has no value, such as `Copper at least 1.9 mg (no value in Kale, raw)`."""
    if row.amount is None or not row.missing:
        return amount_of(row)
    return f"{row.name} at least {figure(row, row.amount)} (no value in {', '.join(row.missing)})"


def bowl_amount(dose: Dose) -> str:
    """What goes into the bowl on a day, such as `7 drops a day` or `½ tablet on day 1 and 4 of the batch`."""
    often = "a day" if dose.every_days == 1 else f"on day {_listed(dose.on_days)} of the batch"
    return f"{counted(dose.day_amount, dose.dose_unit)} {often}"


def bowl_share(dose: Dose) -> str:
    """How a day's dose is divided among the meals."""
    if dose.meals == 1:
        return "all in one meal"
    return f"{counted(dose.meal_amount, dose.dose_unit)} in each of {dose.meals} meals"


def _listed(days: tuple[int, ...]) -> str:
    *first, last = map(str, days)
    return f"{', '.join(first)} and {last}" if first else last


def feeding_notes(workings: Workings) -> list[str]:
    """What the owner must know about the amount, beside the grams."""
    plan, notes = workings.plan, []
    if plan.recipe_share < 1:
        notes.append(
            f"This recipe is {plan.recipe_share * 100:.0f} % of {workings.dog.name}'s food. The other "
            f"{workings.other_share * 100:.0f} % was not checked here."
        )
    if plan.extras_kcal:
        notes.append(
            f"Treats, chews and toppers together: at most {plan.extras_kcal:.0f} kcal a day, already counted."
        )
    else:
        notes.append("No treats, chews or toppers: they are not counted in this plan. Ask us first.")
    if workings.batch and workings.batch.analysis.cooked_is_estimate:
        notes.append("The weight of the cooked pot is an estimate. Weigh your pot and use the table.")
    return notes


def accepted_sentence(by: str, on: date) -> str:
    return f"Read and accepted by {by} on {on.day} {on:%B %Y}:"
