"""What Today and the search show."""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q, QuerySet

from nutrients.models import Food
from patients.models import Owner, Patient, Plan, Sheet
from recipes.models import Recipe

SOON_DAYS = 7
SEARCH_LIMIT = 20


@dataclass(frozen=True)
class Today:
    due: QuerySet[Patient]
    draft_plans: QuerySet[Plan]
    in_review: QuerySet[Recipe]
    issued: QuerySet[Sheet]


def today(on: date) -> Today:
    """Dogs due within a week or overdue, open plans, recipes waiting for approval, sheets of this week."""
    monday = on - timedelta(days=on.weekday())
    return Today(
        due=Patient.objects.filter(next_recheck__lte=on + timedelta(days=SOON_DAYS))
        .select_related("owner")
        .order_by("next_recheck"),
        draft_plans=Plan.objects.filter(state=Plan.State.DRAFT).select_related(
            "patient__owner", "recipe_version__recipe"
        ),
        in_review=Recipe.objects.filter(state=Recipe.State.IN_REVIEW),
        issued=Sheet.objects.filter(issued_at__date__gte=monday)
        .select_related("patient", "issued_by")
        .defer("pdf", "record"),
    )


@dataclass(frozen=True)
class Found:
    patients: QuerySet[Patient]
    owners: QuerySet[Owner]
    recipes: QuerySet[Recipe]
    foods: QuerySet[Food]


def search_everything(words: str) -> Found:
    """Dogs, owners, recipes and foods whose name holds the words; nothing for no words."""
    patients, owners, recipes, foods = Patient.objects, Owner.objects, Recipe.objects, Food.objects
    if not words:
        return Found(patients.none(), owners.none(), recipes.none(), foods.none())
    return Found(
        patients.filter(Q(name__icontains=words) | Q(breed__icontains=words)).select_related("owner")[
            :SEARCH_LIMIT
        ],
        owners.filter(Q(name__icontains=words) | Q(phone__icontains=words))[:SEARCH_LIMIT],
        recipes.filter(Q(title__icontains=words) | Q(tags__icontains=words))[:SEARCH_LIMIT],
        foods.filter(name__icontains=words)[:SEARCH_LIMIT],
    )
