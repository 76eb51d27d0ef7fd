"""The words of a take-home sheet, for someone who cooks at home. Pure."""

from datetime import date

from nutrients import language
from nutrients.adequacy_table import AdequacyRow
from nutrients.language import later, later_many, listed, number, plain, say, say_many, unit_name
from patients.timing import PIECES, Dose
from patients.workings import Workings
from recipes.household import QUARTERS

GOALS = {
    "hold": later("keep the weight"),
    "lose": later("lose weight"),
    "gain": later("gain weight"),
    "grow": later("grow evenly"),
}
SERVED = {"cold": later("cold, straight from the fridge"), "rewarmed": later("warmed again")}
WHEN = {
    "in_the_pot": later("in the pot"),
    "late": later("for the last minutes"),
    "off_the_heat": later("off the heat"),
    "cooled_batch": later("into the cooled batch"),
    "in_the_bowl": later("in the bowl, at the meal"),
}
UNITS = {
    "tablet": later_many("tablet", "tablets"),
    "capsule": later_many("capsule", "capsules"),
    "drop": later_many("drop", "drops"),
    "scoop": later_many("scoop", "scoops"),
}
WHEN_ORDER = tuple(WHEN)
UNBROKEN = "\N{NO-BREAK SPACE}"
UNCHANGED = ("g", "mg", "ml")  # units without a plural


def counted(amount: float, unit: str) -> str:
    """An amount with its unit, such as `½ tablet`, `7 drops`, `1.3 ml`."""
    if unit in UNCHANGED:
        return f"{plain(amount)} {unit}"
    named = say_many(*UNITS.get(unit, (unit, f"{unit}s")), amount)
    whole, part = divmod(amount, 1)
    if unit in PIECES and part in QUARTERS:
        return f"{f'{whole:.0f}' if whole else ''}{QUARTERS[part]} {named}"
    return f"{plain(amount)} {named}"


def figure(row: AdequacyRow, value: float) -> str:
    """A number of an adequacy row with its unit, such as `1.42 g`; a ratio has no unit."""
    told = number(value, row.decimals)
    return told if row.unit == "ratio" else f"{told}{UNBROKEN}{unit_name(row.unit)}"


def amount_of(row: AdequacyRow) -> str:
    """A nutrient with what is known of it, such as `Calcium 1.42 g`."""
    if row.amount is None:
        return say("{nutrient} unknown").format(nutrient=say(row.name))
    return f"{say(row.name)}{UNBROKEN}{figure(row, row.amount)}"


def known_amount(row: AdequacyRow) -> str:
    """The same; where a food has no value, such as `Copper at least 1.9 mg (no value in Kale, raw)`."""
    if row.amount is None or not row.missing:
        return amount_of(row)
    return say("{nutrient} at least {amount} (no value in {foods})").format(
        nutrient=say(row.name), amount=figure(row, row.amount), foods=", ".join(map(say, row.missing))
    )


def bowl_amount(dose: Dose) -> str:
    """What goes into the bowl on a day, such as `7 drops a day` or `½ tablet on day 1 and 4 of the batch`."""
    amount = counted(dose.day_amount, dose.dose_unit)
    if dose.every_days == 1:
        return say("{amount} a day").format(amount=amount)
    return say("{amount} on day {days} of the batch").format(
        amount=amount, days=listed([str(day) for day in dose.on_days])
    )


def bowl_share(dose: Dose) -> str:
    """How a day's dose is divided among the meals."""
    if dose.meals == 1:
        return say("all in one meal")
    amount = counted(dose.meal_amount, dose.dose_unit)
    return say("{amount} in each of {meals} meals").format(amount=amount, meals=dose.meals)


def feeding_notes(workings: Workings) -> list[str]:
    """What the owner must know about the amount, beside the grams."""
    plan, notes = workings.plan, []
    if plan.recipe_share < 1:
        unjudged = say("This recipe is {share} % of {dog}'s food. The other {rest} % was not checked here.")
        if workings.whole:
            unjudged = say("This recipe is {share} % of {dog}'s food, the other food is {rest} %.")
        share, rest = number(plan.recipe_share * 100), number(workings.other_share * 100)
        notes.append(unjudged.format(share=share, dog=workings.dog.name, rest=rest))
    if plan.extras_kcal:
        extras = say("Treats, chews and toppers together: at most {kcal} kcal a day, already counted.")
        notes.append(extras.format(kcal=number(plan.extras_kcal)))
    else:
        notes.append(say("No treats, chews or toppers: they are not counted in this plan. Ask us first."))
    if workings.batch and workings.batch.analysis.cooked_is_estimate:
        notes.append(say("The weight of the cooked pot is an estimate. Weigh your pot and use the table."))
    return notes


def accepted_sentence(by: str, on: date) -> str:
    return say("Read and accepted by {name} on {day}:").format(name=by, day=language.day(on))
