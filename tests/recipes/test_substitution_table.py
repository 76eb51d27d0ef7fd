"""The table of candidates against the long way: each put into a recipe of its own and analysed afresh."""

import pytest

from nutrients.models import Food
from recipes import dogs
from recipes.differences import differences
from recipes.models import Ingredient
from recipes.queries import analysis_of, portions_of
from recipes.substitution_queries import pool, setting_of
from recipes.substitutions import candidates
from tests import cast
from tests.recipes import pork

pytestmark = pytest.mark.django_db


def table(version, food, match, dog=None):
    portions = portions_of(version)
    line = next(line for line in portions if line.food == food)
    offered = pool(line, match, dog).portions
    setting = setting_of(version, {each.food for each in (*portions, *offered)})
    return candidates(portions, food, offered, setting, match)


def analysed_afresh(version, food, candidate, number):
    """A stored recipe with the stand-in typed in, analysed by its own page's way."""
    portion = candidate.swap.portion
    twin = cast.make_recipe(f"Twin {number}", {"Spinach, raw": 1}, added_water_g=version.added_water_g)
    twin.ingredients.all().delete()
    for line in version.ingredients.exclude(food__name=food):
        Ingredient.objects.create(version=twin, food=line.food, grams=line.grams, when=line.when)
    stand_in = Food.objects.get(name=portion.food)
    Ingredient.objects.create(version=twin, food=stand_in, grams=portion.grams, when=portion.when)
    return analysis_of(twin).judgement


@pytest.mark.parametrize(
    ("food", "match"),
    [(pork.PORK, "energy"), (pork.LIVER, "protein"), (pork.SPINACH, "weight"), (pork.ZINC, "zinc")],
)
def test_every_row_equals_a_recipe_analysed_afresh(food, match):
    version = pork.make_stew()
    before = analysis_of(version).judgement
    found = [each for each in table(version, food, match) if not each.already]
    assert len(found) > 5
    for number, candidate in enumerate([*found[:6], *found[6::5]]):  # every fifth: each is a recipe stored
        afresh = differences(before, analysed_afresh(version, food, candidate, number))
        assert {each.sentence for each in candidate.found.all} == {each.sentence for each in afresh.all}
        assert candidate.found.distance == pytest.approx(afresh.distance)


def test_at_most_a_hundred_candidates_are_judged():
    assert len(table(pork.make_stew(), pork.PORK, "energy")) == 100


class TestWhatIsOffered:
    def names(self, food, match, dog=None):
        return {each.swap.portion.food for each in table(pork.make_stew(), food, match, dog)}

    def test_discontinued_foods_are_not(self):
        Food.objects.filter(name=pork.EGGSHELL).update(discontinued=True)
        assert pork.EGGSHELL not in self.names(pork.CALCIUM, "calcium")

    def test_forbidden_foods_are_not(self):
        onion = Food.objects.get(name="Asparagus, raw")
        onion.name = "Onion, raw"
        onion.save()
        assert "Onion, raw" not in self.names(pork.SPINACH, "weight")

    def test_what_the_dog_must_not_get_is_left_out_with_the_reason(self):
        patient = cast.make_patient()
        patient.avoids.create(word="beef", reason="itches")
        dog = dogs.dog(str(patient.pk))
        assert not any("beef" in name.lower() for name in self.names(pork.PORK, "energy", dog))
        line = next(
            line for line in portions_of(pork.make_stew(title="Another stew")) if line.food == pork.PORK
        )
        left_out = pool(line, "energy", dog).left_out
        assert "itches" in left_out["Beef heart, raw"]
