"""Supplements: what goes where, in whole steps, and nothing heat-sensitive into food that is heated again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.timing import as_given, coarse_steps, schedule
from recipes.analysis import Portion


def make_supplement(food="Vitamin powder", grams=4.0, heat="sensitive", unit_g=1.0, step=0.5, unit="scoop"):
    return Portion(
        food=food,
        grams=grams,
        when="in_the_pot",
        group="supplement",
        retention_group="",
        state="as sold",
        is_supplement=True,
        dose_unit=unit,
        grams_per_dose_unit=unit_g,
        smallest_step=step,
        heat=heat,
    )


@st.composite
def supplements(draw):
    """From one step a week in the longest batch (31 days) to far more, so that every dose can be given."""
    step = draw(st.sampled_from([0.1, 0.25, 0.5, 1.0]))
    unit_g = draw(st.floats(min_value=0.05, max_value=5))
    steps = draw(st.floats(min_value=4.5, max_value=2000))
    heat = draw(st.sampled_from(["stable", "sensitive", ""]))
    return make_supplement(grams=steps * step * unit_g, heat=heat, unit_g=unit_g, step=step)


ANY = st.lists(supplements(), min_size=1, max_size=4)
DAYS = st.integers(min_value=1, max_value=31)
MEALS = st.integers(min_value=1, max_value=6)
SERVE = st.sampled_from(["cold", "rewarmed"])


class TestWhere:
    @pytest.mark.parametrize("heat", ["stable", "sensitive", ""])
    def test_eaten_cold_from_the_fridge_all_goes_into_the_cooled_batch(self, heat):
        dose = schedule([make_supplement(heat=heat)], "cold", frozen=False, days=4, meals_per_day=2)[0]
        assert dose.when == "cooled_batch"

    @pytest.mark.parametrize(("serve", "frozen"), [("rewarmed", False), ("cold", True), ("rewarmed", True)])
    @pytest.mark.parametrize(
        ("heat", "when"), [("stable", "cooled_batch"), ("sensitive", "in_the_bowl"), ("", "in_the_bowl")]
    )
    def test_rewarmed_or_frozen(self, serve, frozen, heat, when):
        dose = schedule([make_supplement(heat=heat)], serve, frozen, days=4, meals_per_day=2)[0]
        assert dose.when == when

    @given(ANY, SERVE, st.booleans(), DAYS, MEALS)
    def test_nothing_heat_sensitive_is_ever_heated_again(self, portions, serve, frozen, days, meals):
        for dose in schedule(portions, serve, frozen, days, meals):
            if dose.when == "cooled_batch" and (serve == "rewarmed" or frozen):
                assert dose.heat == "stable"


class TestHowMuch:
    def test_a_batch_dose_by_hand(self):
        # 4.3 g of 1 g scoops in half scoops: 4.5 scoops
        dose = schedule([make_supplement(grams=4.3)], "cold", False, days=4, meals_per_day=2)[0]
        assert (dose.batch_amount, dose.grams_per_batch) == (4.5, 4.5)
        assert (dose.day_amount, dose.meal_amount, dose.on_days) == (None, None, ())

    def test_a_daily_dose_by_hand(self):
        # 4.3 g over 4 days: 1.075 scoops a day, 1 in half scoops, half a scoop in each of two meals
        dose = schedule([make_supplement(grams=4.3)], "rewarmed", False, days=4, meals_per_day=2)[0]
        assert (dose.day_amount, dose.meal_amount, dose.meals) == (1, 0.5, 2)
        assert (dose.every_days, dose.on_days) == (1, (1, 2, 3, 4))
        assert (dose.batch_amount, dose.grams_per_batch) == (4, 4)

    def test_steps_that_cannot_be_shared_go_into_one_meal(self):
        capsules = make_supplement(grams=12, step=1, unit="capsule")
        dose = schedule([capsules], "rewarmed", False, days=4, meals_per_day=2)[0]
        assert (dose.day_amount, dose.meal_amount, dose.meals) == (3, 3, 1)

    def test_under_one_step_a_day_becomes_one_step_every_second_day(self):
        capsules = make_supplement(grams=2, step=1, unit="capsule")
        dose = schedule([capsules], "rewarmed", False, days=4, meals_per_day=2)[0]
        assert (dose.every_days, dose.on_days, dose.day_amount) == (2, (1, 3), 1)
        assert (dose.batch_amount, dose.grams_per_batch) == (2, 2)

    def test_the_interval_is_the_one_whose_doses_in_the_batch_come_nearest(self):
        # 1.2 capsules in 4 days: every third day would be days 1 and 4, two capsules; every fourth is one
        capsules = make_supplement(grams=1.2, step=1, unit="capsule")
        dose = schedule([capsules], "rewarmed", False, days=4, meals_per_day=2)[0]
        assert (dose.every_days, dose.batch_amount) == (4, 1)

    @pytest.mark.parametrize(("grams", "days"), [(0.7, 4), (1, 8), (0.1, 7)])
    def test_a_dose_rarer_than_the_batch_or_a_week_is_refused(self, grams, days):
        capsules = make_supplement(grams=grams, step=1, unit="capsule")
        with pytest.raises(ValueError, match=r"Vitamin powder: 1 capsule .* Choose a weaker product"):
            schedule([capsules], "rewarmed", False, days=days, meals_per_day=2)

    @pytest.mark.parametrize(("grams", "days", "longer_helps"), [(0.7, 4, True), (0.1, 7, False)])
    def test_a_longer_batch_is_advised_only_when_it_can_help(self, grams, days, longer_helps):
        capsules = make_supplement(grams=grams, step=1, unit="capsule")
        with pytest.raises(ValueError, match="Choose a weaker product") as refused:
            schedule([capsules], "rewarmed", False, days=days, meals_per_day=2)
        assert ("cook for more days" in str(refused.value)) == longer_helps

    def test_never_below_one_step_and_a_large_rounding_says_so(self):
        # 0.2 g in steps of 0.5 g: half a scoop, 150 % more
        dose = schedule([make_supplement(grams=0.2)], "cold", False, days=4, meals_per_day=2)[0]
        assert dose.batch_amount == 0.5
        assert dose.rounded_by_percent == pytest.approx(150)
        assert dose.rounded_a_lot

    def test_a_small_rounding_says_nothing(self):
        assert not schedule([make_supplement(grams=4.3)], "cold", False, 4, 2)[0].rounded_a_lot

    @given(ANY, SERVE, st.booleans(), DAYS, MEALS)
    def test_all_meals_of_all_days_are_the_batch(self, portions, serve, frozen, days, meals):
        for portion, dose in zip(portions, schedule(portions, serve, frozen, days, meals), strict=True):
            grams = dose.batch_amount * portion.grams_per_dose_unit
            assert dose.grams_per_batch == pytest.approx(grams, abs=1e-6)
            if dose.when == "in_the_bowl":
                given_in_all = dose.meal_amount * dose.meals * len(dose.on_days)
                assert given_in_all == pytest.approx(dose.batch_amount, abs=1e-5)
                assert dose.meals <= meals
                assert set(dose.on_days) <= set(range(1, days + 1))

    @given(ANY, SERVE, st.booleans(), DAYS, MEALS)
    def test_every_amount_is_at_least_one_whole_step(self, portions, serve, frozen, days, meals):
        for portion, dose in zip(portions, schedule(portions, serve, frozen, days, meals), strict=True):
            for amount in filter(None, (dose.batch_amount, dose.day_amount, dose.meal_amount)):
                steps = amount / portion.smallest_step
                assert steps >= 1 - 1e-6
                assert steps == pytest.approx(round(steps), abs=1e-4)


def test_a_supplement_without_a_dose_unit_is_refused():
    with pytest.raises(ValueError, match="no dose unit yet"):
        schedule([make_supplement(unit_g=None)], "cold", False, 4, 2)


@pytest.mark.parametrize(("days", "meals"), [(0, 2), (4, 0)])
def test_a_batch_without_days_or_meals_is_refused(days, meals):
    with pytest.raises(ValueError, match="at least one day"):
        schedule([make_supplement()], "cold", False, days, meals)


def test_what_is_given_goes_back_as_portions():
    asked = [make_supplement(grams=4.3)]
    given_back = as_given(asked, schedule(asked, "rewarmed", False, days=4, meals_per_day=2))
    assert [(x.food, x.grams, x.when) for x in given_back] == [("Vitamin powder", 4, "in_the_bowl")]


class TestCoarseSteps:
    DROPS = make_supplement("Vitamin D drops", unit="drop", step=1)

    def test_a_step_above_half_the_maximum_is_named(self):
        told = coarse_steps([self.DROPS], {"Vitamin D drops": {"vitamin_d": 401}}, {"vitamin_d": 800})
        assert told == [
            "Vitamin D drops: one step (1 drop) brings more than half of the vitamin d this batch may hold. "
            "Choose a weaker product."
        ]

    @pytest.mark.parametrize("amount", [400, 0, float("nan")])
    def test_half_or_less_or_unknown_is_not(self, amount):
        assert (
            coarse_steps([self.DROPS], {"Vitamin D drops": {"vitamin_d": amount}}, {"vitamin_d": 800}) == []
        )

    def test_a_nutrient_the_supplement_does_not_bring(self):
        assert coarse_steps([self.DROPS], {"Vitamin D drops": {"vitamin_d": 500}}, {"selenium": 10}) == []
