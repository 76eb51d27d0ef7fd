"""What people who cook for dogs know from practice, read off the recipe's pages. Common practice, no source,
unless a source is named.
"""

import re

import pytest
from django.urls import reverse

from recipes.models import Recipe
from tests.cast import make_recipe
from tests.outside.test_trade_facts import (
    CHICKEN_AND_RICE,
    POT,
    TURKEY_AND_SWEET_POTATO,
    WHAT_CLEARS_CHICKEN_AND_RICE,
)

pytestmark = pytest.mark.django_db

LACKING = ("Calcium", "Zinc", "Copper", "Iron", "Vitamin D", "Vitamin E", "Choline", "Calcium : phosphorus")


class Page:
    """The adequacy table of a recipe's page, as the browser gets it."""

    def __init__(self, client, grams: dict[str, float]):
        self.version = make_recipe(f"Pot {Recipe.objects.count() + 1}", grams, method=POT)
        self.text = client.get(self.version.recipe.get_absolute_url()).content.decode()
        self.rows = {}
        for row in re.findall(r"<tr>.*?</tr>", self.text, re.DOTALL):
            named = re.search(r'<th scope="row">([^<]+?)\s*<', row)
            answers = re.findall(r'class="answer (\w+)"', row)
            if named and answers:
                self.rows[named[1].strip()] = (row, answers)

    def answers(self, name: str) -> list[str]:
        return self.rows[name][1]

    def amount(self, name: str) -> float:
        shown = re.search(r'class="num">(?:<a [^>]*>)?\s*([\d,.]+)', self.rows[name][0])
        return float(shown[1].replace(",", ""))

    @property
    def open(self) -> list[str]:
        return [name for name, (_, answers) in self.rows.items() if set(answers) != {"meets"}]


@pytest.mark.parametrize("plain", [CHICKEN_AND_RICE, TURKEY_AND_SWEET_POTATO], ids=["chicken", "turkey"])
def test_meat_starch_and_vegetables_alone_show_some_fifteen_shortages(signed_in, plain):
    page = Page(signed_in, plain)
    assert 8 <= len(page.open) <= 18
    for name in LACKING:
        assert "below" in page.answers(name), name
    for name in ("Iodine", "Chloride"):
        assert "cannot_confirm" in page.answers(name), name


def test_supplements_clear_them(signed_in):
    page = Page(signed_in, CHICKEN_AND_RICE | WHAT_CLEARS_CHICKEN_AND_RICE)
    assert page.open == []
    assert f"meets {len(page.rows)} of {len(page.rows)}" in page.text


def test_without_any_supplement_the_shortages_are_back(signed_in):
    page = Page(signed_in, CHICKEN_AND_RICE | WHAT_CLEARS_CHICKEN_AND_RICE)
    shown = signed_in.get(reverse("recipes:version-omissions", args=[page.version.pk])).content.decode()
    [slip] = re.findall(r"<tr><th scope=\"row\">All supplements forgotten</th>.*?</tr>", shown, re.DOTALL)
    for name in LACKING:
        assert f"<strong>{name}</strong>" in slip, name


def test_beef_liver_meets_copper_where_chicken_liver_does_not(signed_in):
    # USDA SR28, raw, per 100 g: beef liver 9.755 mg, chicken liver 0.492 mg copper
    assert "below" not in Page(signed_in, CHICKEN_AND_RICE | {"Beef liver, raw": 80}).answers("Copper")
    assert "below" in Page(signed_in, CHICKEN_AND_RICE | {"Chicken liver, raw": 80}).answers("Copper")


def test_an_oyster_brings_copper_along_with_its_zinc(signed_in):
    # USDA SR28, Pacific, raw, per 100 g: 16.62 mg zinc and 1.576 mg copper: some ten to one
    plain, oysters = (
        Page(signed_in, CHICKEN_AND_RICE | more) for more in ({}, {"Oyster, Pacific, raw": 100})
    )
    zinc, copper = (oysters.amount(name) - plain.amount(name) for name in ("Zinc", "Copper"))
    assert zinc / copper == pytest.approx(16.62 / 1.576, rel=0.1)


def test_the_calcium_forgotten_is_a_slip_of_the_page(signed_in):
    """Meat and rice hold far more phosphorus than calcium: without a source of calcium both limits fail."""
    page = Page(signed_in, CHICKEN_AND_RICE | WHAT_CLEARS_CHICKEN_AND_RICE)
    shown = signed_in.get(reverse("recipes:version-omissions", args=[page.version.pk])).content.decode()
    [slip] = re.findall(r"<tr><th scope=\"row\">The calcium forgotten.*?</tr>", shown, re.DOTALL)
    assert "<strong>Calcium</strong>" in slip
    assert "<strong>Calcium : phosphorus</strong>" in slip
