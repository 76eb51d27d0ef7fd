"""The change of food by the day, treats, and a meal that goes wrong. Common practice, no source."""

import pytest

from patients.services import work_out
from patients.sheet.feeding import changeover_part, extras_part, when_short_part
from patients.treats import Treat
from tests.patients.feeding import make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def workings(practitioner):
    return work_out(make_whole_plan(practitioner, extras_kcal=40))


def test_ten_days_of_which_two_are_a_quarter_two_a_half_and_two_three_quarters(workings):
    days = changeover_part(workings.batch)["days"]
    assert [day["day"] for day in days] == list(range(1, 11))
    assert [day["new_percent"] for day in days] == [25, 25, 50, 50, 75, 75, 100, 100, 100, 100]
    assert all(day["new_percent"] + day["old_percent"] == 100 for day in days)
    assert days[2]["new_g"] == round(workings.batch.meal_g / 2)


def test_a_meal_that_is_missing_is_told_in_kcal_with_an_example(workings):
    kcal = workings.batch.kcal_per_day / 2
    instead = when_short_part(workings, workings.batch)["instead"]
    assert f"{kcal:,.0f} kcal." in instead
    assert f"that is {kcal / 350 * 100:,.0f} g." in instead


def test_treats_are_told_with_their_budget(workings):
    part = extras_part(workings, [Treat("Carrots, raw", 100, 33.04)])
    assert part == {"kcal": 40, "treats": [["Carrots, raw", 100, 33]]}
