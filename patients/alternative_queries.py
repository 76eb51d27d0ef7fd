"""The approved substitutions of a plan's version, as they stand for its dog."""

from dataclasses import replace

from nutrients import queries as nutrients
from patients import plan_queries
from patients.alternatives import Alternative, alternative
from patients.models import Plan
from patients.workings import Workings
from recipes.obstacles import discontinued
from recipes.substitution_queries import substitutions_of, swap_of


def alternatives_of(plan: Plan, workings: Workings) -> list[Alternative]:
    """Those that are offered and those that are not; none for a plan without a batch."""
    approved = substitutions_of(plan.recipe_version).filter(approved_at__isnull=False)
    swaps = [swap_of(each) for each in approved] if workings.batch else []
    if not swaps:
        return []
    grounds = plan_queries.grounds_of(plan.recipe_version, plan.profile)
    foods = grounds.foods().keys() | {swap.portion.food for swap in swaps}
    grounds = replace(grounds, table=nutrients.food_table(foods=foods), estimates=nutrients.estimates(foods))
    found = []
    for swap in swaps:
        swapped = replace(grounds, portions=tuple(swap.applied(grounds.portions)))
        cautions = plan_queries.cautions_for(workings.dog, plan.goal, swapped)
        found.append(alternative(workings, grounds, swap, cautions, discontinued([swap.portion])))
    return found
