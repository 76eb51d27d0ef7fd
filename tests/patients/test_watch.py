"""Late weigh-ins, a loss off its pace, a new life stage: worked out by hand."""

from datetime import date, timedelta

import pytest

from patients.life_stage import life_stage
from patients.watch import Pace, days_without, is_late, new_stage, pace

ON = date(2026, 11, 25)
USUAL = (1.0, 2.0)


def back(days: int) -> date:
    return ON - timedelta(days=days)


@pytest.mark.parametrize(("days", "late"), [(14, False), (15, True)])
def test_a_weigh_in_is_late_after_fourteen_days(days, late):
    assert is_late(days_without(back(days), back(60), ON)) == late


def test_a_dog_never_weighed_is_counted_from_the_beginning_of_its_plan():
    assert days_without(None, back(20), ON) == 20


def test_the_pace_is_measured_since_the_plan_began():
    # 20 kg when the plan began, 0.5 kg less after two weeks: 0.25 kg a week, 1.25 % of 20 kg.
    weights = [(back(60), 26.0), (back(14), 20.0), (ON, 19.5)]
    found = pace(weights, back(14), ON, 15.0, USUAL)
    assert found.rate == pytest.approx(-1.25)
    assert (found.weeks, found.weight_kg) == (2, 19.5)
    assert not found.too_fast
    assert not found.standing_still
    assert found.words == "1.25 % less a week over 2 weeks; 1 to 2 % less is wanted"


def test_nothing_is_said_before_a_week_has_passed():
    assert pace([(back(6), 20.0), (ON, 19.0)], back(6), ON, 15.0, USUAL) is None
    assert pace([(ON, 20.0)], ON, ON, 15.0, USUAL) is None


def at(rate: float, weeks: float = 4, weight_kg: float = 20, wanted=USUAL) -> Pace:
    return Pace(rate, weeks, weight_kg, 15.0, *wanted, weeks_fed=weeks)


def test_a_plan_of_a_week_does_not_stand_still_because_of_the_food_before_it():
    """20 kg three weeks ago and now; on the plan since a week, on another since three."""
    weights = [(back(21), 20.0), (ON, 20.0)]
    assert not pace(weights, back(7), ON, 15.0, USUAL).standing_still
    assert pace(weights, back(21), ON, 15.0, USUAL).standing_still


@pytest.mark.parametrize(("rate", "fast"), [(-2.0, False), (-2.01, True), (1.0, False)])
def test_more_than_two_percent_a_week_is_too_fast(rate, fast):
    assert at(rate).too_fast == fast


def test_a_rate_is_told_so_exactly_that_its_answer_is_understood():
    assert at(-2.04).words == "2.04 % less a week over 4 weeks; 1 to 2 % less is wanted"
    assert at(0.001, weeks=1).words == "no change over 1 week; 1 to 2 % less is wanted"


def test_a_gentle_loss_is_too_fast_above_one_percent():
    assert at(-1.2, wanted=(0.5, 1.0)).too_fast
    assert not at(-1.0, wanted=(0.5, 1.0)).too_fast


@pytest.mark.parametrize(
    ("rate", "still"), [(0.3, True), (0.0, True), (-0.4, True), (-0.5, False), (-0.8, False)]
)
def test_steady_or_rising_is_not_losing(rate, still):
    assert at(rate).standing_still == still


def test_standing_still_takes_two_weeks_and_a_weight_above_the_target():
    assert not at(0.0, weeks=1.9).standing_still
    assert at(0.0, weeks=2).standing_still
    assert not at(0.0, weight_kg=15.0).standing_still


@pytest.mark.parametrize(
    ("born", "adult_kg", "day", "label"),
    [
        # 8 years on 25 November: more than 7 whole years.
        (date(2018, 11, 25), 20.0, ON, "senior"),
        (date(2018, 10, 26), 20.0, date(2026, 10, 26), None),  # 30 days ago it was senior already
        (date(2018, 10, 27), 20.0, date(2026, 10, 27), "senior"),
        (date(2018, 12, 9), 20.0, date(2026, 12, 9), "senior"),
        (date(2018, 12, 10), 20.0, None, None),  # in 15 days
        # 12 months for a small dog, 18 for a large one and for one of unknown weight.
        (date(2025, 12, 1), 20.0, date(2026, 12, 1), "adult"),
        (date(2025, 12, 1), None, None, None),
        (date(2025, 6, 1), None, date(2026, 12, 1), "adult"),
        (date(2025, 6, 1), 35.0, date(2026, 12, 1), "adult"),
        # 14 weeks are 98 days: born on 22 August, 28 November.
        (date(2026, 8, 22), 20.0, date(2026, 11, 28), "growing, from 14 weeks to adult"),
        (date(2026, 11, 20), 20.0, None, None),  # a puppy of five days stays one
    ],
)
def test_a_new_life_stage_of_the_last_thirty_and_the_next_fourteen_days(born, adult_kg, day, label):
    found = new_stage(born, adult_kg, ON)
    assert (found and found.label) == label
    if label:
        assert found.day == day


def test_the_day_before_a_new_stage_is_still_of_the_old_one():
    found = new_stage(date(2018, 11, 10), 20.0, ON)
    assert life_stage(date(2018, 11, 10), found.day - timedelta(days=1), 20.0).label == "adult"
    assert found.words(ON) == "senior since 10 November"
    assert found.words(found.day - timedelta(days=3)) == "senior from 10 November"
