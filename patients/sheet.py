"""The record of a take-home sheet: everything it says, frozen as plain values. Pure.

The record is what pages and PDF print. It holds numbers and sentences, never a reference to a recipe, a food
or a dog, so that a later change to one of them leaves it alone. Weights in g and kg, energy in kcal.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date

from nutrients.adequacy_table import AdequacyRow, grouped_rows
from nutrients.units import fahrenheit
from patients.agreements import agreed_sentences
from patients.alternatives import Alternative, told
from patients.food_safety import (
    CALL_THE_VETERINARIAN,
    CHANGEOVER,
    CHANGEOVER_BOWL,
    CHANGEOVER_KEEPING,
    CHANGEOVER_SLOWLY,
    REHEATED,
    safe_temperatures,
)
from patients.leave_in import LeaveIn
from patients.portions import COOKED_CUP_G, KEEPING, cups, grams_per_meal
from patients.sentences import wanted_kg
from patients.sheet_words import (
    GOALS,
    SERVED,
    WHEN,
    WHEN_ORDER,
    accepted_sentence,
    amount_of,
    bowl_amount,
    bowl_share,
    counted,
    feeding_notes,
)
from patients.steps import names_an_amount
from patients.timing import Dose
from patients.workings import Batch, Workings
from recipes.analysis import IN_THE_BOWL
from recipes.scaling import ScaledLine

FORMAT = 4  # raised when the shape of the record changes


@dataclass(frozen=True)
class Recipe:
    """The version that is cooked. steps: (text, minutes or None, temperature to reach [°C] or None)."""

    title: str
    version: int
    method: str
    approved_by: str
    approved_on: date
    steps: Sequence[tuple[str, int | None, float | None]]


@dataclass(frozen=True)
class SignOff:
    """The veterinarian's agreement, as a practitioner recorded it."""

    veterinarian: str
    clinic: str
    on: date
    covers: tuple[str, ...]


@dataclass(frozen=True)
class Issue:
    """The act of issuing. accepted: sentences on open limits that the practitioner read and accepted."""

    number: int
    by: str
    on: date
    expires_on: date
    next_recheck: date | None
    accepted: tuple[str, ...] = ()
    sign_off: SignOff | None = None


def assemble(
    workings: Workings,
    *,
    issue: Issue,
    recipe: Recipe,
    leave_in: LeaveIn,
    practice: Mapping[str, str],
    sentence: str,
    owner: str,
    weighed_on: date,
    food_data: Sequence[str],
    alternatives: Sequence[Alternative] = (),
) -> dict:
    """The record, ready for JSON. sentence: the dog in a sentence. practice: name, address, phone, email,
    paper. food_data: the releases the food values come from. Raises ValueError for a plan without a batch.
    """
    batch = workings.batch
    if batch is None:
        raise ValueError("A plan that cannot be worked out has no sheet.")
    return {
        "format": FORMAT,
        "practice": dict(practice),
        "number": issue.number,
        "issued_by": issue.by,
        "issued_on": issue.on.isoformat(),
        "expires_on": issue.expires_on.isoformat(),
        "next_recheck": issue.next_recheck.isoformat() if issue.next_recheck else None,
        "dog": _dog(workings, sentence, owner, weighed_on),
        "feeding": _feeding(workings, batch),
        "recipe": _recipe(recipe, workings, batch),
        "supplements": by_moment(batch.doses),
        "substitutions": told(alternatives, batch),
        "leave_in": _leave_in(leave_in),
        "needs_fine_scale": any(dose.dose_unit == "g" for dose in batch.doses),
        "changeover": _changeover(batch),
        "keeping": _keeping(batch),
        "call": list(CALL_THE_VETERINARIAN),
        "cautions": _cautions(workings),
        "for_owner": [caution.for_owner for caution in workings.cautions if caution.for_owner],
        "adequacy": _adequacy(workings, batch),
        "accepted": list(issue.accepted),
        "accepted_words": accepted_sentence(issue.by, issue.on) if issue.accepted else "",
        "sign_off": _sign_off(issue.sign_off),
        "agreed": agreed_sentences(workings.dog.agreements),
        "food_data": list(food_data),
    }


def _dog(workings: Workings, sentence: str, owner: str, weighed_on: date) -> dict:
    dog, plan = workings.dog, workings.plan
    return {
        "name": dog.name,
        "owner": owner,
        "sentence": sentence,
        "weight_kg": dog.weight_kg,
        "weighed_on": weighed_on.isoformat(),
        "bcs": dog.bcs,
        "stage": dog.stage.label,
        "goal": GOALS[plan.goal],
        "target_kg": wanted_kg(plan),
    }


