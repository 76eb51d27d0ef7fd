"""What Today and the search show."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, QuerySet

from nutrients.queries import foods_matching
from patients.models import Owner, Patient, Plan, Sheet
from patients.newer_versions import outdated, plans_behind
from patients.queries import ListedPatient, listed, patients_matching
from patients.recall_queries import RecallsToday, recalls_today
from recipes.models import Recipe
from recipes.outdated import Outdated
from recipes.queries import recipes_matching

SOON_DAYS = 7
SEARCH_LIMIT = 8


@dataclass(frozen=True)
class Today:
    due: list[ListedPatient]
    overdue: int
    draft_plans: QuerySet[Plan]
    behind: list[Outdated]
    in_review: QuerySet[Recipe]
    issued: QuerySet[Sheet]
    recalls: RecallsToday


def today(on: date) -> Today:
    """Dogs due within a week or overdue, open plans and those a newer version exists for, recipes waiting for
    approval, sheets of this week.
    """
    monday = on - timedelta(days=on.weekday())
    due = Patient.objects.filter(next_recheck__lte=on + timedelta(days=SOON_DAYS)).select_related("owner")
    rows = listed(due.order_by("next_recheck", "name"))
    return Today(
        due=rows,
        overdue=sum(row.patient.next_recheck < on for row in rows),
        draft_plans=Plan.objects.filter(state=Plan.State.DRAFT).select_related(
            "patient__owner", "recipe_version__recipe"
        ),
        behind=outdated(plans_behind()),
        in_review=Recipe.objects.filter(state=Recipe.State.IN_REVIEW),
        issued=Sheet.objects.filter(issued_at__date__gte=monday)
        .select_related("patient", "issued_by")
        .defer("pdf", "record"),
        recalls=recalls_today(),
    )


@dataclass(frozen=True)
class Some:
    """The first of what was found, and how many there are in all."""

    rows: list
    count: int

    @property
    def more(self) -> bool:
        return self.count > len(self.rows)


@dataclass(frozen=True)
class Found:
    patients: Some
    owners: Some
    recipes: Some
    foods: Some

    @property
    def nothing(self) -> bool:
        return not (self.patients.count or self.owners.count or self.recipes.count or self.foods.count)


def search_everything(words: str) -> Found:
    """Dogs, owners, recipes and foods that hold the words; nothing for no words."""
    if not words:
        nothing = Some([], 0)
        return Found(nothing, nothing, nothing, nothing)
    return Found(
        patients=_some(patients_matching(words)),
        owners=_some(_owners_matching(words).prefetch_related("patients")),
        recipes=_some(recipes_matching(word=words)),
        foods=_some(foods_matching(words=words)),
    )


def _owners_matching(words: str) -> QuerySet[Owner]:
    owners = Owner.objects.all()
    for word in words.split():
        owners = owners.filter(Q(name__icontains=word) | Q(phone__icontains=word) | Q(email__icontains=word))
    return owners


def _some(found: QuerySet) -> Some:
    return Some(list(found[:SEARCH_LIMIT]), found.count())
