"""Rates, corridors and growth; corridor arithmetic is done by hand in the comments."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.curves import LossCorridor, doubt, doubt_among, growth_curve, loss_curve, weekly_rate

START = date(2026, 3, 2)


def on_day(days: int) -> date:
    return START + timedelta(days=days)


def test_two_weigh_ins_give_the_plain_rate():
    """20 kg to 19.6 kg in 14 days: 0.2 kg a week, 1 % of 20 kg."""
    assert weekly_rate([(on_day(0), 20.0), (on_day(14), 19.6)]) == pytest.approx(-1.0)


def test_the_base_is_the_weight_at_the_beginning():
    """30 kg to 24 kg in 28 days: 1.5 kg a week of 30 kg is 5 %, of 24 kg it would be 6.25 %."""
    assert weekly_rate([(on_day(0), 30.0), (on_day(28), 24.0)]) == pytest.approx(-5.0)


def test_one_wrong_scale_does_not_turn_the_rate():
    line = [(on_day(7 * week), 20 - 0.2 * week) for week in range(6)]
    assert weekly_rate(line) == pytest.approx(-1.0)
    wrong = [*line[:3], (line[3][0], 43.0), *line[4:]]  # typed in pounds
    assert weekly_rate(wrong) == pytest.approx(-1.0, abs=0.05)


@pytest.mark.parametrize("weigh_ins", [[], [(START, 20.0)], [(START, 20.0), (on_day(6), 19.0)]])
def test_no_rate_until_the_weigh_ins_span_a_week(weigh_ins):
    assert weekly_rate(weigh_ins) is None


@given(
    st.lists(
        st.tuples(st.integers(0, 400).map(on_day), st.floats(5, 60)), min_size=1, max_size=12,
        unique_by=lambda entry: entry[0],
    ),
    st.randoms(use_true_random=False),
)  # fmt: skip
def test_the_order_of_entry_does_not_matter(weigh_ins, chance):
    shuffled = list(weigh_ins)
    chance.shuffle(shuffled)
    assert weekly_rate(shuffled) == weekly_rate(weigh_ins)


def test_a_loss_corridor_by_hand():
    """20 kg at 1 and 2 % a week: 20, 19.8 and 19.6, 19.602 and 19.208; the slow side reaches 19.4 kg after
    ln(19.4 / 20) / ln(0.99) = 3.03, so four weeks."""
    corridor = loss_curve(20, 19.4, START)
    assert [week.day for week in corridor] == [on_day(7 * week) for week in range(5)]
    assert [week.slow_kg for week in corridor[:3]] == pytest.approx([20, 19.8, 19.602])
    assert [week.fast_kg for week in corridor[:3]] == pytest.approx([20, 19.6, 19.4])
    assert corridor[-1].slow_kg == corridor[-1].fast_kg == 19.4


def test_a_slower_corridor_takes_longer():
    """18.4 kg to 15.3 kg: ln(15.3 / 18.4) / ln(0.99) = 18.4 weeks, / ln(0.995) = 36.8."""
    assert len(loss_curve(18.4, 15.3, START)) - 1 == 19
    assert len(loss_curve(18.4, 15.3, START, slow=0.5, fast=1.0)) - 1 == 37


@pytest.mark.parametrize(
    ("start_kg", "target_kg", "rates"),
    [(20, 20, {}), (20, 21, {}), (0, 1, {}), (20, 15, {"slow": 3, "fast": 2}), (20, 15, {"slow": 0})],
)
def test_a_corridor_that_is_none_is_refused(start_kg, target_kg, rates):
    with pytest.raises(ValueError, match=r"\w"):
        loss_curve(start_kg, target_kg, START, **rates)


@given(st.floats(2, 100), st.floats(0.3, 0.99))
def test_the_corridor_never_falls_below_the_target_nor_crosses(start_kg, share):
    corridor = loss_curve(start_kg, start_kg * share, START)
    assert all(start_kg * share <= week.fast_kg <= week.slow_kg <= start_kg for week in corridor)
    assert corridor[-1].slow_kg == pytest.approx(start_kg * share) or len(corridor) == 105


def test_the_corridor_of_a_day():
    """20 kg: after a week 19.6 to 19.8 kg; after ten days 20 x 0.98^(10/7) = 19.431, 0.99^(10/7) = 19.715."""
    corridor = LossCorridor(20, 15, START)
    assert corridor.on(on_day(-1)) is None
    assert corridor.on(START) == (20, 20)
    assert corridor.on(on_day(7)) == pytest.approx((19.6, 19.8))
    assert corridor.on(on_day(10)) == pytest.approx((19.431, 19.715), abs=0.001)
    assert corridor.on(on_day(4000)) == (15, 15)


def test_growth_is_a_share_of_the_expected_adult_weight():
    points = growth_curve([(on_day(70), 6.0), (on_day(35), 3.0), (on_day(-1), 9.0)], START, 30)
    assert [(point.age_weeks, point.percent) for point in points] == [(5, 10), (10, 20)]


@pytest.mark.parametrize(
    ("kg", "said"),
    [
        (20.1, ""),
        (19.0, ""),  # 5 % in two weeks is quick and possible
        (44.1, "were these pounds?"),  # 20 kg = 44.1 lb
        (9.1, "was the earlier weight in pounds?"),
        (24.5, "weigh again"),
        (15.0, "weigh again"),
    ],
)
def test_a_weight_that_cannot_well_be_right_is_asked_about(kg, said):
    found = doubt(on_day(14), kg, [(on_day(0), 20.0)], growing=False)
    assert (said in found) if said else not found


def test_two_weights_of_a_day_are_told_as_such():
    assert "on the same day" in doubt(START, 15.0, [(START, 20.0)], growing=False)


def test_a_puppy_may_gain_fast_and_not_lose():
    assert not doubt(on_day(14), 6.0, [(on_day(0), 4.5)], growing=True)
    assert doubt(on_day(14), 3.9, [(on_day(0), 4.5)], growing=True)
    assert "pounds" in doubt(on_day(14), 9.9, [(on_day(0), 4.5)], growing=True)


@pytest.mark.parametrize(
    ("days", "kg", "asked"),
    [(1, 24, True), (31, 24, True), (31, 19, False), (84, 24, False), (7, 7.1, False), (7, 7.2, True)],
)
def test_no_puppy_grows_at_any_pace(days, kg, asked):
    """5.3 kg x 1.35 = 7.155 after a week, x 1.35^(31/7) = 20.0 in a month, x 1.35^12 = 194 in twelve."""
    assert bool(doubt(on_day(days), kg, [(on_day(0), 5.3)], growing=True)) is asked


def test_what_was_typed_in_pounds_is_not_asked_to_be_pounds():
    """24 lb = 10.89 kg, 5.3 lb = 2.40 kg."""
    assert "+105 %, in 1 day: weigh again" in doubt(on_day(1), 10.89, [(START, 5.3)], False, "lb")
    assert "were these kilograms?" in doubt(on_day(1), 2.4, [(START, 5.3)], False, "lb")


def test_a_weight_is_held_against_the_next_one_too():
    assert not doubt(START, 20, [], growing=False)
    later = [(on_day(30), 60.0), (on_day(7), 44.0)]
    asked = doubt_among(START, 20, later, lambda day: False)
    assert asked == "44 kg after 20 kg: were these pounds?"
    assert not doubt_among(START, 44.1, later, lambda day: False)
    assert not doubt_among(START, 20, [], lambda day: False)
