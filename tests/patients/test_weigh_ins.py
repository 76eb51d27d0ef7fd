"""Weigh-ins and their changes, worked out by hand."""

from datetime import date

import pytest

from patients.weigh_ins import weigh_ins


def test_changes_are_of_the_weight_before():
    first, second, third = weigh_ins(
        [(date(2026, 11, 15), 19.0), (date(2026, 11, 1), 20.0), (date(2026, 11, 22), 19.38)]
    )
    assert (first.kg, first.change_kg, first.percent_per_week) == (20.0, None, None)
    assert (second.days, second.change_kg) == (14, -1.0)
    assert second.percent == pytest.approx(-5.0)  # 1 of 20
    assert second.percent_per_week == pytest.approx(-2.5)  # in two weeks
    assert third.percent == pytest.approx(2.0)  # 0.38 of 19
    assert third.percent_per_week == pytest.approx(2.0)


def test_two_weigh_ins_of_a_day_have_no_weekly_rate():
    _, second = weigh_ins([(date(2026, 11, 1), 20.0), (date(2026, 11, 1), 19.0)])
    assert second.percent == pytest.approx(-5.0)
    assert second.percent_per_week is None


@pytest.mark.parametrize(("now", "unlikely"), [(40.5, True), (22.9, False), (13.7, True), (13.9, False)])
def test_a_slip_of_unit_is_noticed(now, unlikely):
    # 18.4 kg is 40.6 lb; a quarter of 18.4 kg is 4.6 kg
    first, second = weigh_ins([(date(2026, 11, 1), 18.4), (date(2026, 11, 15), now)])
    assert second.is_unlikely is unlikely
    assert not first.is_unlikely


@pytest.mark.parametrize(("days", "known"), [(2, False), (6, False), (7, True)])
def test_a_trend_needs_a_week(days, known):
    first, last = weigh_ins([(date(2026, 3, 1), 20.0), (date(2026, 3, 1 + days), 19.0)])
    assert first.trend_percent_per_week is None
    assert (last.trend_percent_per_week is not None) == known
