"""Reads of the library: what a version is made of, its analysis, and the search."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from nutrients.models import Food, Limit, Nutrient, Profile, Retention, Standard, Supplement
from recipes.models import Ingredient, Recipe, RecipeVersion
from recipes.queries import analysis_of, portions_of, recipes_matching, reference, tags_of

pytestmark = pytest.mark.django_db

# per 100 g: 100 - 70 - 20 - 4 - 1 - 0 = 5 g NFE, so 4 x 20 + 9 x 4 + 4 x 5 = 136 kcal
COMPOSITION = {"water": 70, "protein": 20, "fat": 4, "ash": 1, "fiber": 0, "thiamine": 0.1, "calcium": 10}


def nutrient(key):
    made, _ = Nutrient.objects.get_or_create(
        key=key, defaults={"name": key, "unit": "mg", "group": "", "order": 1}
    )
    return made


def make_food(name="Test pheasant, raw", composition=COMPOSITION, **particulars):
    defaults = {"group": "test meat", "state": "raw", "retention_group": "test meat", "refuse_percent": 20}
    food = Food.objects.create(name=name, source="invented", **(defaults | particulars))
    for key, amount in composition.items():
        food.values.create(nutrient=nutrient(key), per_100g=amount, kind="published", source="invented")
    return food


def make_supplement(name="Test calcium powder"):
    food = make_food(name, {"calcium": 40_000}, group="supplement", state="as sold")
    Supplement.objects.create(
        food=food, form="powder", dose_unit="scoop", grams_per_dose_unit=0.8, smallest_step=0.5,
        heat="stable", label_text="40 % calcium",
    )  # fmt: skip
    return food


def make_profile(key="test-adult", life_stage="test adult", thiamine=0.5):
    standard, _ = Standard.objects.get_or_create(name="Test standard", edition="1", source="invented")
    profile = Profile.objects.create(key=key, standard=standard, life_stage=life_stage, basis="per_1000_kcal")
    Limit.objects.create(
        profile=profile, nutrient=nutrient("thiamine"), unit="mg", minimum=thiamine,
        source="invented", certainty="memory",
    )  # fmt: skip
    return profile


def make_version(*lines, title="Pheasant pot", recipe=None, number=1, **particulars):
    """lines: (food, grams, when)."""
    if recipe is None:
        profile = Profile.objects.filter(key="test-adult").first() or make_profile()
        recipe = Recipe.objects.create(title=title, profile=profile)
    version = RecipeVersion.objects.create(recipe=recipe, number=number, **particulars)
    for position, (food, grams, when) in enumerate(lines):
        Ingredient.objects.create(version=version, food=food, grams=grams, when=when, position=position)
    return version


class TestPortions:
    def test_a_food_and_a_supplement(self):
        food, powder = make_food(), make_supplement()
        food.measures.create(amount=2, label="slice", grams=60)
        version = make_version((food, 200, "in_the_pot"), (powder, 4, "cooled_batch"))
        meat, calcium = portions_of(version)
        assert (meat.food, meat.grams, meat.when, meat.step_g) == (food.name, 200, "in_the_pot", 5)
        assert (meat.group, meat.retention_group, meat.state) == ("test meat", "test meat", "raw")
        assert (meat.is_supplement, meat.refuse_percent, meat.measures) == (False, 20, (("slice", 30),))
        assert (calcium.is_supplement, calcium.dose_unit, calcium.heat) == (True, "scoop", "stable")
        assert (calcium.grams_per_dose_unit, calcium.smallest_step) == (0.8, 0.5)

    def test_as_many_queries_for_many_lines_as_for_one(self):
        short = make_version((make_food(), 200, "in_the_pot"))
        foods = [make_food(f"Test food {i}", {}) for i in range(5)]
        long = make_version(*[(food, 10, "in_the_pot") for food in foods], title="Long pot")
        counts = []
        for version in (short, long):
            with CaptureQueriesContext(connection) as queries:
                portions_of(version)
            counts.append(len(queries))
        assert counts == [2, 2]


class TestAnalysis:
    def test_cooked_and_judged_against_the_recipes_own_profile(self):
        Retention.objects.create(
            food_group="test meat", method="baked", nutrient=nutrient("thiamine"), percent=60,
            source="invented", certainty="memory",
        )  # fmt: skip
        made = analysis_of(make_version((make_food(), 500, "in_the_pot"), method="baked"))
        # 0.1 mg x 5 x 60 % = 0.3 mg in 136 x 5 = 680 kcal: 0.441 mg per 1000 kcal, below 0.5
        assert made.energy.kcal == pytest.approx(680)
        assert made.judgement.at["thiamine", "amount"] == pytest.approx(0.3 / 0.68)
        assert made.judgement.at["thiamine", "minimum_answer"] == "below"

    def test_against_another_profile(self):
        version = make_version((make_food(), 500, "in_the_pot"), method="not_heated")
        strict = make_profile("test-growth", "test growth", thiamine=5)
        assert analysis_of(version).judgement.at["thiamine", "minimum_answer"] == "meets"
        assert analysis_of(version, strict).judgement.at["thiamine", "minimum_answer"] == "below"

    def test_weighed_and_with_added_water(self):
        version = make_version((make_food(), 500, "in_the_pot"), cooked_weight_g=444, added_water_g=100)
        made = analysis_of(version)
        assert (made.raw_g, made.cooked_g, made.cooked_is_estimate) == (500, 444, False)

    def test_only_the_foods_of_the_recipe_are_read(self, monkeypatch):
        version = make_version((make_food(), 500, "in_the_pot"))
        monkeypatch.setattr("nutrients.queries._food_table", lambda *_: pytest.fail("every food was read"))
        assert list(reference(portions_of(version)).table.index) == ["Test pheasant, raw"]
        assert analysis_of(version).energy.kcal == pytest.approx(680)


class TestSearch:
    @pytest.fixture
    def library(self):
        pheasant, barley = make_food(), make_food("Test barley, pearled, dry", {}, group="grain")
        pot = make_version((pheasant, 200, "in_the_pot"), title="Pheasant pot").recipe
        Recipe.objects.filter(pk=pot.pk).update(tags="gentle, wild", state="approved")
        bowl = make_version((pheasant, 200, "in_the_pot"), title="Barley bowl").recipe
        make_version((barley, 200, "in_the_pot"), recipe=bowl, number=2)
        Recipe.objects.filter(pk=bowl.pk).update(
            purpose="slow mornings", profile=make_profile("test-growth", "test growth")
        )

    @pytest.mark.parametrize(
        ("asked", "titles"),
        [
            ({"word": "POT"}, ["Pheasant pot"]),
            ({"word": "slow"}, ["Barley bowl"]),
            ({"word": "wild"}, ["Pheasant pot"]),
            ({"life_stage": "test growth"}, ["Barley bowl"]),
            ({"state": "approved", "life_stage": "test adult"}, ["Pheasant pot"]),
            ({"word": "wild pot"}, ["Pheasant pot"]),
            ({"word": "wild mornings"}, []),
            ({"tags": ["wild"]}, ["Pheasant pot"]),
            ({"tags": ["Gentle", "wild"]}, ["Pheasant pot"]),
            ({"tags": ["gen"]}, []),
            ({"tags": ["wild", "slow"]}, []),
        ],
    )
    def test_finds(self, library, asked, titles):
        assert [recipe.title for recipe in recipes_matching(**asked)] == titles

    def test_everything_also_without_a_version(self, library):
        Recipe.objects.create(title="Empty", profile=Profile.objects.get(key="test-adult"))
        titles = ["Barley bowl", "Empty", "Pheasant pot"]
        assert [recipe.title for recipe in recipes_matching()] == titles

    def test_the_tags_in_a_text(self):
        assert tags_of(" gentle ,wild,, gentle") == ["gentle", "wild"]
