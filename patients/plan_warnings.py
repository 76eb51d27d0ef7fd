"""What the practitioner should know of a batch, beside its answers of adequacy. Pure."""

import pandas as pd

from nutrients.adequacy import worst_answers
from patients.batch import NO_SCALE, Batch, Grounds
from patients.portions import fridge_split, without_scale
from patients.steps import names_an_amount
from patients.whole_day import WholeDay

FAR_OFF = 0.05  # of the day's energy; common practice, no source: from here on rounding is told
FREEZER_DAYS = {"none": 0, "little": 7}  # what the record's words say: a drawer, about a week of food
FOOD_FAR_OFF_PERCENT = 25  # common practice, no source: from here on the rounding of a food is told
VITAMIN_E_PER_PUFA = 0.6  # IU per g; AAFCO note, from memory: told when the chosen profile has no such limit


def batch_warnings(plan, batch: Batch, grounds: Grounds, recipe_kcal: float) -> list[str]:
    """One sentence each; recipe_kcal: what was asked of the recipe a day."""
    energy = batch.analysis.energy
    return [
        *_share_warning(plan, grounds),
        *_rounding_warnings(batch, recipe_kcal),
        *_moved_warnings(batch),
        *_scale_warnings(plan, batch),
        *(f"Energy not wholly known: {food}. The batch may hold more kcal." for food in energy.missing),
        *_watch_warnings(batch, grounds),
        *(
            f"A kitchen step names an amount, which is not scaled: “{step}” Take it out of the recipe's text."
            for step in grounds.steps
            if names_an_amount(step)
        ),
    ]


def freezer_warnings(plan, freezer: str) -> list[str]:
    """freezer: none, little, much, or "" for not told."""
    most = FREEZER_DAYS.get(freezer)
    fresh, frozen = fridge_split(plan.batch_days)
    if most is None or frozen <= most:
        return []
    holds = "has no freezer" if most == 0 else f"has room for about {most} days in the freezer"
    return [
        f"The owner {holds}, and {frozen} of the {plan.batch_days} days of a batch would be frozen: "
        f"cook for at most {fresh + most} days."
    ]


def _share_warning(plan, grounds: Grounds) -> list[str]:
    if plan.recipe_share == 1 or grounds.beside is not None:
        return []
    return [
        f"This recipe brings {_percent(plan.recipe_share)} of the day. The other "
        f"{_percent(1 - plan.recipe_share)} was not judged here."
    ]


def whole_day_warnings(whole: WholeDay | None) -> list[str]:
    """What the recipe and the food beside it miss or pass together."""
    if whole is None:
        return []
    answers = worst_answers(whole.judgement)
    off = {word: list(whole.judgement["name"][answers == word]) for word in ("below", "above")}
    limits = {"below": "a minimum", "above": "a maximum"}
    return [
        f"The whole day with {whole.food} is {word} {limits[word]}: {', '.join(names)}."
        for word, names in off.items()
        if names
    ]


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"


def _rounding_warnings(batch: Batch, recipe_kcal: float) -> list[str]:
    off = batch.kcal_per_day / recipe_kcal - 1
    found = []
    if abs(off) > FAR_OFF:
        found.append(
            f"As rounded the batch brings {batch.kcal_per_day:,.0f} kcal a day, {_percent(abs(off))} "
            f"{'more' if off > 0 else 'less'} than asked for: choose smaller rounding steps or more days."
        )
    found += [
        f"{line.portion.food} was rounded by {line.rounded_by_percent:+.0f} %."
        for line in batch.foods
        if abs(line.rounded_by_percent) > FOOD_FAR_OFF_PERCENT
    ]
    return found + [
        f"{dose.food}: the dose was rounded by {dose.rounded_by_percent:+.0f} %."
        for dose in batch.doses
        if dose.rounded_a_lot
    ]


def _moved_warnings(batch: Batch) -> list[str]:
    """What rounding does to nutrients, in one sentence."""
    if not batch.moved:
        return []
    told = ", ".join(f"{name} {percent:+.0f} %" for name, percent in batch.moved)
    return [f"Rounding moves these nutrients per 1000 kcal: {told}. More days per batch move them less."]


def _scale_warnings(plan, batch: Batch) -> list[str]:
    if plan.scale != NO_SCALE:
        return []
    powders = [dose.food for dose in batch.doses if dose.dose_unit == "g"]
    unmeasured = [line.portion.food for line in batch.foods if without_scale(line) is None]
    found = []
    if powders:
        found.append(f"Without a scale no spoon measures these safely: {', '.join(powders)}.")
    if unmeasured:
        found.append(f"Without a scale there is no household measure for: {', '.join(unmeasured)}.")
    return found


def _watch_warnings(batch: Batch, grounds: Grounds) -> list[str]:
    totals, kcal = batch.analysis.composition.totals, batch.analysis.energy.kcal
    found = [text for key, level, text in grounds.watch_levels if totals.get(key, 0) * 1000 / kcal > level]
    if "vitamin_e_per_pufa" in grounds.profile.limits.index:
        return found
    ratio = totals["vitamin_e_per_pufa"]
    if ratio >= VITAMIN_E_PER_PUFA:
        return found
    known = "cannot be told: data missing" if pd.isna(ratio) else f"is {ratio:.2f} IU"
    wanted = f"at least {VITAMIN_E_PER_PUFA} IU is wanted"
    return [
        *found,
        f"Vitamin E per g of polyunsaturated fat {known}; {wanted}, more with fish oil.",
    ]
