"""How a day's food is divided among its meals. Worked out by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.meals import meal_weights, read_split, split_problem


@pytest.mark.parametrize(
    ("typed", "shares"), [("40, 60", [40, 60]), ("40/60 %", [40, 60]), ("", []), ("30;30;40", [30, 30, 40])]
)
def test_shares_are_read_as_people_write_them(typed, shares):
    assert read_split(typed) == shares


@pytest.mark.parametrize("typed", ["half", "40.5, 59.5", "-40, 140", "٤٠, 60"])
def test_what_is_no_whole_percent_is_refused(typed):
    with pytest.raises(ValueError, match="whole percents"):
        read_split(typed)


@pytest.mark.parametrize(
    ("split", "meals", "says"),
    [
        ([], 2, ""),
        ([40, 60], 2, ""),
        ([40, 60], 3, "2 shares for 3 meals"),
        ([40, 50], 2, "make 90 %"),
        ([0, 100], 2, "above 0"),
    ],
)
def test_the_shares_make_the_day(split, meals, says):
    assert says in split_problem(split, meals)
    assert bool(says) == bool(split_problem(split, meals))


def test_by_hand():
    assert meal_weights(900, [40, 60]) == [(40, 360), (60, 540)]
    assert meal_weights(900, []) == []


@given(day_g=st.floats(1, 5_000), first=st.integers(1, 99))
def test_the_meals_make_the_day(day_g, first):
    assert sum(grams for _, grams in meal_weights(day_g, [first, 100 - first])) == pytest.approx(day_g)
