"""What a re-check found beside what was expected, worked out by hand."""

from datetime import date, timedelta

import pytest

from patients.rechecks import (
    TabletCheck,
    expected_words,
    fed_share,
    is_diabetic,
    rate_words,
    recent,
    weeks_of,
    weeks_under,
)

ON = date(2026, 11, 22)


def ago(days: int, kg: float) -> tuple[date, float]:
    return (ON - timedelta(days=days), kg)


def test_the_weigh_ins_of_six_weeks_tell_how_it_goes_now():
    """A dog that lost well for two months and stands still now: the old ones would hide it."""
    all_of_them = [ago(days, 20 - 0.01 * days) for days in (70, 56, 43, 42, 28, 14, 0)]
    assert recent(all_of_them, ON - timedelta(days=70), ON) == [
        ago(d, 20 - 0.01 * d) for d in (42, 28, 14, 0)
    ]


def test_nothing_counts_from_before_the_plan_but_the_weight_it_starts_with():
    told = [ago(30, 21), ago(20, 20.5), ago(5, 20)]
    assert recent(told, ON - timedelta(days=15), ON) == [ago(20, 20.5), ago(5, 20)]
    assert recent(told, ON - timedelta(days=25), ON) == [ago(30, 21), ago(20, 20.5), ago(5, 20)]


def test_a_weight_long_before_the_plan_is_not_where_it_starts():
    """15 days before the plan: too old."""
    assert recent([ago(30, 21), ago(1, 20)], ON - timedelta(days=15), ON) == [ago(1, 20)]


def test_the_last_two_stand_in_for_a_long_silence():
    told = [ago(100, 22), ago(60, 21), ago(0, 20)]
    assert recent(told, ON - timedelta(days=100), ON) == [ago(60, 21), ago(0, 20)]


def test_later_weigh_ins_do_not_count_and_none_is_nothing():
    assert recent([ago(7, 20), ago(-7, 19)], ON - timedelta(days=7), ON) == [ago(7, 20)]
    assert recent([], ON, ON) == []
    assert weeks_of([]) == 0
    assert weeks_of([ago(21, 1), ago(0, 1)]) == 3


def test_only_the_weeks_under_the_plan_tell_of_it():
    """Weighed 16 days ago and today, on the plan for three days: three sevenths of a week."""
    told = [ago(16, 20), ago(0, 20.3)]
    assert weeks_under(told, ON - timedelta(days=3)) == pytest.approx(3 / 7)
    assert weeks_under(told, ON - timedelta(days=30)) == pytest.approx(16 / 7)
    assert weeks_under(told[:1], ON) == weeks_under([], ON) == 0


def test_a_pregnant_dog_is_not_expected_to_hold_its_weight():
    assert expected_words("hold", 1, 2) == "steady: within 0.5 % a week"
    assert "pregnancy" in expected_words("hold", 1, 2, breeding=True)


@pytest.mark.parametrize(
    ("kcal", "percent", "leftovers", "share"),
    [
        (660, None, "", 1.1),
        (None, 85, "none", 0.85),
        (None, None, "", None),
        (600, None, "much", None),
        (0, None, "", 0),
    ],
)
def test_the_share_of_the_plan_that_was_fed(kcal, percent, leftovers, share):
    assert fed_share(600, kcal, percent, leftovers) == (share if share is None else pytest.approx(share))


@pytest.mark.parametrize(
    ("percent", "words"),
    [
        (None, "not known yet"),
        (-1.24, "1.2 % less a week"),
        (0.5, "0.5 % more a week"),
        (-0.04, "no change"),
    ],
)
def test_a_rate_in_words(percent, words):
    assert rate_words(percent) == words


@pytest.mark.parametrize(
    ("texts", "found"),
    [
        (["Diabetes mellitus"], True),
        (["arthritis", "on Insulin twice a day"], True),
        (["Glargine, as prescribed"], True),
        (["arthritis", ""], False),
    ],
)
def test_a_dog_on_insulin_is_known_by_its_record(texts, found):
    assert is_diabetic(texts) is found


@pytest.mark.parametrize(
    ("had", "left", "a_day", "expected", "says"),
    [
        (100, 72, 1, 72, "28 used in 28 days; by the plan 28."),
        (100, 74, 1, 72, "by the plan 28."),  # two off of 28: within a tenth
        (100, 90, 1, 72, "Ask how it is given."),
        (10, 0, 1, None, "Ask how it is given."),  # there were too few to last
        (100, 72, None, None, "no dose of it"),
        (10, 12, 1, None, "count again"),
    ],
)
def test_tablets_are_counted_as_a_check(had, left, a_day, expected, says):
    check = TabletCheck("Zinc", had, left, a_day, days=28)
    assert check.expected_left == expected
    assert check.words.endswith(says) or says in check.words
