"""Where an amount of a plan comes from: the same steps as a recipe's, with the rounded batch."""

from patients.models import Plan
from patients.services import work_out
from patients.timing import as_given
from recipes import queries
from recipes.provenance import Batch, Provenance, trace
from recipes.provenance_queries import sources_for


def of_plan(plan: Plan, key: str) -> Provenance:
    """Raises ValueError for a nutrient that is not known, or a plan that cannot be worked out."""
    workings = work_out(plan)
    cooked = workings.batch
    if cooked is None:
        raise ValueError("The plan cannot be worked out.")
    portions = cooked.scaled.foods() + as_given(cooked.scaled.supplements(), cooked.doses)
    given = queries.reference(portions)
    batch = Batch(portions, plan.recipe_version.method, given.table, given.retention, cooked.analysis)
    return trace(key, batch, workings.profile, sources_for(portions, key))
