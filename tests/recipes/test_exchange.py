"""Recipes taken out and brought in: the round trip is exact, and a bad file leaves nothing behind."""

import json

import pytest
from django.urls import reverse

from nutrients.models import Food
from recipes import services
from recipes.exchange.bringing_in import Clash, bring_in
from recipes.exchange.csv_reading import read_csv
from recipes.exchange.reading import BadRecipes, RecipeFile, read_json
from recipes.exchange.writing import json_text
from recipes.models import Ingredient, KitchenStep, Recipe, RecipeVersion, Substitution
from tests import cast

pytestmark = pytest.mark.django_db
TURKEY, RICE = "Turkey, whole, meat only, raw", "Rice, white, long-grain, regular, enriched, cooked"


@pytest.fixture
def two_foods() -> tuple[str, str]:
    foods = Food.objects.filter(supplement__isnull=True, group="muscle meat").order_by("name")
    return tuple(foods.values_list("name", flat=True)[:2])


@pytest.fixture
def stew(practitioner, two_foods) -> Recipe:
    """Two versions, one approved, with all that a version can hold; odd letters and odd numbers."""
    first, second = two_foods
    approved = cast.make_recipe("Stew <b>nº 1</b> 🍲", {first: 100.1 + 0.2}, approved_by=practitioner)
    recipe = approved.recipe
    recipe.purpose, recipe.tags = "For “quiet” days", "soft, warm"
    recipe.save()
    draft = RecipeVersion.objects.create(
        recipe=recipe, number=2, note="more", vessel="small pot", cooked_weight_g=150, added_water_g=1 / 3
    )
    Ingredient.objects.create(version=draft, food=Food.objects.get(name=first), grams=0.1 + 0.2)
    KitchenStep.objects.create(version=draft, text="Stir.\nTwice.", minutes=None, temperature_c=73.9)
    instead = Substitution.objects.create(
        version=draft,
        replaces=Food.objects.get(name=first),
        food=Food.objects.get(name=second),
        grams=12.5,
        approved_by=practitioner,
    )
    instead.amounts.create(food=Food.objects.get(name=first), grams=0)
    return recipe


def taken_out() -> str:
    return json_text(Recipe.objects.all())


def brought(text: str, by, **options):
    return bring_in(read_json(text), by=by, **({"clash": Clash.LEAVE_OUT} | options))


def test_the_round_trip_is_exact(stew, practitioner):
    text = taken_out()
    stew.delete()
    assert brought(text, practitioner).new == [stew.title]
    assert taken_out() == text


def test_what_is_brought_in_is_a_draft_that_nobody_approved(stew, practitioner, staff):
    text = taken_out()
    stew.delete()
    brought(text, staff)
    recipe = Recipe.objects.get()
    assert recipe.state == Recipe.State.DRAFT
    assert not any(version.approved for version in recipe.versions.all())
    assert not any(each.approved for each in Substitution.objects.all())
    assert {version.author for version in recipe.versions.all()} == {staff}


def test_the_same_content_is_left_alone(stew, practitioner):
    text = taken_out()
    report = brought(text, practitioner, clash=Clash.NEXT_VERSION)
    assert (report.same, report.new, report.next_version) == ([stew.title], [], [])
    assert stew.versions.count() == 2


def heavier(text: str) -> str:
    content = json.loads(text)
    content["recipes"][0]["versions"][-1]["ingredients"][0]["grams"] = 77.0
    return json.dumps(content)


def test_other_content_under_a_title_of_the_library_is_left_out_by_itself(stew, practitioner):
    before = taken_out()
    assert brought(heavier(before), practitioner).left_out == [stew.title]
    assert taken_out() == before


def test_other_content_comes_in_as_the_next_version(stew, practitioner):
    stew.versions.get(number=2).delete()
    text = taken_out()
    assert brought(heavier(text), practitioner, clash=Clash.NEXT_VERSION).next_version == [stew.title]
    latest = stew.latest()
    assert (latest.number, latest.approved) == (2, False)
    assert [line.grams for line in latest.ingredients.all()] == [77.0]
    assert stew.versions.get(number=1).approved


def test_a_retired_recipe_takes_no_next_version_and_the_file_is_refused(stew, practitioner):
    services.retire(recipe=stew, by=practitioner)
    before = taken_out()
    with pytest.raises(BadRecipes, match="bring it back first"):
        brought(heavier(before), practitioner, clash=Clash.NEXT_VERSION)
    assert taken_out() == before


def test_other_content_comes_in_beside_it_under_a_title_of_its_own(stew, practitioner):
    report = brought(heavier(taken_out()), practitioner, clash=Clash.NEW_TITLE)
    assert report.new == [f"{stew.title} (2)"]
    assert Recipe.objects.count() == 2


def test_a_look_writes_nothing(stew, practitioner):
    text = taken_out()
    stew.delete()
    assert brought(text, practitioner, dry_run=True).new == [stew.title]
    assert not Recipe.objects.exists()


