"""What the search shows."""

from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet

from nutrients.queries import foods_matching
from patients.models import Patient
from patients.queries import owners_matching
from patients.search import patients_matching
from recipes.queries import recipes_matching

SEARCH_LIMIT = 8


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
        owners=_some(owners_matching(words).prefetch_related(Prefetch("patients", Patient.objects.kept()))),
        recipes=_some(recipes_matching(word=words)),
        foods=_some(foods_matching(words=words)),
    )


def _some(found: QuerySet) -> Some:
    return Some(list(found[:SEARCH_LIMIT]), found.count())
