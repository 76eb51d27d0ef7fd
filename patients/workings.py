"""From a dog's energy to its bowl: one plan worked out. Pure calculation.

energy -> the recipe's share of it -> a scaled batch -> foods and doses rounded and timed -> analysed again as
rounded -> grams per meal. What cannot be worked out is left None and told as a problem.
"""

import math
from dataclasses import dataclass, replace

import pandas as pd

from nutrients.adequacy import ProfileLimits, for_patient, judge
from nutrients.composition import RATIOS, SUMS
from patients.batch import NO_SCALE, Batch, Grounds, in_the_bowl
from patients.capacity import Filling, filling
from patients.cautions import AppliedCaution
from patients.dog import Dog
from patients.energy import recipe_energy
from patients.per_day import DayRow, day_rows
from patients.plan_checks import Problem, fields_of, plan_problems, recipe_problems
from patients.plan_warnings import batch_warnings, freezer_warnings, whole_day_warnings
from patients.portions import batches_a_month, fridge_split, grams_per_meal, pot_table
from patients.premix import Premix, premix
from patients.rounding import moved_nutrients
from patients.timing import as_given, coarse_steps, schedule
from patients.whole_day import WholeDay, whole_day
from recipes.analysis import Analysis, Portion, composition
from recipes.scaling import ScaledBatch, dose_step, scale
from recipes.substitutions import Swap

REWARMED = "rewarmed"  # of a plan: the food is heated again before it is eaten
WATER_STEP_G = 10  # common practice, no source: what a kitchen measures of water
# Fields of a plan without which nothing can be scaled.
NUMBERS = {
    "target_kg",
    "kcal_per_day",
    "extras_kcal",
    "recipe_share",
    "meals_per_day",
    "batch_days",
}


@dataclass(frozen=True)
class Workings:
    """Everything that follows from a plan. recipe_kcal: from this recipe a day; None when it has none.

    whole: the day with the food beside it, where that is said. day: nutrients a day against its allowance.
    """

    plan: object
    dog: Dog
    profile: ProfileLimits
    recipe_kcal: float | None
    batch: Batch | None
    cautions: tuple[AppliedCaution, ...]
    problems: tuple[Problem, ...]
    warnings: tuple[str, ...]
    whole: WholeDay | None = None
    day: tuple[DayRow, ...] = ()

    @property
    def filling(self) -> Filling | None:
        """How the batch fills its vessel; None while the vessel's size is not told."""
        if self.batch is None or self.plan.vessel_litres is None:
            return None
        return filling(self.batch.in_pot_g, self.plan.vessel_litres)

    @property
    def batches_a_month(self) -> int:
        """As the plan says, else as many as feed a month."""
        return self.plan.batches_a_month or batches_a_month(self.plan.batch_days)

    @property
    def premix(self) -> Premix | None:
        """The month's powders, mixed once; None without an owner's scale that is told."""
        if self.batch is None or self.plan.scale in ("", NO_SCALE):
            return None
        return premix(self.batch.doses, self.batches_a_month, float(self.plan.scale))

    @property
    def other_share(self) -> float:
        """The share of the day (0..1) that comes from other food, which is not judged here."""
        return 1 - self.plan.recipe_share


def work(plan, dog: Dog, grounds: Grounds, cautions: tuple[AppliedCaution, ...]) -> Workings:
    """Work a plan out. `plan`: anything with the attributes of a plan; nothing is written to it."""
    problems = plan_problems(plan, dog)
    recipe_kcal = batch = whole = None
    warnings: list[str] = [f"Take this to the veterinarian first: {concern}." for concern in dog.concerns]
    warnings += grounds.discontinued
    if not fields_of(problems) & NUMBERS:
        recipe_kcal = recipe_energy(plan.kcal_per_day, plan.extras_kcal, plan.recipe_share)
    problems += [("recipe_version", sentence) for sentence in grounds.unsafe]
    problems += recipe_problems(dog, grounds.foods(), grounds.profile.name, grounds.profile.growth)
    if recipe_kcal and grounds.portions:
        try:
            batch = cook(plan, grounds, recipe_kcal)
        except ValueError as problem:
            problems.append(("recipe_version", str(problem)))
        else:
            problems += [("recipe_version", sentence) for sentence in too_coarse(batch, grounds)]
            warnings += batch_warnings(plan, batch, grounds, recipe_kcal)
            whole, wrong = _whole_day(plan, grounds, batch)
            problems += wrong
            warnings += whole_day_warnings(whole)
            warnings += freezer_warnings(plan, dog.freezer)
    return Workings(
        plan,
        dog,
        grounds.profile,
        recipe_kcal,
        batch,
        cautions,
        tuple(problems),
        tuple(warnings),
        whole,
        tuple(day_rows(plan, grounds, batch)) if batch else (),
    )


