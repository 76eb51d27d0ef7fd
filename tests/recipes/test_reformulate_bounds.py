"""What is offered at first: each expectation is worked out by hand beside it."""

import math

import pandas as pd
import pytest

from nutrients.adequacy import ProfileLimits
from recipes.analysis import Portion
from recipes.reformulate_bounds import caps, food_bounds, most_doses, new_food_most


def make_profile(**limits) -> ProfileLimits:
    """limits: nutrient -> (minimum, maximum), in the nutrient's own unit."""
    rows = [
        {"key": key, "minimum": low or math.nan, "maximum": high or math.nan, "factor": 1.0}
        for key, (low, high) in limits.items()
    ]
    return ProfileLimits("own", "Own", "1", "adult", False, pd.DataFrame(rows).set_index("key"))


def make_tablet(grams=0.0, step=0.5) -> Portion:
    return Portion(
        "Zinc tablet", grams, "cooled_batch", "mineral supplement", "", "as sold",
        is_supplement=True, dose_unit="tablet", grams_per_dose_unit=0.4, smallest_step=step,
    )  # fmt: skip


ZINC_15_MG = {"zinc": 3750.0, "protein": 0.0, "fat": 0.0, "nfe": 0.0}  # 15 mg in 0.4 g


@pytest.mark.parametrize(
    ("grams", "bounds"), [(500, (350, 650)), (25, (18, 32)), (12, (8.4, 15.6)), (0.5, (0.3, 0.7))]
)
def test_foods_move_from_70_to_130_percent(grams, bounds):
    assert food_bounds(grams) == pytest.approx(bounds, abs=0.51 if grams == 25 else 0.06)


def test_a_new_food_makes_up_a_tenth_of_the_batch():
    assert new_food_most(860) == 86


def test_a_supplement_stops_at_its_maximum_in_whole_steps():
    # 75 mg per 1000 kcal x 1.5 = 112.5 mg = 7.5 tablets; a maximum of 74 mg gives 7.4, and so 7.
    for maximum, tablets in ((75, 7.5), (74, 7.0)):
        profile = make_profile(zinc=(20, maximum))
        assert most_doses(make_tablet(), ZINC_15_MG, 1500, caps([profile])) == tablets


def test_without_a_maximum_it_stops_at_five_times_the_minimum():
    # 20 mg x 1.5 = 30 mg = 2 tablets; five times that.
    assert most_doses(make_tablet(), ZINC_15_MG, 1500, caps([make_profile(zinc=(20, None))])) == 10


def test_an_oil_stops_at_a_tenth_of_the_energy():
    # 1 g of fat is 9 kcal; 150 kcal are 16.67 g, in 0.4 g capsules 41.67, in whole ones 41.
    oil = {"fat": 100.0, "protein": 0.0, "nfe": 0.0}
    assert most_doses(make_tablet(step=1), oil, 1500, caps([make_profile(zinc=(20, None))])) == 41


def test_what_is_present_is_never_out_of_bounds():
    assert most_doses(make_tablet(grams=4.8), ZINC_15_MG, 1500, caps([make_profile(zinc=(20, 75))])) == 12


def test_what_carries_nothing_that_is_limited_is_offered_one_step():
    assert most_doses(make_tablet(), {"taurine": 100.0}, 1500, caps([make_profile(zinc=(20, 75))])) == 0.5


def test_an_unknown_value_caps_nothing():
    unknown = ZINC_15_MG | {"iron": math.nan}
    profile = make_profile(zinc=(20, 75), iron=(10, 11))
    assert most_doses(make_tablet(), unknown, 1500, caps([profile])) == 7.5
