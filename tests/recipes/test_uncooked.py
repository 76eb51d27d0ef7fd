"""Animal food that is fed raw. No database."""

import pytest

from nutrients.models import Caution
from recipes.analysis import Portion
from recipes.uncooked import RAW_ANIMAL_FOOD, RAW_FISH, subjects, uncooked_animal_foods


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
def test_both_cautions_stand_in_the_table():
    actions = dict(
        Caution.objects.filter(subject__in=(RAW_FISH, RAW_ANIMAL_FOOD)).values_list("subject", "action")
    )
    assert actions == {RAW_FISH: "block", RAW_ANIMAL_FOOD: "sign-off"}
