"""What is weighed, both ways: as a weight and in eggs. A large egg is 50 g: USDA, Release 28."""

import pytest

from patients.sheet.cooking import egg_sentence
from recipes.scaling import scale
from tests.recipes.test_scaling import make_food

EGG = {"food": "Egg, whole, raw", "group": "egg", "measures": (("large", 50), ("small", 38))}


def line_of(grams: float, **particulars):
    return scale([make_food(grams=grams, step_g=5, **(EGG | particulars))], 1000, 1000, 1).lines[0]


def test_one_and_a_half_eggs_are_told_both_ways():
    assert egg_sentence(line_of(75)) == "1½ large eggs: beat 2, weigh out 75 g, freeze the rest."


@pytest.mark.parametrize("particulars", [{"food": "Egg yolk, raw"}, {"food": "Turkey"}, {"measures": ()}])
def test_other_foods_are_not_told_in_eggs(particulars):
    assert egg_sentence(line_of(75, **particulars)) == ""


def test_whole_eggs_leave_nothing_over():
    assert egg_sentence(line_of(100)) == ""