def _whole_day(plan, grounds: Grounds, batch: Batch) -> tuple[WholeDay | None, list[Problem]]:
    try:
        return whole_day(plan, grounds, batch), []
    except ValueError as problem:
        return None, [("other_food", str(problem))]


def cook(plan, grounds: Grounds, recipe_kcal: float, swap: Swap | None = None) -> Batch:
    """Scale, round, time, analyse again and portion.

    swap: is made in the batch, whose scale stays that of the recipe as written; its pot was never weighed.
    Raises ValueError when the recipe holds no energy or a dose cannot be given in whole steps.
    """
    as_written = grounds.analysed(grounds.portions, grounds.added_water_g, grounds.cooked_weight_g)
    portions = swap.applied(grounds.portions) if swap else grounds.portions
    scaled = scale(portions, as_written.energy.kcal, recipe_kcal, plan.batch_days)
    supplements = scaled.supplements()
    doses = schedule(supplements, plan.serve, plan.frozen, plan.batch_days, plan.meals_per_day)
    given = scaled.foods() + as_given(supplements, doses)
    water_g = round(grounds.added_water_g * scaled.factor / WATER_STEP_G) * WATER_STEP_G
    analysis = grounds.analysed(given, water_g, None if swap else _cooked_weight(grounds, scaled))
    kcal_per_day = analysis.energy.kcal / plan.batch_days
    fresh, frozen = fridge_split(plan.batch_days)
    bowl = [line for line in scaled.lines if in_the_bowl(line.portion)]
    return Batch(
        scaled=scaled,
        doses=tuple(doses),
        water_g=water_g,
        analysis=analysis,
        for_dog=_judged_for_dog(plan, grounds, analysis, kcal_per_day),
        kcal_per_day=kcal_per_day,
        meal_g=grams_per_meal(analysis.cooked_g, plan.batch_days, plan.meals_per_day),
        bowl=tuple((line, grams_per_meal(line.grams, plan.batch_days, plan.meals_per_day)) for line in bowl),
        pots=tuple(pot_table(analysis.cooked_g, plan.batch_days, plan.meals_per_day)),
        fresh_days=fresh,
        frozen_days=frozen,
        moved=() if swap else tuple(moved_nutrients(as_written, analysis)),
    )


def _cooked_weight(grounds: Grounds, scaled: ScaledBatch) -> float | None:
    """The weighed pot of the recipe as written, scaled with the rounded weight of its foods."""
    if grounds.cooked_weight_g is None:
        return None
    foods = [line for line in scaled.lines if not line.portion.is_supplement]
    written = sum(line.portion.grams for line in foods)
    return grounds.cooked_weight_g * sum(line.grams for line in foods) / written


def _judged_for_dog(plan, grounds: Grounds, analysis: Analysis, kcal_per_day: float) -> pd.DataFrame | None:
    """Judged with minima raised for a dog that eats little; None for a profile of growth."""
    if grounds.profile.growth:
        return None
    raised = limits_for_dog(plan, grounds, kcal_per_day)
    made_of = analysis.composition
    return judge(made_of.totals, made_of.completeness, analysis.energy.kcal, raised)


def limits_for_dog(plan, grounds: Grounds, kcal_per_day: float) -> ProfileLimits:
    """The profile at this dog's intake, when the recipe brings so many kcal a day.

    When other food is fed too, the dog's whole intake counts: the recipe owes its share of the nutrients.
    """
    whole_kcal = kcal_per_day / plan.recipe_share
    return for_patient(grounds.profile, grounds.allowances, whole_kcal, plan.target_kg)


def too_coarse(batch: Batch, grounds: Grounds) -> list[str]:
    """A sentence for every supplement of which one step brings too much of what has a maximum."""
    supplements = batch.scaled.supplements()
    limits = grounds.profile.limits
    kcal = batch.analysis.energy.kcal
    maxima = {
        key: line.maximum / line.factor * kcal / 1000
        for key, line in limits[limits["maximum"].notna()].iterrows()
        if key not in RATIOS
    }
    return coarse_steps(supplements, _one_step_each(supplements, grounds), maxima) if supplements else []


def _one_step_each(supplements: list[Portion], grounds: Grounds) -> dict[str, dict[str, float]]:
    """What one smallest dose step of each holds, in each nutrient's unit; vitamin A as its retinol alone."""
    ones = {each.food: replace(each, grams=math.prod(dose_step(each))) for each in supplements}
    made_of = composition(
        list(ones.values()),
        grounds.table,
        grounds.retention,
        grounds.method,
        grounds.negligible,
    )
    amounts = made_of.contributions
    sums = SUMS | {"vitamin_a": {"retinol": SUMS["vitamin_a"]["retinol"]}}
    derived = {
        key: (amounts[list(parts)] * pd.Series(parts)).sum(axis=1, min_count=1) for key, parts in sums.items()
    }
    return amounts.assign(**derived).to_dict("index")
