"""Amounts per 100 g, per 1000 kcal and per gram of protein, worked out by hand on invented foods."""

import math

import pandas as pd
import pytest

from nutrients.food_amounts import Measured, amounts, measured, parts, ranked

UNKNOWN = math.nan
HARE, CARP, OATS, SALT = "Moon hare", "Star carp", "Sun oats", "Dew salt"
# Moon hare: NFE 100 - 70 - 20 - 5 - 1 - 1 = 3; 4 x 20 + 9 x 5 + 4 x 3 = 137 kcal
# Star carp: NFE 100 - 80 - 10 - 2 - 2 - 0 = 6; 4 x 10 + 9 x 2 + 4 x 6 = 82 kcal
TABLE = pd.DataFrame(
    {
        "water": [70, 80, 10, 0],
        "protein": [20, 10, 12, 0],
        "fat": [5, 2, 7, 0],
        "ash": [1, 2, 2, 100],
        "fiber": [1, 0, UNKNOWN, 0],
        "zinc": [4, 3, UNKNOWN, 1],
        "calcium": [10, 30, 5, UNKNOWN],
        "phosphorus": [200, 0, 5, 1],
        "methionine": [0.5, 0.25, 0.2, 0],
        "cystine": [0.25, UNKNOWN, 0.1, 0],
    },
    index=[HARE, CARP, OATS, SALT],
)


def found(nutrient, per):
    return amounts(TABLE, nutrient, per).value.to_dict()


def said(nutrient, per):
    return amounts(TABLE, nutrient, per).why.to_dict()


def test_per_100_g_is_what_the_table_holds():
    assert found("zinc", "100g") == pytest.approx({HARE: 4, CARP: 3, OATS: UNKNOWN, SALT: 1}, nan_ok=True)
    assert said("zinc", "100g") == {HARE: "", CARP: "", OATS: "unknown", SALT: ""}


def test_per_1000_kcal_by_factors():
    wanted = {HARE: 4 / 0.137, CARP: 3 / 0.082, OATS: UNKNOWN, SALT: UNKNOWN}  # 29.20 and 36.59 mg
    assert found("zinc", "1000kcal") == pytest.approx(wanted, nan_ok=True)


def test_energy_of_which_a_part_is_unknown_makes_the_amount_unknown():
    assert math.isnan(found("calcium", "1000kcal")[OATS])
    assert said("calcium", "1000kcal")[OATS] == "unknown"


def test_a_food_without_energy_or_protein_has_no_amount_and_is_not_called_unknown():
    assert said("zinc", "1000kcal")[SALT] == "no energy"
    assert said("zinc", "protein")[SALT] == "no protein"
    assert said("calcium", "1000kcal")[SALT] == "unknown"


def test_per_gram_of_protein():
    wanted = {HARE: 4 / 20, CARP: 3 / 10, OATS: UNKNOWN, SALT: UNKNOWN}
    assert found("zinc", "protein") == pytest.approx(wanted, nan_ok=True)


def test_energy_by_factors_can_be_asked_for_itself():
    assert found("kcal", "100g") == pytest.approx({HARE: 137, CARP: 82, OATS: UNKNOWN, SALT: 0}, nan_ok=True)
    assert found("kcal", "protein")[HARE] == pytest.approx(137 / 20)
    assert found("nfe", "100g")[CARP] == 6


def test_a_derived_sum_needs_all_of_its_parts():
    assert found("methionine_cystine", "100g")[HARE] == pytest.approx(0.75)
    assert math.isnan(found("methionine_cystine", "100g")[CARP])


def test_vitamin_a_counts_both_parts():
    table = pd.DataFrame({"retinol": [300.0], "beta_carotene": [3000.0]})
    assert amounts(table, "vitamin_a", "100g").value[0] == pytest.approx(1000 + 3 * 833)


@pytest.mark.parametrize("per", ["100g", "1000kcal", "protein"])
def test_a_ratio_is_the_same_on_every_basis(per):
    assert found("ca_p_ratio", per)[HARE] == pytest.approx(0.05)
    assert said("ca_p_ratio", per) == {HARE: "", CARP: "not formed", OATS: "", SALT: "unknown"}


def test_the_stored_nutrients_that_an_amount_needs():
    assert parts("zinc", "100g") == ["zinc"]
    assert parts("zinc", "protein") == ["zinc", "protein"]
    assert set(parts("zinc", "1000kcal")) == {"zinc", "water", "protein", "fat", "ash", "fiber"}
    assert parts("ca_p_ratio", "100g") == ["calcium", "phosphorus"]
    assert parts("protein", "protein") == ["protein"]


@pytest.mark.parametrize(
    ("nutrient", "per", "descending", "order"),
    [
        ("zinc", "100g", True, [HARE, CARP, SALT, OATS]),
        ("zinc", "100g", False, [SALT, CARP, HARE, OATS]),
        ("zinc", "1000kcal", True, [CARP, HARE, OATS, SALT]),
        ("zinc", "1000kcal", False, [HARE, CARP, OATS, SALT]),
        ("zinc", "protein", True, [CARP, HARE, OATS, SALT]),
    ],
)
def test_what_is_unknown_is_last_either_way(nutrient, per, descending, order):
    assert list(ranked(amounts(TABLE, nutrient, per).value, descending).index) == order


@pytest.mark.parametrize("descending", [True, False])
def test_equal_amounts_keep_their_order(descending):
    assert list(ranked(pd.Series({"b": 1.0, "a": 1.0, "c": 1.0}), descending).index) == ["b", "a", "c"]


def test_an_amount_says_when_it_rests_on_an_estimate():
    rows = measured(TABLE, "zinc", "1000kcal", {(HARE, "ash"), (CARP, "calcium")})
    assert rows[HARE] == Measured(pytest.approx(29.197, abs=0.001), "", True)
    assert not rows[CARP].estimated
    assert rows[SALT] == Measured(None, "no energy", False)
