"""Plain treats within a plan's extras. Energy: USDA, Release 28, carbohydrate by difference without fibre."""

import pytest

from patients.dog import Avoided, Dog
from patients.life_stage import LifeStage
from patients.plan_queries import treats_of
from patients.treats import TREATS, treats_within


def dog(*avoids: Avoided) -> Dog:
    return Dog("Juniper", "hound cross", LifeStage("adult", False, "aafco-adult", "adult"), avoids=avoids)


KCAL = dict.fromkeys(TREATS, 50.0)


def test_each_treat_alone_stays_within_the_budget_by_hand():
    # 42 kcal at 50 kcal in 100 g are 84 g, cut down to whole steps of 5 g: 80 g, 40 kcal
    for treat in treats_within(42, KCAL, dog()):
        assert (treat.grams, treat.kcal) == (80, 40)


def test_there_is_a_most_of_one_food():
    assert {treat.grams for treat in treats_within(500, KCAL, dog())} == {100}


def test_what_the_dog_must_avoid_and_what_is_not_known_is_left_out():
    offered = treats_within(42, KCAL | {"Carrots, raw": float("nan")}, dog(Avoided("", "chicken", "allergy")))
    names = {treat.food for treat in offered}
    assert "Carrots, raw" not in names
    assert not any("Chicken" in name for name in names)
    assert len(names) == len(TREATS) - 2


def test_a_budget_too_small_for_a_step_offers_nothing():
    assert treats_within(2, KCAL, dog()) == []


@pytest.mark.django_db
def test_the_energy_is_the_food_tables():
    found = {treat.food: treat for treat in treats_of(40, dog())}
    # raw carrot: protein 0.93, fat 0.24, carbohydrate 9.58, fibre 2.8 g in 100 g (USDA, Release 28):
    # 4 x 0.93 + 9 x 0.24 + 4 x (9.58 - 2.8) = 33.0 kcal, so 100 g at most bring 33 kcal
    assert found["Carrots, raw"].grams == 100
    assert found["Carrots, raw"].kcal == pytest.approx(33.0, abs=0.5)
    assert treats_of(0, dog()) == []
