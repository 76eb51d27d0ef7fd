"""Two ways of cooking the same batch, worked out by hand.

Invented amounts; the factors of thiamine in chicken are those of the USDA Table of Nutrient Retention
Factors, Release 6: simmered with drippings 75 % (code 0856), fried without coating 70 % (code 0803).
"""

import math

import pandas as pd
import pytest

from nutrients.adequacy import ProfileLimits
from recipes.analysis import Portion
from recipes.cooking import compare, sentence
from tests.nutrients.makers import make_profile

SIMMERED, FRIED = "simmered_liquid_kept", "pan_cooked"
WORDS = {SIMMERED: "simmered", FRIED: "pan-cooked"}
COLUMNS = ["protein", "fat", "nfe", "thiamine", "zinc", "iodine"]
TABLE = pd.DataFrame.from_dict(
    {"chicken": [20, 10, 0, 0.2, 2, math.nan], "rice": [7, 1, 80, 0.1, 1, 0], "salt": [0, 0, 0, 0, 0, 5]},
    orient="index",
    columns=COLUMNS,
    dtype=float,
)
FACTORS = pd.DataFrame.from_dict(
    {
        ("chicken", SIMMERED): {"thiamine": 0.75},
        ("chicken", FRIED): {"thiamine": 0.70, "zinc": 0.5, "fat": 0.8},
    },
    orient="index",
    columns=["thiamine", "zinc", "fat"],
)
FACTORS.index = pd.MultiIndex.from_tuples(FACTORS.index, names=["food_group", "method"])
CHICKEN = Portion("chicken", 500, "in_the_pot", "muscle meat", "chicken", "raw")
RICE = Portion("rice", 100, "in_the_pot", "grain & starch", "rice", "dried")
YIELDS = {("chicken", FRIED): 70.0, ("pot", SIMMERED): 93.0}


def limits(**changed) -> ProfileLimits:
    return make_profile(
        {"thiamine": {"minimum": 0.8}, "zinc": {"minimum": 10}, "iodine": {"minimum": 1}, "protein": {}}
        | changed
    )


def cooked(portions=(CHICKEN,), profile=None, methods=(SIMMERED, FRIED), **more):
    return compare(list(portions), TABLE, FACTORS, methods, profile or limits(), frozenset(), YIELDS, **more)


def row(found, key):
    return next(each for each in (*found.differing, *found.alike) if each.key == key)


def test_amounts_are_told_per_1000_kcal_of_what_is_left():
    # simmered: 100 g protein, 50 g fat: 850 kcal; thiamine 1 mg x 0.75. Fried: 40 g fat left: 760 kcal; 0.70
    thiamine = row(cooked(), "thiamine")
    assert [cell.amount for cell in thiamine.cells] == pytest.approx([0.75 / 0.85, 0.70 / 0.76])
    assert [cell.percent for cell in thiamine.cells] == pytest.approx(
        [100 * 0.75 / 0.85 / 0.8, 100 * 0.70 / 0.76 / 0.8]
    )


def test_fat_that_is_drained_takes_its_energy_along():
    simmered, fried = cooked().ways
    assert (simmered.fat_drained_g, fried.fat_drained_g) == (0, 10)
    assert (simmered.analysis.energy.kcal, fried.analysis.energy.kcal) == pytest.approx((850, 760))


def test_the_cooked_weight_is_an_estimate_but_where_it_was_weighed():
    simmered, fried = cooked(added_water_g=300, weighed_g={SIMMERED: 700, FRIED: None}).ways
    assert (simmered.analysis.cooked_g, simmered.analysis.cooked_is_estimate) == (700, False)
    assert (fried.analysis.cooked_g, fried.analysis.cooked_is_estimate) == (350, True)  # 500 g x 70 %
    assert fried.kcal_per_100g == pytest.approx(760 / 3.5)


def test_an_answer_that_changes_comes_first_then_what_lies_furthest_apart():
    # zinc 10 mg: 11.8 per 1000 kcal simmered; fried 5 mg in 760 kcal: 6.6 of the 10 asked for, below
    found = cooked()
    assert [each.key for each in found.differing] == ["zinc", "protein", "thiamine"]
    assert [each.answer_changes for each in found.differing] == [True, False, False]
    assert [each.key for each in found.alike] == ["iodine"]


def test_where_no_factor_is_published_it_is_said():
    found = cooked([CHICKEN, RICE])
    simmered, fried = row(found, "thiamine").cells
    assert (simmered.no_factor, fried.no_factor) == (("rice",), ("rice",))
    assert [cell.no_factor for cell in row(found, "zinc").cells] == [("chicken", "rice"), ("rice",)]
    assert row(found, "zinc").gaps == [((0,), ("chicken", "rice")), ((1,), ("rice",))]
    assert row(found, "thiamine").gaps == [((0, 1), ("rice",))]


def test_what_holds_none_of_it_or_never_meets_the_heat_needs_no_factor():
    salt = Portion("salt", 1, "cooled_batch", "salt", "", "as sold", is_supplement=True)
    bowl = Portion("rice", 100, "in_the_bowl", "grain & starch", "rice", "cooked")
    found = cooked([CHICKEN, salt, bowl])
    assert [cell.no_factor for cell in row(found, "iodine").cells] == [(), ()]
    assert [cell.no_factor for cell in row(found, "thiamine").cells] == [(), ()]


def test_an_unheated_batch_needs_no_factor():
    assert cooked(methods=(SIMMERED, "not_heated")).ways[1].no_factor == {}


def test_an_amount_that_is_not_known_stays_unknown():
    assert [cell.amount for cell in row(cooked(), "iodine").cells] == [None, None]
    assert row(cooked(), "iodine").cells[0].answers == (("cannot_confirm", "Cannot confirm: data missing"),)


def test_the_sentence_tells_the_first_of_the_nutrients_that_differ():
    # zinc: 10 / 0.85 of 10 = 118 %, 5 / 0.76 of 10 = 66 %
    assert sentence(cooked(), WORDS) == "simmered against pan-cooked: zinc 118 % against 66 % of the minimum."
    alike = cooked(profile=make_profile({"iodine": {"minimum": 1}}))
    assert sentence(alike, WORDS).endswith("no minimum is reached differently, by what is published.")


def test_a_batch_without_energy_is_refused():
    salt = Portion("salt", 1, "cooled_batch", "salt", "", "as sold", is_supplement=True)
    with pytest.raises(ValueError, match="above 0"):
        cooked([salt])
