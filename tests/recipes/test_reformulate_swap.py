"""A reformulation that starts from a swap: the page's query says which."""

import pytest
from django.urls import reverse

from nutrients.models import Food
from tests import cast
from tests.recipes.form_data import RICE, TURKEY, VITAMIN_E
from tests.recipes.reformulations import acceptance

pytestmark = pytest.mark.django_db
CHICKEN = "Chicken breast, skinless, raw"


def url(version, **query):
    page = reverse("recipes:version-reformulate", args=[version.pk])
    return page + "?" + "&".join(f"{key}={value}" for key, value in query.items())


def pk(name):
    return Food.objects.get(name=name).pk


@pytest.fixture
def writer(client, staff):
    client.force_login(staff)
    return client


@pytest.fixture
def version():
    return cast.make_recipe(amounts={TURKEY: 500, RICE: 200, VITAMIN_E: 0.3})


def test_it_starts_from_the_recipe_with_the_swap_made(writer, version):
    page = writer.get(url(version, replace=pk(TURKEY), by=pk(CHICKEN), grams=480))
    start = page.context["start"]
    assert [(x.food.name, x.grams) for x in start.ingredients][:2] == [(CHICKEN, 480), (RICE, 200)]
    assert f"480 g {CHICKEN} instead of {TURKEY}" in page.content.decode()
    assert page.context["table"].lines[0].now == "480 g"


def test_without_grams_as_much_goes_in(writer, version):
    start = writer.get(url(version, replace=pk(TURKEY), by=pk(CHICKEN))).context["start"]
    assert start.ingredients[0].grams == 500


def test_a_food_that_is_there_already_gets_one_line(writer):
    both = cast.make_recipe(amounts={TURKEY: 500, CHICKEN: 100, RICE: 200})
    start = writer.get(url(both, replace=pk(TURKEY), by=pk(CHICKEN), grams=400)).context["start"]
    assert [(x.food.name, x.grams) for x in start.ingredients] == [(CHICKEN, 500), (RICE, 200)]


@pytest.mark.parametrize(
    "query",
    [
        {"replace": 999999999, "by": 1},
        {"replace": "x", "by": "y"},
        {"replace": "TURKEY", "by": "9" * 40},
        {"replace": "TURKEY", "by": "TURKEY"},
        {"replace": "TURKEY", "by": "CHICKEN", "grams": "lots"},
        {"replace": "TURKEY", "by": "CHICKEN", "grams": "-4"},
        {"replace": "TURKEY", "by": "CHICKEN", "grams": "nan"},
        {"replace": "TURKEY", "by": "CHICKEN", "grams": "1,200"},
    ],
)
def test_a_swap_that_cannot_be_made_is_told(writer, version, query):
    named = {"TURKEY": pk(TURKEY), "CHICKEN": pk(CHICKEN)}
    page = writer.get(url(version, **{key: named.get(value, value) for key, value in query.items()}))
    assert "cannot be made" in page.content.decode()
    assert page.context["table"].lines[0].food == TURKEY


def test_the_swap_is_saved_with_what_is_ticked(writer, version):
    query = {"replace": pk(TURKEY), "by": pk(CHICKEN), "grams": 480}
    offer = writer.get(url(version, **query)).context["table"].offer
    writer.post(url(version, **query), acceptance(offer, []))
    version.refresh_from_db()
    stored = dict(version.ingredients.values_list("food__name", "grams"))
    assert stored == {CHICKEN: 480, RICE: 200, VITAMIN_E: 0.3}
    assert version.note == f"480 g {CHICKEN} instead of {TURKEY}"