@pytest.mark.parametrize(
    ("place", "value", "reason"),
    [
        (("title",), "x" * 121, "title: "),
        (("profile",), "moon", "No profile here has the key “moon”."),
        (("versions", 1, "method"), "fried", "method: "),
        (("versions", 1, "number"), 1, "The versions must stand in order"),
        (("versions", 1, "number"), 0, "The versions must stand in order"),
        (("versions", 1, "cooked_weight_g"), -5, "cooked_weight_g: "),
        (("versions", 1, "ingredients", 0, "food"), "Moon cheese", "No food here is called “Moon cheese”"),
        (("versions", 1, "ingredients", 0, "food"), "Onions, raw", "Never in a dog's food"),
        (("versions", 1, "ingredients", 0, "grams"), -1, "grams: "),
        (("versions", 1, "ingredients", 0, "grams"), 1e9, "grams: "),
        (("versions", 1, "ingredients", 0, "when"), "later", "when: "),
        (("versions", 1, "kitchen_steps", 0, "temperature_c"), 900, "temperature_c: "),
        (("versions", 1, "substitutions", 0, "replaces"), "Moon cheese", "Moon cheese is no ingredient"),
        (("versions", 1, "substitutions", 0, "amounts", 0, "grams"), -1, "grams: "),
    ],
)
def test_a_bad_file_is_refused_whole_with_line_and_reason(stew, practitioner, place, value, reason):
    content = json.loads(taken_out())
    good = dict(content["recipes"][0], title="A good one")
    content["recipes"].insert(0, good)
    part = json.loads(json.dumps(content["recipes"][1]))
    content["recipes"][1] = part
    for step in place[:-1]:
        part = part[step]
    part[place[-1]] = value
    content["recipes"][1]["title"] = content["recipes"][1]["title"] + " again"
    if place == ("title",):
        content["recipes"][1]["title"] = value
    text = json.dumps(content, indent=1)
    with pytest.raises(BadRecipes) as refused:
        brought(text, practitioner)
    found = next(each for each in refused.value.problems if each.reason.startswith(reason))
    line = text.splitlines()[found.line - 1]
    assert f'"{place[-1]}"' in line or line.strip().endswith("{")
    assert Recipe.objects.count() == 1


def test_a_title_twice_in_a_file_is_refused(stew, practitioner):
    content = json.loads(taken_out())
    content["recipes"] *= 2
    with pytest.raises(BadRecipes, match="stands twice in this file"):
        brought(json.dumps(content), practitioner)


def test_a_heat_sensitive_supplement_is_not_brought_into_the_pot(practitioner):
    sensitive = Food.objects.filter(supplement__heat="sensitive").first()
    cast.make_recipe("Hot", {sensitive.name: 1})
    text = taken_out().replace('"in_the_bowl"', '"in_the_pot"').replace('"cooled_batch"', '"in_the_pot"')
    with pytest.raises(BadRecipes, match="is heat-sensitive"):
        brought(text.replace("Hot", "Hotter"), practitioner)


def test_a_csv_of_the_library_comes_back_with_its_ingredients(signed_in, practitioner, stew):
    table = signed_in.get(reverse("recipes:ingredients-csv")).content.decode()
    file = read_csv(table)
    stew.delete()
    assert bring_in(file, by=practitioner, clash=Clash.LEAVE_OUT).new == [stew.title]
    latest = Recipe.objects.get().latest()
    assert [line.grams for line in latest.ingredients.all()] == [0.1 + 0.2]
    assert latest.added_water_g == 1 / 3


def test_a_csv_as_next_version_keeps_the_kitchen_steps(practitioner, stew):
    content = json.loads(taken_out())["recipes"]
    content[0]["versions"][-1]["kitchen_steps"] = []
    bring_in(RecipeFile(content, has_steps=False), by=practitioner, clash=Clash.NEXT_VERSION)
    assert [step.text for step in stew.latest().kitchen_steps.all()] == ["Stir.\nTwice."]


def upload(client, name: str, text: str | bytes, **asked):
    from django.core.files.uploadedfile import SimpleUploadedFile

    content = text if isinstance(text, bytes) else text.encode()
    data = {"upload": SimpleUploadedFile(name, content), "clash": Clash.LEAVE_OUT} | asked
    return client.post(reverse("recipes:recipe-bring-in"), data)


def test_the_page_brings_in_what_the_page_took_out(signed_in, stew):
    text = signed_in.get(reverse("recipes:recipe-json", args=[stew.pk])).content.decode()
    assert text == taken_out()
    stew.delete()
    page = upload(signed_in, "stew.json", text)
    assert page.status_code == 200
    assert Recipe.objects.get().title == stew.title
    assert "Stew &lt;b&gt;" in page.content.decode()


def test_the_page_says_what_is_wrong_and_where(signed_in):
    page = upload(signed_in, "stew.json", '{\n"holds": 1')
    assert page.status_code == 200
    assert "Line 2: This is no JSON" in page.content.decode()


@pytest.mark.parametrize(
    ("name", "content", "reason"),
    [
        ("stew.txt", "x", "ends with .json or .csv"),
        ("stew.json", b"\xff\xfe\x00", "not in UTF-8"),
        ("stew.json", b"", "This file is empty"),
    ],
)
def test_the_page_refuses_other_files(signed_in, name, content, reason):
    assert reason in upload(signed_in, name, content).content.decode()


def test_who_may_bring_in_and_take_out(client, viewer, staff):
    client.force_login(viewer)
    assert client.get(reverse("recipes:library-json")).status_code == 200
    assert client.get(reverse("recipes:recipe-bring-in")).status_code == 403
    client.force_login(staff)
    assert client.get(reverse("recipes:recipe-bring-in")).status_code == 200
