"""Foods that are no longer bought: not offered for a recipe, and told of where a recipe holds one."""

import pytest
from django.urls import reverse

from nutrients.models import Food
from tests import cast
from tests.recipes.form_data import RICE, TURKEY, form_data, line

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
NEW, PANEL, SEARCH = (reverse(f"recipes:{name}") for name in ("recipe-new", "version-panel", "food-search"))
SAID = f"{TURKEY} is discontinued: choose another."


@pytest.fixture
def gone():
    Food.objects.filter(name=TURKEY).update(discontinued=True)


def test_the_search_offers_what_is_bought_alone(signed_in, gone):
    found = [food.name for food in signed_in.get(SEARCH, {"find": "ground turkey"}).context["foods"]]
    assert found
    assert TURKEY not in found


def test_the_names_to_type_are_of_what_is_bought_alone(signed_in, gone):
    names = set(signed_in.get(NEW).context["food_names"])
    assert RICE in names
    assert TURKEY not in names


def test_a_recipe_that_holds_one_says_so_and_can_be_saved_all_the_same(signed_in, gone):
    version = cast.make_recipe(amounts={TURKEY: 500, RICE: 200})
    assert signed_in.get(version.recipe.get_absolute_url()).content.decode().count(SAID) == 1
    assert SAID in signed_in.get(reverse("recipes:recipe-edit", args=[version.recipe.pk])).content.decode()
    saved = signed_in.post(NEW, form_data(line(TURKEY, "450"), title="Another"))
    assert saved.status_code == 302


def test_the_panel_says_so(signed_in, gone):
    page = signed_in.post(PANEL, form_data(line(TURKEY, "500"), line(RICE, "200")), headers=HTMX)
    assert page.content.decode().count(SAID) == 1


def test_nothing_is_said_of_what_is_bought(signed_in):
    version = cast.make_recipe(amounts={TURKEY: 500})
    assert "discontinued" not in signed_in.get(version.recipe.get_absolute_url()).content.decode()