def _feeding(workings: Workings, batch: Batch) -> dict:
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
        "served": SERVED[plan.serve],
        "notes": feeding_notes(workings),
    }


def _recipe(recipe: Recipe, workings: Workings, batch: Batch) -> dict:
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
        "when": WHEN[line.portion.when],
        "note": line.portion.note,
    }


def by_moment(doses: Sequence[Dose]) -> list[dict]:
    """The doses under the moment they go in and the reason for it, in kitchen order."""
    moments = dict.fromkeys((dose.when, dose.why) for dose in doses)
    return [
        {
            "when": WHEN[when],
            "why": why,
            "doses": [_dose(dose) for dose in doses if (dose.when, dose.why) == (when, why)],
        }
        for when, why in sorted(moments, key=lambda moment: WHEN_ORDER.index(moment[0]))
    ]


def _dose(dose: Dose) -> dict:
    in_bowl = dose.when == IN_THE_BOWL
    return {
        "food": dose.food,
        "amount": bowl_amount(dose) if in_bowl else counted(dose.batch_amount, dose.dose_unit),
        "share": bowl_share(dose) if in_bowl else "",
        "per_batch": counted(dose.batch_amount, dose.dose_unit),
    }


def _leave_in(found: LeaveIn) -> dict:
    return {
        "supplements": found.supplements,
        "lines": [{"food": food, "sentence": sentence} for food, sentence in found.lines],
        "no_limit": list(found.no_limit),
    }


def _changeover(batch: Batch) -> dict:
    steps = [
        {"days": days, "new_percent": new, "old_percent": old, "new_g": round(batch.meal_g * new / 100)}
        for days, new, old in CHANGEOVER
    ]
    in_bowl = any(dose.when == IN_THE_BOWL for dose in batch.doses)
    advice = [CHANGEOVER_SLOWLY, CHANGEOVER_KEEPING, *([CHANGEOVER_BOWL] if in_bowl else [])]
    return {"steps": steps, "advice": advice}


def _keeping(batch: Batch) -> dict:
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


def _cautions(workings: Workings) -> list[dict]:
    return [
        {
            "subject": caution.subject,
            "action": caution.action,
            "text": caution.text,
            "because": caution.because,
            "for_owner": caution.for_owner,
        }
        for caution in workings.cautions
    ]


def _adequacy(workings: Workings, batch: Batch) -> dict:
    """The rows as judged for this dog, and per group which nutrients have which answer."""
    groups = grouped_rows(batch.strictest, batch.analysis.estimated)
    rows = [row for _, rows in groups for row in rows]
    return {
        "for_dog": batch.for_dog is not None,
        "groups": [[group, [asdict(row) for row in rows]] for group, rows in groups],
        "summary": [_summary(group, rows) for group, rows in groups],
        "missing": _by_foods((row.name, row.missing) for row in rows if _is(row, "cannot_confirm")),
        "estimated": _by_foods((row.name, row.estimated) for row in rows if row.estimated),
        "profile": {
            "name": workings.profile.name,
            "edition": workings.profile.edition,
            "life_stage": workings.profile.life_stage,
        },
    }


def _summary(group: str, rows: Sequence[AdequacyRow]) -> dict:
    return {
        "group": group,
        "met": [amount_of(row) for row in rows if not row.open],
        "off": [amount_of(row) for row in rows if _is(row, "below") or _is(row, "above")],
        "unconfirmed": [amount_of(row) for row in rows if _is(row, "cannot_confirm")],
    }


def _by_foods(concerned: Iterable[tuple[str, tuple[str, ...]]]) -> list[dict]:
    """Nutrients, each with the foods concerned, told once for the same foods."""
    by_foods: dict[tuple[str, ...], list[str]] = {}
    for name, foods in concerned:
        by_foods.setdefault(foods, []).append(name)
    return [{"foods": list(foods), "nutrients": names} for foods, names in by_foods.items()]


def _is(row: AdequacyRow, answer: str) -> bool:
    return any(word.answer == answer for word in row.answers)


def _sign_off(sign_off: SignOff | None) -> dict | None:
    if sign_off is None:
        return None
    return {
        "veterinarian": sign_off.veterinarian,
        "clinic": sign_off.clinic,
        "on": sign_off.on.isoformat(),
        "covers": list(sign_off.covers),
    }
