"""What may be chosen for a plan, and what its numbers are said to rest on."""

import pytest

from nutrients.models import Food, FoodValue, Nutrient
from patients.plan_queries import approved_versions, releases_of
from recipes import services
from recipes.models import RecipeVersion
from tests import cast

pytestmark = pytest.mark.django_db


def make_food(name: str, values: list[tuple[str, str]]) -> str:
    """A food with one value for each (kind, source)."""
    food = Food.objects.create(name=name, group="organ", state="raw", source="not asked")
    for nutrient, (kind, source) in zip(Nutrient.objects.filter(derived=False), values, strict=False):
        per_100g = None if kind == "bound" else 1
        FoodValue.objects.create(
            food=food, nutrient=nutrient, kind=kind, source=source, per_100g=per_100g, low=1
        )
    return name


def test_every_release_that_gave_a_value_is_named_the_largest_first():
    made = [
        make_food(
            "Liver of the hills", [("published", "Release 26"), ("published", "Release 28; was 28 mg")]
        ),
        make_food("Liver of the plains", [("published", "Release 28"), ("published", "Release 28")]),
        make_food("Not in it", [("published", "Release 27")]),
    ]
    assert releases_of(made[:2]) == ["Release 28", "Release 26"]


def test_labels_reports_and_estimates_are_named_by_their_kind():
    kinds = [("estimate", "a guess"), ("label", "jar"), ("laboratory", "report 7"), ("bound", "guaranteed")]
    assert releases_of([make_food("Own liver", kinds)]) == [
        "labels of products",
        "laboratory reports",
        "estimates",
    ]
    assert releases_of([make_food("Bound liver", [("bound", "guaranteed")])]) == []


def test_an_approved_version_stays_on_offer_while_the_next_is_written_and_until_it_is_retired(practitioner):
    approved = cast.make_recipe(approved_by=practitioner)
    cast.make_recipe("Never approved")
    approved.recipe.versions.create(number=2)
    approved.recipe.state = "draft"
    approved.recipe.save()
    assert list(approved_versions()) == [approved]
    services.retire(recipe=approved.recipe, by=practitioner)
    assert list(approved_versions()) == []


def test_what_was_retired_is_not_on_offer_again_before_it_is_approved_anew(practitioner):
    approved = cast.make_recipe(approved_by=practitioner)
    assert approved.in_use
    services.retire(recipe=approved.recipe, by=practitioner)
    assert not approved.in_use
    services.bring_back(recipe=approved.recipe, by=practitioner)
    assert list(approved_versions()) == []
    assert not approved.in_use
    next_one = approved.recipe.latest()
    type(next_one).objects.filter(pk=next_one.pk).update(approved_at=cast.timezone.now())
    assert list(approved_versions()) == [next_one]
    assert RecipeVersion.objects.get(pk=next_one.pk).in_use
