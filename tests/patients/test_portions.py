"""Meals from a weighed pot, and what goes into the freezer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.portions import FRIDGE_DAYS, KEEPING, cups, fridge_split, grams_per_meal, pot_table

POTS = st.floats(min_value=20, max_value=40_000)
DAYS = st.integers(min_value=1, max_value=31)
MEALS = st.integers(min_value=1, max_value=6)


def test_grams_per_meal_by_hand():
    assert grams_per_meal(2400, days=4, meals_per_day=2) == 300


@given(POTS, DAYS, MEALS)
def test_all_meals_together_are_the_pot(pot, days, meals):
    assert grams_per_meal(pot, days, meals) * days * meals == pytest.approx(pot)


@pytest.mark.parametrize("bad", [(0, 4, 2), (-1, 4, 2), (float("nan"), 4, 2), (100, 0, 2), (100, 4, 0)])
def test_what_cannot_be_portioned(bad):
    with pytest.raises(ValueError, match="must be above 0"):
        grams_per_meal(*bad)


def test_pot_table_by_hand():
    # 2400 g in steps of 50 g: 1920 -> 1900, 2160 -> 2150, 2400, 2640 -> 2650, 2880 -> 2900; 8 meals
    assert pot_table(2400, 4, 2) == [
        (1900, 237.5),
        (2150, 268.75),
        (2400, 300),
        (2650, 331.25),
        (2900, 362.5),
    ]


@given(POTS, DAYS, MEALS)
def test_pot_table_rises_and_reaches_about_20_percent_either_way(estimate, days, meals):
    pots = [pot for pot, _ in pot_table(estimate, days, meals)]
    assert pots == sorted(set(pots))
    assert pots[0] == pytest.approx(0.8 * estimate, rel=0.2)
    assert pots[-1] == pytest.approx(1.2 * estimate, rel=0.2)


def test_the_fridge_keeps_four_days_and_the_rest_is_frozen():
    # USDA Food Safety and Inspection Service: cooked food 3 to 4 days; from memory
    assert FRIDGE_DAYS == 4
    assert fridge_split(3) == (3, 0)
    assert fridge_split(4) == (4, 0)
    assert fridge_split(7) == (4, 3)
    assert fridge_split(7, fridge_days=3) == (3, 4)


def test_a_batch_of_no_days():
    with pytest.raises(ValueError, match="does not exist"):
        fridge_split(0)


def test_every_rule_of_keeping_says_its_number_in_words_and_names_its_source():
    for rule in KEEPING.values():
        words = rule.said.replace("a day", "1 days")
        assert f"{rule.value:g} {rule.unit.rstrip('s')}" in words
        assert rule.source.startswith("USDA FSIS")


@pytest.mark.parametrize(("grams", "words"), [(298, "1¼ cups"), (240, "1 cup"), (30, "")])
def test_a_meal_in_cups(grams, words):
    # 298 / 240 = 1.24; 30 / 240 is half of the smallest quarter
    assert cups(grams) == words
