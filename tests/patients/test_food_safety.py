"""Temperatures and keeping; the expected ones are those of USDA FSIS, from memory."""

import pytest

from patients.food_safety import CHANGEOVER, REHEATED, safe_temperatures
from patients.steps import names_an_amount
from recipes.analysis import Portion


def raw(food: str, group: str, state: str = "raw") -> Portion:
    return Portion(food, 100, "in_the_pot", group, "", state)


@pytest.mark.parametrize(
    ("food", "group", "celsius", "fahrenheit_shown", "rest"),
    [
        ("Ground turkey, 93% lean, raw", "muscle meat", 74, 165, 0),
        ("Chicken liver, raw", "organ", 74, 165, 0),
        ("Ground beef, 90% lean, raw", "muscle meat", 71, 160, 0),
        ("Beef liver, raw", "organ", 71, 160, 0),
        ("Egg, whole, raw", "egg", 71, 160, 0),
        ("Pork loin, raw", "muscle meat", 63, 145, 3),
        ("Cod, Atlantic, raw", "fish & shellfish", 63, 145, 0),
    ],
)
def test_each_raw_animal_food_has_its_temperature(food, group, celsius, fahrenheit_shown, rest):
    [safe] = safe_temperatures([raw(food, group)])
    assert (safe.celsius, safe.fahrenheit, safe.rest_minutes) == (celsius, fahrenheit_shown, rest)


def test_cooked_food_and_plants_ask_for_none():
    assert (
        safe_temperatures([raw("Beef, cooked", "muscle meat", "cooked"), raw("Carrots", "vegetable")]) == []
    )


def test_the_hottest_comes_first_and_each_once():
    portions = [
        raw("Cod, raw", "fish & shellfish"),
        raw("Turkey, raw", "muscle meat"),
        raw("Duck, raw", "organ"),
    ]
    assert [safe.celsius for safe in safe_temperatures(portions)] == [74, 63]


def test_food_is_warmed_again_to_74_degrees():
    assert (REHEATED.celsius, REHEATED.fahrenheit) == (74, 165)


def test_the_changeover_ends_with_the_new_food_alone():
    assert [step.new for step in CHANGEOVER] == [25, 50, 75, 100]
    assert all(step.new + step.old == 100 for step in CHANGEOVER)
    assert [day for step in CHANGEOVER for day in step.days] == list(range(1, 11))


@pytest.mark.parametrize(
    "step", ["Add 700 ml of water.", "Melt 2 tbsp oil", "Stir in 1.5 cups", "Crush 2 tablets"]
)
def test_a_step_with_an_amount_is_noticed(step):
    assert names_an_amount(step)


@pytest.mark.parametrize(
    "step", ["Simmer for 25 minutes.", "Heat to 74 °C.", "Cut into 2 cm cubes.", "Stir well."]
)
def test_time_heat_and_size_are_no_amounts(step):
    assert not names_an_amount(step)
