"""The parts of a sheet's record about the dog, its meals, the change of food and keeping. Pure."""

from collections.abc import Sequence
from datetime import date

from nutrients.language import number, say
from nutrients.owner_units import weight
from patients.batch import Batch
from patients.food_safety import (
    CHANGEOVER,
    CHANGEOVER_BOWL,
    CHANGEOVER_DAYS,
    CHANGEOVER_KEEPING,
    CHANGEOVER_SLOWLY,
    MEAL_REFUSED,
    REHEATED,
    ChangeoverStep,
)
from patients.portions import COOKED_CUP_G, KEEPING, as_weighed, cups, grams_per_meal
from patients.sentences import wanted_kg
from patients.sheet.words import GOALS, SERVED, feeding_notes
from patients.treats import Treat
from patients.workings import Workings
from recipes.analysis import IN_THE_BOWL

LABEL_EXAMPLE_KCAL = 350  # common practice, no source: what many dry foods declare in 100 g


def dog_part(workings: Workings, sentence: str, owner: str, weighed_on: date) -> dict:
    dog, plan = workings.dog, workings.plan
    return {
        "name": dog.name,
        "owner": owner,
        "sentence": sentence,
        "weight_kg": dog.weight_kg,
        "weighed_on": weighed_on.isoformat(),
        "bcs": dog.bcs,
        "stage": dog.stage.label,
        "goal": say(GOALS[plan.goal]),
        "target_kg": wanted_kg(plan),
    }


def feeding_part(workings: Workings, batch: Batch) -> dict:
    plan = workings.plan
    return {
        "kcal_per_day": plan.kcal_per_day,
        "method": plan.method,
        "recipe_kcal_per_day": round(batch.kcal_per_day),
        "extras_kcal": plan.extras_kcal,
        "share_percent": round(plan.recipe_share * 100),
        "other_percent": round(workings.other_share * 100),
        "meals_per_day": plan.meals_per_day,
        "meal_g": as_weighed(batch.meal_g),
        "meals": [[share, as_weighed(grams)] for share, grams in batch.meals(plan.meal_split)],
        "beside": _beside(workings),
        "meal_cups": cups(batch.meal_g),
        "cup_g": COOKED_CUP_G,
        "day_g": as_weighed(batch.meal_g * plan.meals_per_day),
        "meals_per_batch": plan.meals_per_day * plan.batch_days,
        "pot_g": round(batch.analysis.cooked_g),
        "pot_is_estimate": batch.analysis.cooked_is_estimate,
        "pots": [[round(pot), as_weighed(meal)] for pot, meal in batch.pots],
        "bowl": [[say(line.portion.food), round(grams, 1)] for line, grams in batch.bowl],
        "days": plan.batch_days,
        "served": say(SERVED[plan.serve]),
        "notes": feeding_notes(workings),
    }


def _beside(workings: Workings) -> str:
    """How much of the other food of the day; empty without one."""
    whole = workings.whole
    if whole is None:
        return ""
    told = say("Beside it give {weight} of {food} a day: {kcal} kcal.")
    return told.format(weight=weight(whole.grams), food=say(whole.food), kcal=number(whole.kcal))


def energy_part(workings: Workings, batch: Batch) -> dict:
    """Where the day's energy comes from, and what the batch's is made of [kcal]."""
    energy, whole, extras = batch.analysis.energy, workings.whole, workings.plan.extras_kcal
    day = [[say("this recipe"), round(batch.kcal_per_day)]]
    if workings.plan.recipe_share < 1:
        rest = batch.kcal_per_day / workings.plan.recipe_share - batch.kcal_per_day
        day.append([say("other food"), round(whole.kcal if whole else rest)])
    if extras:
        day.append([say("treats and extras"), round(extras)])
    made_of = [
        [say("protein"), round(energy.protein_kcal)],
        [say("fat"), round(energy.fat_kcal)],
        [say("carbohydrate"), round(energy.nfe_kcal)],
    ]
    return {"day": day, "batch": made_of}


def changeover_part(batch: Batch) -> dict:
    """The steps, and each of the first ten days with its grams of new food at a meal."""
    steps = [{"days": say(step.name), **_shares(batch, step)} for step in CHANGEOVER]
    days = [
        {"day": day, **_shares(batch, step)}
        for day in range(1, CHANGEOVER_DAYS + 1)
        for step in CHANGEOVER
        if day in step.days
    ]
    in_bowl = any(dose.when == IN_THE_BOWL for dose in batch.doses)
    advice = [CHANGEOVER_SLOWLY, CHANGEOVER_KEEPING, *([CHANGEOVER_BOWL] if in_bowl else [])]
    return {"steps": steps, "days": days, "advice": [say(each) for each in advice]}


def _shares(batch: Batch, step: ChangeoverStep) -> dict:
    new_g = round(batch.meal_g * step.new / 100)
    return {"new_percent": step.new, "old_percent": step.old, "new_g": new_g}


def extras_part(workings: Workings, treats: Sequence[Treat]) -> dict:
    """Treats within the plan's extras. Weights in g, energy in kcal."""
    return {
        "kcal": workings.plan.extras_kcal,
        "treats": [[say(each.food), each.grams, round(each.kcal)] for each in treats],
    }


def when_short_part(workings: Workings, batch: Batch) -> dict:
    """What to feed when a batch runs short, and what to do when a meal is refused."""
    kcal = batch.kcal_per_day / workings.plan.meals_per_day
    refused = [say(each) for each in MEAL_REFUSED]
    return {"instead": _instead(workings, kcal), "refused": refused}


def _instead(workings: Workings, kcal: float) -> str:
    """For one meal of so many kcal: the food beside the recipe, else any complete food by its label."""
    whole = workings.whole
    if whole:
        told = say("Has a batch run short? Give {weight} of {food} for that meal: {kcal} kcal.")
        amount = weight(kcal / whole.kcal * whole.grams)
        return told.format(weight=amount, food=say(whole.food), kcal=number(kcal))
    for_instance = say("For a food of {label} kcal in 100 g that is {weight}.").format(
        label=number(LABEL_EXAMPLE_KCAL), weight=weight(kcal / LABEL_EXAMPLE_KCAL * 100)
    )
    told = say(
        "Has a batch run short? For that meal give a complete food for {stage}: {kcal} kcal. Divide {kcal} "
        "by the kcal in 100 g on its label, and take 100 times that in grams. {example}"
    )
    return told.format(stage=say(workings.profile.life_stage), kcal=number(kcal), example=for_instance)


def keeping_part(batch: Batch) -> dict:
    days = batch.scaled.days
    total_g = batch.analysis.cooked_g
    return {
        "fresh_days": batch.fresh_days,
        "frozen_days": batch.frozen_days,
        "day_g": round(grams_per_meal(total_g, days, 1)),
        "rules": [rule.said for rule in KEEPING.values()],
        "reheat_celsius": REHEATED.celsius,
    }
