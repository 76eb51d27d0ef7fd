"""The demo practice: invented, complete where it says so and honest where it is not."""

from datetime import date

import pytest
from django.core.management import call_command

from nutrients.models import Food
from patients.models import Patient
from practice import demo
from recipes.models import Recipe, Substitution
from recipes.queries import analysis_of
from recipes.substitution_services import stand

pytestmark = pytest.mark.django_db
TODAY = date(2026, 3, 2)


@pytest.fixture
def loaded(db):
    return demo.load_demo(today=TODAY)


def judged(title: str):
    return analysis_of(Recipe.objects.get(title=title).latest()).judgement


def test_it_holds_a_dog_of_each_kind_with_visits_over_weeks(loaded):
    dogs = {dog.name: dog for dog in Patient.objects.prefetch_related("visits")}
    assert len(dogs) == 4
    assert dogs["Juniper"].visits.first().bcs == 7
    assert (TODAY - dogs["Otto"].born).days < 365
    assert dogs["Otto"].expected_adult_kg > 31.8  # large breed: 70 lb as an adult (AAFCO)
    for dog in dogs.values():
        dates = [visit.date for visit in dog.visits.all()]
        assert (max(dates) - min(dates)).days >= 28


def test_six_recipes_of_different_protein_and_starch(loaded):
    firsts = [
        tuple(r.latest().ingredients.values_list("food__name", flat=True)[:2]) for r in Recipe.objects.all()
    ]
    assert len(firsts) == 6
    assert len(set(firsts)) == 6


def test_at_least_four_recipes_meet_every_adult_minimum_that_data_can_confirm(loaded):
    adult = Recipe.objects.filter(profile__key="aafco-adult").exclude(state="draft")
    assert adult.count() >= 4
    for recipe in adult:
        judgement = judged(recipe.title)
        assert set(judgement["minimum_answer"]) <= {"meets", "cannot_confirm", ""}, recipe.title
        assert "above" not in set(judgement["maximum_answer"]), recipe.title


def test_two_substitutions_of_which_one_is_approved(loaded):
    kept = {str(each): each for each in Substitution.objects.all()}
    assert {name: each.approved for name, each in kept.items()} == {
        "Eggshell powder, dried instead of Calcium carbonate powder": True,
        "Oyster, Eastern, wild, raw instead of Zinc chelate tablet, 15 mg zinc": False,
    }
    oyster = kept["Oyster, Eastern, wild, raw instead of Zinc chelate tablet, 15 mg zinc"]
    assert [(each.food.name, each.grams) for each in oyster.amounts.all()] == [("Beef liver, raw", 19)]
    assert not stand(oyster).found.newly_off


def test_one_recipe_is_for_growth_and_one_shows_its_gaps(loaded):
    growth = Recipe.objects.get(profile__key="aafco-growth-large")
    assert "below" not in set(judged(growth.title)["minimum_answer"])
    gaps = judged("Plain chicken and rice")
    assert gaps.loc["calcium", "minimum_answer"] == "below"
    assert gaps.loc["zinc", "minimum_answer"] == "below"
    assert gaps.loc["iodine", "minimum_answer"] == "cannot_confirm"


def test_heat_sensitive_supplements_go_in_the_bowl(loaded):
    lines = [line for recipe in Recipe.objects.all() for line in recipe.latest().ingredients.all()]
    sensitive = [
        x for x in lines if getattr(x.food, "supplement", None) and x.food.supplement.heat == "sensitive"
    ]
    assert sensitive
    assert {line.when for line in sensitive} == {"in_the_bowl"}


def test_every_food_of_the_tables_is_known(db):
    named = {row["food"] for row in demo.rows("ingredients")}
    assert named == set(Food.objects.filter(name__in=named).values_list("name", flat=True))


def test_it_is_loaded_into_an_empty_database_only(loaded, capsys):
    call_command("load_demo")
    assert "already holds records" in capsys.readouterr().out
    assert Patient.objects.count() == 4
