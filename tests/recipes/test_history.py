"""What happened to a recipe, as its page tells it."""

import pytest

from recipes import services
from recipes.history import events_of
from recipes.models import Ingredient, Recipe
from tests import cast
from tests.recipes.deciding import approve, make_ready
from tests.recipes.form_data import RICE, TURKEY

pytestmark = pytest.mark.django_db


def save(recipe, by, note, grams=200):
    return services.save_version(
        recipe=recipe,
        particulars={"note": note},
        ingredients=[Ingredient(food=cast.Food.objects.get(name=RICE), grams=grams)],
        kitchen_steps=[],
        author=by,
    )


def told(recipe):
    return [(x.what, x.number, x.who, x.why) for x in events_of(recipe)]


@pytest.fixture
def recipe():
    return Recipe(title="Rice alone", profile=cast.Profile.objects.get(key="aafco-adult"))


def test_each_move_is_told_with_its_version_who_and_why(recipe, staff, practitioner):
    version = save(recipe, staff, "First version")
    services.send_to_review(recipe=recipe, by=staff)
    services.send_back(recipe=recipe, by=practitioner, reason="No meat in it.")
    make_ready(version, staff)
    approve(version, practitioner)
    save(recipe, staff, "less", grams=100)
    services.retire(recipe=recipe, by=practitioner, reason="Nobody feeds it.")
    assert told(recipe) == [
        ("retired", 2, "robin", "Nobody feeds it."),
        ("saved as a draft", 2, "sam", "less"),
        ("approved", 1, "robin", ""),
        ("sent to review", 1, "sam", ""),
        ("sent back to draft", 1, "robin", "No meat in it."),
        ("sent to review", 1, "sam", ""),
        ("saved as a draft", 1, "sam", "First version"),
    ]


def test_a_draft_saved_again_and_again_is_told_once(recipe, staff, practitioner):
    for grams in (200, 190, 180):
        save(recipe, staff, "lighter", grams)
    save(recipe, practitioner, "lighter", 170)
    assert [who for _, _, who, _ in told(recipe)] == ["robin", "sam"]


def test_what_no_move_wrote_is_told_by_its_state():
    recipe = cast.make_recipe().recipe
    recipe.tags = "plain"
    recipe.save()
    recipe.state = Recipe.State.RETIRED
    recipe.save()
    assert told(recipe) == [("made retired", None, "", ""), ("entered as a draft", None, "", "")]


def test_the_page_tells_it_and_offers_older_versions(client, staff, practitioner):
    first = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
    save(first.recipe, staff, "<b>rice</b> instead")
    client.force_login(staff)
    page = client.get(first.recipe.get_absolute_url()).content.decode()
    assert "Version 2 saved as a draft" in page
    assert "&lt;b&gt;rice&lt;/b&gt; instead" in page
    assert "Restore as a new version" in page
    assert "?of=1&amp;with=2" in page


def test_a_viewer_is_offered_no_restoring(client, viewer, staff, practitioner):
    first = cast.make_recipe(amounts={TURKEY: 500}, approved_by=practitioner)
    save(first.recipe, staff, "rice")
    client.force_login(viewer)
    page = client.get(first.recipe.get_absolute_url()).content.decode()
    assert "Restore as" not in page
    assert "Copy to a new recipe" not in page
    assert "Compare" in page
