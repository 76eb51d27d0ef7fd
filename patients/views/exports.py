"""The list of dogs as a CSV file."""

from django.contrib.auth.decorators import permission_required
from django.views.decorators.http import require_safe

from nutrients.csv_export import csv_response
from patients import queries
from patients.queries import ListedPatient
from patients.search_forms import PatientSearchForm
from patients.views.records import dogs_asked_for

PATIENT_COLUMNS = (
    "dog", "breed", "sex", "neutered", "born", "birth date is an estimate", "owner", "phone", "email",
    "last weight (kg)", "body condition score", "seen on", "goal", "recipe", "version", "energy (kcal a day)",
    "plan", "next re-check",
)  # fmt: skip


@require_safe
@permission_required("patients.view_patient", raise_exception=True)
def patient_csv(request):
    """Every dog that the list finds with the same words and filters."""
    dogs = dogs_asked_for(PatientSearchForm(request.GET))
    return csv_response("patients.csv", PATIENT_COLUMNS, [_row(row) for row in queries.listed(dogs)])


def _row(row: ListedPatient) -> tuple:
    dog, visit, plan = row.patient, row.visit, row.plan
    seen = (visit.weight_kg, visit.bcs, visit.date) if visit else (None, None, None)
    version = plan and plan.recipe_version
    fed = (
        plan.get_goal_display(), version.recipe.title, version.number, plan.kcal_per_day,
        plan.get_state_display(),
    ) if plan else (None,) * 5  # fmt: skip
    return (
        dog.name, dog.breed, dog.sex, dog.neutered, dog.born, dog.born_is_estimate, dog.owner.name,
        dog.owner.phone, dog.owner.email, *seen, *fed, dog.next_recheck,
    )  # fmt: skip
