"""Which recipes and versions a food goes into."""

import pytest

from nutrients.models import Food
from recipes.models import Ingredient, Recipe, RecipeVersion
from recipes.uses import in_recipes, versions_in_use
from tests import cast

pytestmark = pytest.mark.django_db

LIVER = "Beef liver, raw"


@pytest.fixture
def liver():
    return Food.objects.get(name=LIVER)


def next_version(version, amounts, **fields):
    made = RecipeVersion.objects.create(recipe=version.recipe, number=version.number + 1, **fields)
    for name, grams in amounts.items():
        cast.slip_in(Ingredient, version=made, food=Food.objects.get(name=name), grams=grams)
    return made


def test_a_recipe_that_holds_it(liver):
    version = cast.make_recipe("Stew", {LIVER: 30})
    cast.make_recipe("Porridge")
    (use,) = in_recipes(liver)
    assert (use.label, use.where) == ("Stew", "version 1, not approved: 30 g, in the pot")
    assert use.url == f"{version.recipe.get_absolute_url()}?version=1"


def test_the_approved_version_counts_beside_a_newer_draft(liver, practitioner):
    approved = cast.make_recipe("Stew", {LIVER: 30}, approved_by=practitioner)
    next_version(approved, {LIVER: 45.5})
    assert [use.where for use in in_recipes(liver)] == [
        "version 2, not approved: 45.5 g, in the pot",
        "version 1, approved: 30 g, in the pot",
    ]


def test_versions_that_were_left_behind_do_not_count(liver):
    first = cast.make_recipe("Stew", {LIVER: 30})
    next_version(first, {"Ground turkey, 93% lean, raw": 100})
    assert in_recipes(liver) == []
    assert list(versions_in_use().values_list("number", flat=True)) == [2]


def test_a_retired_recipe_says_so(liver, practitioner):
    version = cast.make_recipe("Stew", {LIVER: 30}, approved_by=practitioner)
    Recipe.objects.filter(pk=version.recipe_id).update(state=Recipe.State.RETIRED)
    assert [use.where for use in in_recipes(liver)] == ["version 1, approved, retired: 30 g, in the pot"]


def test_it_takes_one_query(liver, django_assert_num_queries):
    for number in range(4):
        cast.make_recipe(f"Stew {number}", {LIVER: 30})
    with django_assert_num_queries(1):
        assert len(in_recipes(liver)) == 4
