"""The parts of a sheet's record about the dog, its meals, the change of food and keeping. Pure."""

from datetime import date

from nutrients.language import say
from patients.batch import Batch
from patients.food_safety import (
    CHANGEOVER,
    CHANGEOVER_BOWL,
    CHANGEOVER_KEEPING,
    CHANGEOVER_SLOWLY,
    REHEATED,
)
from patients.portions import COOKED_CUP_G, KEEPING, cups, grams_per_meal
from patients.sentences import wanted_kg
from patients.sheet.words import GOALS, SERVED, feeding_notes
from patients.workings import Workings
from recipes.analysis import IN_THE_BOWL


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
        "meal_g": round(batch.meal_g),
        "meal_cups": cups(batch.meal_g),
        "cup_g": COOKED_CUP_G,
        "day_g": round(batch.meal_g * plan.meals_per_day),
        "meals_per_batch": plan.meals_per_day * plan.batch_days,
        "pot_g": round(batch.analysis.cooked_g),
        "pot_is_estimate": batch.analysis.cooked_is_estimate,
        "pots": [[round(pot), round(meal)] for pot, meal in batch.pots],
        "bowl": [[line.portion.food, round(grams, 1)] for line, grams in batch.bowl],
        "days": plan.batch_days,
        "served": say(SERVED[plan.serve]),
        "notes": feeding_notes(workings),
    }


def changeover_part(batch: Batch) -> dict:
    steps = [
        {"days": days, "new_percent": new, "old_percent": old, "new_g": round(batch.meal_g * new / 100)}
        for days, new, old in CHANGEOVER
    ]
    in_bowl = any(dose.when == IN_THE_BOWL for dose in batch.doses)
    advice = [CHANGEOVER_SLOWLY, CHANGEOVER_KEEPING, *([CHANGEOVER_BOWL] if in_bowl else [])]
    return {"steps": steps, "advice": advice}


def keeping_part(batch: Batch) -> dict:
    days = batch.scaled.days
    total_g = batch.analysis.cooked_g
    return {
        "fresh_days": batch.fresh_days,
        "frozen_days": batch.frozen_days,
        "day_g": round(grams_per_meal(total_g, days, 1)),
        "rules": [rule.text for rule in KEEPING.values()],
        "reheat_celsius": REHEATED.celsius,
        "reheat_fahrenheit": REHEATED.fahrenheit,
    }
