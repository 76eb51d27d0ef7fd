"""Which recipes, plans and sheets a correction touches."""

from datetime import timedelta

import pytest
from django.utils import timezone

from nutrients.corrections import corrections
from nutrients.models import Food, FoodValue, Limit, Retention
from patients import recall_worlds
from patients.models import Plan
from patients.recall_queries import listed_corrections, touched_by, unseen_corrections
from recipes.models import Ingredient, Recipe, RecipeVersion, Substitution, When
from tests import cast
from tests.patients.recalls import (
    CHALK,
    TURKEY,
    as_issued,
    correct,
    issue,
    long_ago,
    make_fed_plan,
    make_version,
    weaker_chalk,
)

pytestmark = pytest.mark.django_db
SHELL = "Eggshell powder, dried"


@pytest.fixture
def version(practitioner):
    return make_version(practitioner)


@pytest.fixture
def plan(version):
    return make_fed_plan(version)


def touched(correction):
    return touched_by(correction, timezone.localdate())


def said(row, name="Calcium"):
    return [
        ([word.answer for word in change.before], [word.answer for word in change.since])
        for change in row.changes
        if change.name == name
    ]


def test_a_product_that_held_less(version, plan, practitioner):
    sheet = issue(plan, practitioner)
    found = touched(weaker_chalk())
    (recipe,), (fed,), (printed,) = found.recipes, found.plans, found.sheets
    assert (recipe.pk, recipe.number, recipe.note) == (version.recipe_id, 1, "version 1, approved")
    assert said(recipe) == [(["meets"], ["below"])]
    assert (fed.pk, fed.patient, fed.fed, said(fed)) == (
        plan.pk, plan.patient_id, True, [(["meets"], ["below"])]
    )  # fmt: skip
    assert (printed.pk, printed.patient, said(printed)) == (
        sheet.pk,
        plan.patient_id,
        [(["meets"], ["below"])],
    )


def test_a_correction_that_changes_no_answer_touches_nothing(plan, practitioner):
    issue(plan, practitioner)
    found = touched(weaker_chalk(39_000.0))
    assert (found.recipes, found.plans, found.sheets) == ([], [], [])


def test_recipes_without_the_food_are_not_looked_at(practitioner):
    long_ago(cast.make_recipe(amounts={TURKEY: 500}))
    assert touched(weaker_chalk()).recipes == []


def test_a_value_that_became_unknown(version):
    FoodValue.objects.get(food__name=TURKEY, nutrient__key="zinc").delete()
    (recipe,) = touched(corrections()[0]).recipes
    assert said(recipe, "Zinc")[0][1] == ["cannot_confirm"]


def test_a_limit_and_the_profiles_that_inherit_it(version, plan):
    limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="calcium", minimum__isnull=False)
    found = touched(correct(limit, minimum=50.0))
    assert said(found.recipes[0]) == [(["meets"], ["below"])]
    assert said(found.plans[0]) == [(["meets"], ["below"])]
    growth = long_ago(cast.make_recipe("Growing", {TURKEY: 500, CHALK: 4}, profile_key="aafco-growth-large"))
    limit = Limit.objects.get(profile__key="aafco-growth", nutrient__key="zinc", minimum__isnull=False)
    found = touched(correct(limit, minimum=0.01))
    assert [row.label for row in found.recipes] == [growth.recipe.title]
    assert said(found.recipes[0], "Zinc") == [(["below"], ["meets"])]


def test_a_recipe_without_ingredients_has_no_answers_to_change(version):
    version.ingredients.all().delete()
    limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="calcium", minimum__isnull=False)
    assert touched(correct(limit, minimum=50.0)).recipes == []


def test_an_allowance_reaches_every_dogs_own_minimum(plan):
    """Minima per kg^0.75 are raised for dogs that eat little, whatever their profile."""
    limit = Limit.objects.get(
        profile__key="nrc-adult-per-mbw", nutrient__key="calcium", minimum__isnull=False
    )
    found = touched(correct(limit, minimum=limit.minimum * 50))
    assert [row.pk for row in found.plans] == [plan.pk]
    assert found.recipes == []


def test_a_retention_factor(practitioner):
    version = long_ago(cast.make_recipe(amounts={TURKEY: 500, CHALK: 4}))
    group = Food.objects.get(name=TURKEY).retention_group
    factor = Retention.objects.get(food_group=group, method=version.method, nutrient__key="phosphorus")
    (recipe,) = touched(correct(factor, percent=1.0)).recipes
    assert said(recipe, "Phosphorus")[-1][1] == ["below"]


@pytest.mark.parametrize("state", [Plan.State.DRAFT, Plan.State.ENDED])
def test_plans_that_are_not_fed(plan, state):
    Plan.objects.update(state=state)
    found = touched(weaker_chalk()).plans
    assert [row.fed for row in found] == ([False] if state == Plan.State.DRAFT else [])


def test_older_versions_count_while_a_plan_uses_them(version, plan):
    newer = RecipeVersion.objects.create(
        recipe=version.recipe, number=2, approved_at=timezone.now(), approved_by=version.approved_by
    )
    cast.slip_in(Ingredient, version=long_ago(newer), food=Food.objects.get(name=TURKEY), grams=500)
    assert [row.number for row in touched(weaker_chalk()).recipes] == [1]
    Plan.objects.update(state=Plan.State.ENDED)
    assert touched(corrections()[0]).recipes == []


