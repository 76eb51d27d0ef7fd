"""What uses a food: registered from above, told on the food's page."""

import pytest

from nutrients import uses
from nutrients.models import Food
from nutrients.uses import Use, register, uses_of


@pytest.fixture(autouse=True)
def _own_finders(monkeypatch):
    monkeypatch.setattr(uses, "_finders", {})


def test_what_is_registered_is_asked():
    register("Soups", lambda food: [Use(f"soup of {food}", "/soup/", "ladle by ladle")])
    assert uses_of("barley") == [("Soups", [Use("soup of barley", "/soup/", "ladle by ladle")])]


def test_empty_groups_are_left_out():
    register("Soups", lambda food: [])
    assert uses_of("barley") == []


def test_registering_again_replaces():
    register("Soups", lambda food: [Use("old", "", "")])
    register("Soups", lambda food: [Use("new", "", "")])
    assert [use.label for _, found in uses_of("barley") for use in found] == ["new"]


@pytest.mark.django_db
def test_the_foods_page_names_them(signed_in):
    food = Food.objects.get(name="Beef liver, raw")
    assert "No recipe and no plan in use holds it." in signed_in.get(food.get_absolute_url()).content.decode()
    register("Soups", lambda food: [Use("Monday's <soup>", "/soup/", "90 g")])
    shown = signed_in.get(food.get_absolute_url()).content.decode()
    assert '<a href="/soup/">Monday&#x27;s &lt;soup&gt;</a> <span class="quiet">90 g</span>' in shown
    assert "no longer bought" not in shown


@pytest.mark.django_db
def test_a_discontinued_food_asks_for_another(signed_in):
    food = Food.objects.get(name="Beef liver, raw")
    food.discontinued = True
    food.save()
    register("Soups", lambda food: [Use("Soup", "/soup/", "")])
    assert "needs another food or product" in signed_in.get(food.get_absolute_url()).content.decode()
