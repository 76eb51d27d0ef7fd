"""Saving a recipe: an approved version never changes."""

import pytest
from django.core.exceptions import ValidationError

from nutrients.models import Food
from recipes import services
from recipes.models import Ingredient, KitchenStep, Recipe
from tests import cast
from tests.recipes.form_data import RICE, TURKEY

pytestmark = pytest.mark.django_db


def ingredient(name=TURKEY, grams=500, when="in_the_pot"):
    return Ingredient(food=Food.objects.get(name=name), grams=grams, when=when)


def save(recipe, author, *ingredients, steps=(), seen=None, **particulars):
    given = {"method": "simmered_liquid_kept", "added_water_g": 0, "cooked_weight_g": None, "note": ""}
    return services.save_version(
        recipe=recipe,
        particulars=given | particulars,
        ingredients=ingredients or [ingredient()],
        kitchen_steps=steps,
        author=author,
        seen=seen,
    )


def content(version):
    lines = version.ingredients.values_list("food__name", "grams", "when", "position")
    return version.method, version.added_water_g, list(lines)


def new_recipe(title="Turkey pot"):
    return Recipe(title=title, profile=cast.Profile.objects.get(key="aafco-adult"))


def test_a_new_recipe_begins_with_version_one_as_a_draft(staff):
    steps = [KitchenStep(text="Simmer."), KitchenStep(text="Cool.", minutes=30)]
    version = save(new_recipe(), staff, ingredient(), ingredient(RICE, 200), steps=steps)
    assert (version.number, version.author, version.recipe.state) == (1, staff, "draft")
    assert [line[0] for line in content(version)[2]] == [TURKEY, RICE]
    assert [step.text for step in version.kitchen_steps.all()] == ["Simmer.", "Cool."]


def test_a_draft_is_changed_in_place(staff):
    version = cast.make_recipe()
    saved = save(version.recipe, staff, ingredient(RICE, 100), method="baked")
    assert saved.pk == version.pk
    assert content(saved) == ("baked", 0, [(RICE, 100, "in_the_pot", 0)])


def test_an_approved_version_stays_as_it_is_and_the_next_one_is_made(staff, practitioner):
    approved = cast.make_recipe(approved_by=practitioner)
    before = content(approved)
    saved = save(approved.recipe, staff, ingredient(RICE, 100), method="baked")
    approved.refresh_from_db()
    assert content(approved) == before
    assert approved.approved
    assert (saved.number, saved.approved) == (2, False)
    assert saved.recipe.state == "draft"


def test_an_approved_recipe_is_not_turned_to_another_profile(staff, practitioner):
    """A dog that grows is offered what is approved for growth: staff's draft must not make it so."""
    recipe = cast.make_recipe(approved_by=practitioner).recipe
    recipe.profile = cast.Profile.objects.get(key="aafco-growth")
    with pytest.raises(ValidationError, match="copy it to a new recipe"):
        save(recipe, staff)
    recipe.refresh_from_db()
    assert (recipe.profile.key, recipe.state, recipe.versions.count()) == ("aafco-adult", "approved", 1)


def test_a_recipe_that_was_never_approved_is_turned_to_another_profile(staff):
    recipe = cast.make_recipe().recipe
    recipe.profile = cast.Profile.objects.get(key="aafco-growth")
    assert save(recipe, staff).recipe.profile.key == "aafco-growth"


def test_nothing_is_written_when_a_line_is_not_valid(staff):
    version = cast.make_recipe()
    before = content(version)
    with pytest.raises(ValidationError):
        save(version.recipe, staff, ingredient(RICE, 100), ingredient(TURKEY, -1), method="baked")
    version.refresh_from_db()
    assert content(version) == before


def test_an_empty_recipe_is_not_saved(staff):
    with pytest.raises(ValidationError, match="at least one ingredient"):
        services.save_version(
            recipe=new_recipe(), particulars={}, ingredients=[], kitchen_steps=[], author=staff
        )
    assert not Recipe.objects.filter(title="Turkey pot").exists()


def test_nobody_saves_over_what_they_have_not_seen(staff):
    version = cast.make_recipe()
    seen = services.fingerprint(version)
    save(version.recipe, staff, ingredient(RICE, 100), seen=seen)
    with pytest.raises(ValidationError, match="changed this recipe"):
        save(version.recipe, staff, ingredient(TURKEY, 900), seen=seen)