def test_retired_recipes_are_left_alone(version):
    Recipe.objects.update(state=Recipe.State.RETIRED)
    assert touched(weaker_chalk()).recipes == []


def test_what_was_made_since_never_had_the_old_answers(practitioner):
    weaker_chalk()
    version = cast.make_recipe(amounts={TURKEY: 500, CHALK: 4})
    cast.make_plan(cast.make_patient(), version)
    found = touched(corrections()[0])
    assert (found.recipes, found.plans) == ([], [])


def test_only_the_newest_sheet_that_has_not_expired(plan, practitioner):
    issue(plan, practitioner, days_ago=20)
    newest = issue(plan, practitioner, days_ago=5)
    correction = weaker_chalk()
    assert [row.pk for row in touched(correction).sheets] == [newest.pk]
    later = newest.expires_on + timedelta(days=1)
    assert touched_by(correction, newest.expires_on).sheets
    assert touched_by(correction, later).sheets == []


def test_a_sheet_issued_since_rests_on_what_stands(plan, practitioner):
    issue(plan, practitioner)
    correction = weaker_chalk()
    issue(plan, practitioner, days_ago=0)
    found = touched(correction)
    assert (found.plans, found.sheets) == ([], [])


def test_a_sheet_that_keeps_no_answers_is_worked_out_anew(plan, practitioner):
    issue(plan, practitioner, format=0)
    assert said(touched(weaker_chalk()).sheets[0]) == [(["meets"], ["below"])]


def test_what_the_sheet_says_is_what_counts(plan, practitioner):
    """Even where two corrections hide each other: either alone explains that calcium is below now."""
    issue(plan, practitioner)
    first = weaker_chalk()
    weaker_chalk(7000.0, "measured")
    assert said(touched(first).sheets[0]) == [(["meets"], ["below"])]
    second = corrections()[0]
    assert touched(second).plans == []
    assert said(touched(second).sheets[0]) == [(["meets"], ["below"])]


@pytest.mark.parametrize("key", ["protein", "fat", "water", "phosphorus", "methionine", "retinol", "zinc"])
def test_looking_at_few_nutrients_finds_what_looking_at_all_does(plan, key, monkeypatch):
    value = FoodValue.objects.get(food__name=TURKEY, nutrient__key=key)
    correction = correct(value, per_100g=value.per_100g / 4)
    few = touched(correction)
    monkeypatch.setattr(recall_worlds, "nutrients_reached", lambda changed: None)
    assert touched(correction) == few
    assert bool(few.recipes) == (key in ("protein", "fat", "water", "phosphorus"))


def test_the_corrections_with_what_was_found():
    weaker_chalk()
    (row,) = listed_corrections()
    assert (row.recall, row.to_call) == (None, 0)
    assert len(unseen_corrections()) == 1


def test_it_asks_the_database_as_often_for_many_recipes_and_dogs(practitioner, django_assert_max_num_queries):
    owner = cast.make_owner()
    for number in range(25):
        version = long_ago(cast.make_recipe(f"Recipe {number}", {TURKEY: 500, CHALK: 4}))
        dog = cast.make_patient(owner, name=f"Dog {number}")
        issue(long_ago(cast.make_plan(dog, version, state=Plan.State.ISSUED)), practitioner)
    correction = weaker_chalk()
    with django_assert_max_num_queries(40):
        found = touched(correction)
    assert [len(rows) for rows in (found.recipes, found.plans, found.sheets)] == [25, 25, 25]


@pytest.fixture
def with_shell(version, practitioner):
    """Eggshell may stand in for the chalk, in the amount that keeps calcium above its minimum."""
    foods = {name: Food.objects.get(name=name) for name in (CHALK, SHELL)}
    return Substitution.objects.create(
        version=version, replaces=foods[CHALK], food=foods[SHELL], grams=4.2, when=When.COOLED_BATCH,
        approved_by=practitioner, approved_at=timezone.now() - timedelta(days=20),
    )  # fmt: skip


def weaker_shell():
    return correct(FoodValue.objects.get(food__name=SHELL, nutrient__key="calcium"), per_100g=8000.0)


OFFERED = {"substitutions": [{"instead_of": CHALK, "food": SHELL}]}


def test_a_stand_in_that_held_less_touches_the_plan_and_the_sheet_that_offers_it(
    plan, with_shell, practitioner
):
    issue(plan, practitioner, **as_issued(plan), **OFFERED)
    found = touched(weaker_shell())
    (fed,), (printed,) = found.plans, found.sheets
    name = f"Calcium, with {SHELL} instead of {CHALK}"
    assert said(fed, name) == said(printed, name) == [(["meets"], ["below"])]
    assert not said(fed)
    assert not found.recipes


def test_a_sheet_that_does_not_offer_the_stand_in_is_not_touched(plan, with_shell, practitioner):
    issue(plan, practitioner, **as_issued(plan))
    assert not touched(weaker_shell()).sheets


def test_a_stand_in_that_nobody_approved_touches_nothing(plan, with_shell):
    Substitution.objects.update(approved_by=None, approved_at=None)
    assert not touched(weaker_shell()).plans
