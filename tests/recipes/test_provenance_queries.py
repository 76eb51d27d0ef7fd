"""Where an amount comes from, for stored recipes: read, traced and shown."""

import math
from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from nutrients.models import Food, FoodValue
from practice.demo import load_demo
from recipes import provenance_queries, queries
from recipes.models import Recipe
from tests import cast

pytestmark = pytest.mark.django_db

TURKEY = "Ground turkey, 93% lean, raw"


@pytest.fixture
def version():
    foods = {TURKEY: 500, "Beef liver, raw": 30}
    return cast.make_recipe(amounts=foods)


def page(version, **asked):
    return reverse("recipes:version-provenance", args=[version.pk]) + "?" + "&".join(
        f"{name}={value}" for name, value in asked.items()
    )  # fmt: skip


def test_every_amount_of_every_demo_recipe_adds_up():
    load_demo(today=date(2026, 3, 2))
    seen = 0
    for recipe in Recipe.objects.select_related("profile__standard"):
        version = recipe.latest()
        judgement = queries.analysis_of(version).judgement
        for key, shown in judgement["amount"].items():
            found = provenance_queries.of_version(version, recipe.profile, key)
            lines = [
                sum(
                    line.amount * part.weight
                    for part in parts
                    for line in part.lines
                    if line.amount is not None
                )
                for parts in (found.above, found.below)
            ]
            if found.amount is None:
                assert math.isnan(shown)
                continue
            summed = lines[0] / lines[1] if found.is_ratio else lines[0] * 1000 / found.kcal * found.factor
            assert summed == pytest.approx(shown, rel=1e-9)
            assert found.amount == shown
            seen += 1
    assert seen > 100


def test_a_value_and_its_factor_name_their_sources(version):
    found = provenance_queries.of_version(version, version.recipe.profile, "calcium")
    turkey = found.above[0].lines[0]
    food = Food.objects.get(name=TURKEY)
    value = food.values.get(nutrient__key="calcium")
    assert turkey.source.text == value.source
    assert turkey.reference == food.source_ref
    assert turkey.kept.source.startswith("simmered, liquid kept: USDA Table of Nutrient Retention Factors")


def test_a_value_changed_by_hand_says_when(version):
    value = FoodValue.objects.get(food__name=TURKEY, nutrient__key="calcium")
    value.save()
    found = provenance_queries.of_version(version, version.recipe.profile, "calcium")
    assert [line.source.changed_on for line in found.above[0].lines] == [timezone.now().date(), None]


def test_the_amounts_of_the_recipes_page_lead_there(signed_in, version):
    shown = signed_in.get(version.recipe.get_absolute_url()).content.decode()
    assert f"{page(version, nutrient='calcium')}&amp;profile=aafco-adult" in shown
    assert 'id="provenance"' in shown


def test_the_page_and_the_fragment(signed_in, version):
    address = page(version, nutrient="calcium", profile="fediaf-adult-95")
    whole = signed_in.get(address)
    part = signed_in.get(address, headers={"HX-Request": "true"})
    assert "recipes/provenance.html" in [template.name for template in whole.templates]
    assert "<html" not in part.content.decode()
    for answer in (whole, part):
        assert "Ground turkey, 93% lean, raw" in answer.content.decode()
        assert "FEDIAF" in answer.content.decode()


@pytest.mark.parametrize(
    "asked", [{"nutrient": "nothing"}, {"nutrient": "calcium", "profile": "none-such"}, {}]
)
def test_what_is_not_known_is_not_found(signed_in, version, asked):
    assert signed_in.get(page(version, **asked)).status_code == 404


def test_it_reads_no_more_for_more_ingredients(signed_in, version, django_assert_max_num_queries):
    foods = list(Food.objects.filter(supplement__isnull=True).values_list("name", flat=True)[:20])
    long = cast.make_recipe("Long", dict.fromkeys(foods, 10.0))
    signed_in.get(page(version, nutrient="calcium"))
    for each in (version, long):
        with django_assert_max_num_queries(25):
            signed_in.get(page(each, nutrient="calcium"))
