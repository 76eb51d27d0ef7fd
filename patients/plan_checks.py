"""What is wrong with a plan, as (the plan's field, a sentence that says what to do). Pure."""

import math
from collections.abc import Callable, Iterable

from patients.dog import Dog
from patients.energy import HIGHEST_FACTOR, check_weight, recipe_energy, resting_energy
from patients.meals import split_problem
from patients.portions import fridge_split
from patients.sentences import in_kg

LOWEST_OF_RER = 0.8  # AAHA 2014 Weight Management Guidelines: 0.8-1.0 x RER of the target weight
LOWEST_TARGET, HIGHEST_TARGET = (
    0.5,
    1.6,
)  # of the weight now; common practice, no source: beyond, a typing error
MOST_MEALS, MOST_DAYS = 6, 31  # common practice, no source

Problem = tuple[str, str]


def plan_problems(plan, dog: Dog) -> list[Problem]:
    """What is wrong with the numbers of a plan, whatever the recipe. `plan`: anything with its attributes."""
    target = target_problem(plan, dog)
    checks = (
        ("target_kg", target),
        ("goal", goal_problem(plan.goal, dog)),
        ("kcal_per_day", "" if target else energy_problem(plan, dog)),
        ("extras_kcal", _raised(lambda: recipe_energy(plan.kcal_per_day, plan.extras_kcal))),
        ("recipe_share", _raised(lambda: recipe_energy(plan.kcal_per_day, 0, plan.recipe_share))),
        ("meal_split", split_problem(plan.meal_split, plan.meals_per_day)),
        ("meals_per_day", _range_problem(plan.meals_per_day, MOST_MEALS, "meals a day")),
        ("batch_days", _range_problem(plan.batch_days, MOST_DAYS, "days")),
        ("frozen", _keeping_problem(plan)),
    )
    return [(field, message) for field, message in checks if message]


def recipe_problems(
    dog: Dog, foods: dict[str, str], profile_name: str, growth_profile: bool
) -> list[Problem]:
    """What stands between this recipe and this dog. foods: name -> group."""
    if not foods:
        return [("recipe_version", "This recipe is empty: it has no ingredient yet.")]
    problems = [("recipe_version", avoided_sentence(dog, *found)) for found in dog.avoided(foods)]
    if dog.needs_growth_profile and not growth_profile:
        why = "is growing" if dog.stage.growing else "is pregnant or nursing"
        problems.append(
            ("profile", f"{dog.name} {why}: {profile_name} is for adults. Choose a growth profile.")
        )
    return problems


def avoided_sentence(dog: Dog, food: str, entry) -> str:
    reason = f" ({entry.reason})" if entry.reason else ""
    return f"{food} is on the list of foods {dog.name} must avoid: {entry.food or entry.word}{reason}."


def fields_of(problems: Iterable[Problem]) -> set[str]:
    return {field for field, _ in problems}


def _raised(check: Callable[[], object]) -> str:
    """The sentence of the ValueError that `check` raises, or ""."""
    try:
        check()
    except ValueError as problem:
        return str(problem)
    return ""


def target_problem(plan, dog: Dog) -> str:
    wrong = _raised(lambda: check_weight(plan.target_kg, "target weight"))
    if wrong or dog.weight_kg is None:
        return wrong
    now, target = in_kg(dog.weight_kg), in_kg(plan.target_kg)
    if not LOWEST_TARGET * dog.weight_kg <= plan.target_kg <= HIGHEST_TARGET * dog.weight_kg:
        return f"A target of {target} for a dog of {now} cannot be right: check the number and its unit."
    if plan.goal == "lose" and plan.target_kg >= dog.weight_kg:
        return f"To lose weight the target must be below the weight now, {now}."
    if plan.goal == "gain" and plan.target_kg <= dog.weight_kg:
        return f"To gain weight the target must be above the weight now, {now}."
    return ""


def goal_problem(goal: str, dog: Dog) -> str:
    if goal == "grow" and not dog.stage.growing:
        return f"{dog.name} is grown: choose another goal."
    if goal == "lose" and dog.needs_growth_profile:
        return f"{dog.name} must not lose weight while growing, pregnant or nursing: choose another goal."
    return ""


def energy_problem(plan, dog: Dog) -> str:
    lowest = LOWEST_OF_RER * resting_energy(plan.target_kg)
    highest = HIGHEST_FACTOR * resting_energy(max(plan.target_kg, dog.weight_kg or 0))
    if not plan.kcal_per_day >= min(lowest, dog.agreed_kcal or lowest):
        return (
            f"{plan.kcal_per_day:,.0f} kcal is below {LOWEST_OF_RER} x RER of the target weight: "
            f"enter at least {math.ceil(lowest):,d} kcal{_or_agreed(dog)}."
        )
    if plan.kcal_per_day > highest:
        return f"{plan.kcal_per_day:,.0f} kcal is more than such a dog can eat: at most {highest:,.0f}."
    return ""


def _or_agreed(dog: Dog) -> str:
    """What else makes less energy possible for a dog that needs no growth food."""
    if dog.needs_growth_profile:
        return ""
    if dog.agreed_kcal is not None:
        return f", or the {dog.agreed_kcal:,.0f} kcal that its veterinarian agreed to"
    return ", or record the veterinarian's sign-off for less on the dog's page"


def _range_problem(value: int, most: int, what: str) -> str:
    return "" if 1 <= value <= most else f"Enter 1 to {most} {what}."


def _keeping_problem(plan) -> str:
    if plan.frozen or not 1 <= plan.batch_days <= MOST_DAYS:
        return ""
    fresh, frozen = fridge_split(plan.batch_days)
    if not frozen:
        return ""
    return (
        f"Cooked food keeps {fresh} days in the fridge: {frozen} of the {plan.batch_days} days must be "
        "frozen. Tick this, or cook for fewer days."
    )
