"""The premix card: a month of powders weighed once."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.premix import premix, smallest_weighable
from patients.timing import Dose


def powder(food: str, grams: float, **particulars) -> Dose:
    sound = {
        "when": "cooled_batch", "why": "", "batch_amount": grams, "day_amount": None, "meal_amount": None,
        "meals": None, "every_days": None, "on_days": (), "dose_unit": "g", "grams_per_batch": grams,
        "heat": "stable", "exact_g": grams,
    }  # fmt: skip
    return Dose(food=food, **(sound | particulars))


def test_a_scale_of_a_tenth_of_a_gram_weighs_one_gram_within_five_percent():
    assert smallest_weighable(0.1) == pytest.approx(1)  # 0.05 g of 1 g is 5 %


def test_a_month_by_hand():
    # 8 batches: 8 x 12.3 = 98.4 g and 8 x 0.4 = 3.2 g, 101.6 g in all; 101.6 / 8 = 12.7 g a batch
    found = premix([powder("Calcium", 12.3), powder("Salt", 0.4)], 8, 0.1)
    assert [(each.food, each.weigh_g, each.dilute) for each in found.weighings] == [
        ("Calcium", 98.4, None), ("Salt", 3.2, None),
    ]  # fmt: skip
    assert (found.total_g, found.per_batch_g) == (pytest.approx(101.6), 12.7)


def test_what_the_scale_cannot_resolve_is_diluted():
    # a kitchen scale of 1 g weighs from 10 g; 4 x 0.5 = 2 g of copper are diluted 1 to 5: 10 g in 40 g of
    # carrier, of which 10 g hold 2 g
    found = premix([powder("Calcium", 30), powder("Copper", 0.5)], 4, 1)
    [_, copper] = found.weighings
    assert (copper.needed_g, copper.dilute, copper.weigh_g) == (2, (10, 40), 10)
    assert found.per_batch_g == 32  # (120 + 10) / 4 = 32.5, to a whole gram


def test_what_cannot_be_measured_even_diluted_is_said():
    found = premix([powder("Calcium", 30), powder("Selenium", 0.001)], 1, 1)
    assert found.too_weak == ("Selenium",)
    assert [each.food for each in found.weighings] == ["Calcium"]


@pytest.mark.parametrize(
    "doses",
    [
        [powder("Calcium", 30)],
        [powder("Calcium", 30), powder("Vitamins", 3, heat="sensitive")],
        [powder("Calcium", 30), powder("Iron", 3, dose_unit="tablet")],
        [powder("Calcium", 30), powder("Fish oil", 3, when="in_the_bowl")],
        [],
    ],
)
def test_only_heat_stable_powders_of_the_batch_are_mixed_and_two_at_least(doses):
    assert premix(doses, 8, 0.1) is None


@pytest.mark.parametrize(("batches", "step"), [(0, 0.1), (4, 0), (4, math.nan), (4, -1)])
def test_nonsense_is_refused(batches, step):
    with pytest.raises(ValueError, match="at least one batch"):
        premix([powder("Calcium", 30), powder("Salt", 3)], batches, step)


@given(grams=st.floats(0.02, 500), step=st.sampled_from([0.01, 0.1, 1]), batches=st.integers(1, 30))
def test_a_dilution_holds_what_is_needed(grams, step, batches):
    found = premix([powder("Calcium", 500), powder("Other", grams)], batches, step)
    for each in found.weighings:
        share = each.dilute[0] / sum(each.dilute) if each.dilute else 1
        assert each.off_percent <= 5 + 1e-9
        assert each.weigh_g * share == pytest.approx(each.needed_g, rel=0.06)
