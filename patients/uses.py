"""Which plans a food goes into."""

from nutrients.models import Food
from nutrients.uses import Use
from patients.models import Patient, Plan


def in_plans(food: Food) -> list[Use]:
    """Every plan in draft or issued of a dog in care whose recipe version holds the food."""
    plans = (
        Plan.objects.filter(patient__in=Patient.objects.fed())
        .exclude(state=Plan.State.ENDED)
        .filter(recipe_version__ingredients__food=food)
        .select_related("patient", "recipe_version__recipe")
        .order_by("patient__name", "-created_at")
        .distinct()
    )
    return [
        Use(
            label=f"{plan.patient.name}: {plan.recipe_version}",
            url=plan.get_absolute_url(),
            where=plan.get_state_display().lower(),
        )
        for plan in plans
    ]
