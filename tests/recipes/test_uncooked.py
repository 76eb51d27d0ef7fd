"""Animal food that is fed raw."""

import pytest

from nutrients.models import Caution
from recipes import obstacles
from recipes.analysis import Portion
from recipes.uncooked import ONLY_OF_RAW, RAW_ANIMAL_FOOD, RAW_FISH, subjects, uncooked_animal_foods


def portion(food="Beef heart, raw", **particulars):
    defaults = {"when": "in_the_pot", "group": "organ", "retention_group": "", "state": "raw"}
    return Portion(food=food, grams=100, **(defaults | particulars))


@pytest.mark.parametrize(
    ("particulars", "method", "raw"),
    [
        ({}, "baked", False),
        ({}, "not_heated", True),
        ({"when": "in_the_bowl"}, "baked", True),
        ({"when": "off_the_heat"}, "baked", True),
        ({"when": "in_the_bowl", "state": "cooked"}, "baked", False),
        ({"when": "in_the_bowl", "group": "fruit"}, "baked", False),
    ],
)
def test_what_never_meets_the_heat_is_raw(particulars, method, raw):
    assert bool(uncooked_animal_foods([portion(**particulars)], method)) == raw


def test_raw_salmon_brings_up_its_own_caution():
    salmon = portion("Salmon, pink, raw", group="fish & shellfish", when="in_the_bowl")
    assert subjects([salmon], "baked") == {
        RAW_FISH: ["Salmon, pink, raw"],
        RAW_ANIMAL_FOOD: ["Salmon, pink, raw"],
    }
    assert subjects([portion(when="in_the_bowl")], "baked") == {RAW_ANIMAL_FOOD: ["Beef heart, raw"]}
    assert subjects([portion()], "baked") == {}


@pytest.mark.django_db
def test_the_cautions_stand_in_the_table():
    actions = dict(
        Caution.objects.filter(subject__in=(RAW_FISH, RAW_ANIMAL_FOOD)).values_list("subject", "action")
    )
    assert actions == {RAW_FISH: "block", RAW_ANIMAL_FOOD: "sign-off"}
    assert set(Caution.objects.values_list("subject", flat=True)) >= ONLY_OF_RAW


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("when", "said"), [("in_the_pot", []), ("in_the_bowl", ["raw egg white", RAW_ANIMAL_FOOD])]
)
def test_a_recipe_that_cooks_the_egg_has_no_caution_of_raw_egg_white(when, said):
    found = obstacles.cautions([portion("Egg white, raw", group="egg", when=when)], "simmered_liquid_kept")
    assert [caution.subject for _, caution in found] == said
