"""Where on the pages a check before issuing is mended."""

from dataclasses import dataclass

from django.urls import reverse

from patients import issue_checks
from patients.issue_checks import Check
from patients.models import Plan


@dataclass(frozen=True)
class Mend:
    address: str
    words: str


def mend_of(plan: Plan, check: Check) -> Mend:
    """The page, and the part of it, where what the check found is put right."""
    dog = plan.patient.get_absolute_url()
    record = Mend(dog, "The dog's record")
    if not plan.patient.is_fed:  # nothing else can be changed until it is brought back
        return record
    places = {
        issue_checks.DOG: record,
        issue_checks.PLAN: Mend(reverse("patients:plan-edit", args=[plan.pk]), "Change the plan"),
        issue_checks.RECIPE: Mend(plan.recipe_version.recipe.get_absolute_url(), "Open the recipe"),
        issue_checks.VISIT: Mend(reverse("patients:visit-new", args=[plan.patient_id]), "Record a visit"),
        issue_checks.CAUTIONS: Mend(f"{dog}#cautions", "Cautions and sign-offs"),
        issue_checks.NUTRIENTS: Mend("#nutrients", "See the nutrients"),
        issue_checks.SUBSTITUTIONS: Mend("#substitutions", "See the substitutions"),
    }
    return places[check.mend]
