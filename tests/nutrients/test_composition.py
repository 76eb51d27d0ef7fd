"""Sums of nutrients: what is known is added, what is not known is named."""

import math

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.composition import resting_on, total, with_derived_foods
from tests.nutrients.makers import NONE_NEGLIGIBLE, UNKNOWN, make_composition

BATCH = [
    ("beef", "muscle meat", 300, {"calcium": 30.0, "phosphorus": 600.0, "iodine": UNKNOWN}),
    ("rice", "grain & starch", 200, {"calcium": 20.0, "phosphorus": 100.0, "iodine": UNKNOWN}),
    ("milk", "dairy", 500, {"calcium": UNKNOWN, "phosphorus": 450.0, "iodine": 150.0}),
]


def test_what_is_known_is_added():
    totals = make_composition(BATCH).totals
    assert totals["calcium"] == 50
    assert totals["phosphorus"] == 1150
    assert totals["iodine"] == 150


def test_what_is_missing_is_named_with_the_share_of_the_weight():
    completeness = make_composition(BATCH).completeness
    assert completeness.loc["calcium", "share"] == 0.5  # 500 g of 1000 g
    assert completeness.loc["calcium", "missing"] == ("milk",)
    assert completeness.loc["iodine", "share"] == 0.5
    assert completeness.loc["iodine", "missing"] == ("beef", "rice")
    assert completeness.loc["phosphorus", "share"] == 1
    assert completeness.loc["phosphorus", "missing"] == ()


def test_a_food_group_that_cannot_carry_it_does_not_matter():
    negligible = frozenset({("iodine", "muscle meat"), ("calcium", "muscle meat")})
    completeness = make_composition(BATCH, negligible).completeness
    assert completeness.loc["iodine", "missing"] == ("beef", "rice")
    assert completeness.loc["iodine", "missing_that_matter"] == ("rice",)
    assert completeness.loc["calcium", "missing_that_matter"] == ("milk",)


def test_a_nutrient_nothing_is_known_of_has_no_total():
    foods = [("beef", "muscle meat", 100, {"taurine": UNKNOWN}), ("rice", "grain", 100, {"taurine": UNKNOWN})]
    made = make_composition(foods)
    assert math.isnan(made.totals["taurine"])
    assert made.completeness.loc["taurine", "share"] == 0


def test_a_true_zero_is_a_value():
    made = make_composition([("oil", "fat & oil", 10, {"protein": 0.0})])
    assert made.totals["protein"] == 0
    assert made.completeness.loc["protein", "missing"] == ()


def test_the_same_food_twice_is_named_once_and_counts_twice():
    line = ("rice", "grain & starch", 100, {"calcium": 10.0, "iodine": UNKNOWN})
    made = make_composition([line, line])
    assert made.totals["calcium"] == 20
    assert made.completeness.loc["iodine", "missing"] == ("rice",)


def test_contributions_stand_as_they_came():
    made = make_composition(BATCH)
    assert list(made.contributions.index) == ["beef", "rice", "milk"]
    assert list(made.contributions.columns) == ["calcium", "phosphorus", "iodine"]
    assert math.isnan(made.contributions.at["milk", "calcium"])


SARDINE = {
    "methionine": 0.7,
    "cystine": 0.3,
    "phenylalanine": 1.0,
    "tyrosine": 0.9,
    "epa": 0.5,
    "dha": 0.5,
    "linoleic_acid": 3.5,
    "arachidonic_acid": 0.5,
    "alpha_linolenic_acid": 0.6,
    "retinol": 30.0,
    "beta_carotene": 1000.0,
    "calcium": 380.0,
    "phosphorus": 475.0,
    "vitamin_e": 2.0,
    "polyunsaturated_fat": 5.0,
}


@pytest.mark.parametrize(
    ("derived", "expected"),
    [
        ("methionine_cystine", 0.7 + 0.3),
        ("phenylalanine_tyrosine", 1.9),
        ("epa_dha", 1.0),
        ("vitamin_a", 30 / 0.3 + 1 * 833),  # IU: 0.3 ug retinol each, 833 per mg beta-carotene
        ("ca_p_ratio", 0.8),
        ("n6_n3_ratio", (3.5 + 0.5) / (0.6 + 0.5 + 0.5)),
        ("vitamin_e_per_pufa", 2 * 1.49 / 5),  # IU per g
    ],
)
def test_derived_amounts(derived, expected):
    made = make_composition([("sardine", "fish & shellfish", 100, SARDINE)])
    assert made.totals[derived] == pytest.approx(expected, rel=1e-12)
    assert made.completeness.loc[derived, "missing"] == ()


def test_a_derived_sum_counts_what_is_known_and_names_every_gap():
    foods = [
        ("egg", "egg", 100, {"methionine": 0.4, "cystine": UNKNOWN}),
        ("beef", "muscle meat", 300, {"methionine": UNKNOWN, "cystine": 0.2}),
    ]
    made = make_composition(foods)
    assert made.totals["methionine_cystine"] == pytest.approx(0.6)
    assert made.completeness.loc["methionine_cystine", "missing"] == ("egg", "beef")
    assert made.completeness.loc["methionine_cystine", "share"] == 0


def test_a_ratio_needs_every_part_in_foods_that_can_carry_it():
    foods = [
        ("beef", "muscle meat", 100, {"calcium": 10.0, "phosphorus": 200.0}),
        ("salt", "salt", 2, {"calcium": 1.0, "phosphorus": UNKNOWN}),
    ]
    assert math.isnan(make_composition(foods).totals["ca_p_ratio"])
    without_salt = frozenset({("phosphorus", "salt")})
    assert make_composition(foods, without_salt).totals["ca_p_ratio"] == pytest.approx(11 / 200)


def test_there_is_no_ratio_to_nothing():
    made = make_composition([("lime", "other", 1, {"calcium": 400.0, "phosphorus": 0.0})])
    assert math.isnan(made.totals["ca_p_ratio"])


def test_a_batch_of_nothing_knows_nothing():
    made = total(pd.DataFrame(columns=["calcium"]), [], [], NONE_NEGLIGIBLE)
    assert math.isnan(made.totals["calcium"])
    assert made.completeness.loc["calcium", "missing"] == ()


@pytest.mark.parametrize("grams", [0, -5, math.nan, math.inf])
def test_every_ingredient_weighs_something(grams):
    with pytest.raises(ValueError, match="beef needs a weight above 0 g"):
        make_composition([("beef", "muscle meat", grams, {"calcium": 1.0})])


@pytest.mark.parametrize("amount", [-0.1, math.inf])
def test_an_impossible_amount_is_refused(amount):
    with pytest.raises(ValueError, match="beef has an impossible amount of calcium"):
        make_composition([("beef", "muscle meat", 100, {"calcium": amount})])


AMOUNT = st.one_of(st.just(UNKNOWN), st.floats(min_value=0, max_value=1e5))


@given(st.lists(st.tuples(AMOUNT, st.floats(min_value=0.1, max_value=5000)), min_size=1, max_size=12))
def test_the_total_is_the_sum_of_the_contributions_that_are_known(lines):
    foods = [(f"food {n}", "egg", grams, {"zinc": amount}) for n, (amount, grams) in enumerate(lines)]
    made = make_composition(foods)
    known = [(amount, grams) for amount, grams in lines if not math.isnan(amount)]
    weight = math.fsum(grams for _, grams in lines)
    share = math.fsum(grams for _, grams in known) / weight
    assert made.completeness.loc["zinc", "share"] == pytest.approx(share)
    assert len(made.completeness.loc["zinc", "missing"]) == len(lines) - len(known)
    if known:
        assert made.totals["zinc"] == pytest.approx(math.fsum(amount for amount, _ in known))
    else:
        assert math.isnan(made.totals["zinc"])


PROXIMATES = {"water": 60.0, "protein": 20.0, "fat": 10.0, "ash": 1.5, "fiber": 2.5}


def test_nfe_is_what_is_left():
    table = with_derived_foods(pd.DataFrame([PROXIMATES], index=["stew"]))
    assert table.at["stew", "nfe"] == pytest.approx(6.0)  # 100 - 60 - 20 - 10 - 1.5 - 2.5


def test_nfe_is_never_below_nothing():
    table = with_derived_foods(pd.DataFrame([PROXIMATES | {"water": 68.0}], index=["stew"]))
    assert table.at["stew", "nfe"] == 0


@pytest.mark.parametrize("part", PROXIMATES)
def test_nfe_is_unknown_when_a_part_is(part):
    table = with_derived_foods(pd.DataFrame([PROXIMATES | {part: UNKNOWN}], index=["stew"]))
    assert math.isnan(table.at["stew", "nfe"])


GUESSED = frozenset({("duck", "zinc"), ("kelp", "zinc"), ("duck", "cystine"), ("heron", "iron")})


def test_what_rests_on_a_value_is_named_by_its_foods_in_their_order():
    resting = resting_on(GUESSED, ["kelp", "rice", "duck", "kelp"])
    assert resting == {"zinc": ("kelp", "duck"), "cystine": ("duck",), "methionine_cystine": ("duck",)}


def test_nothing_rests_on_values_of_other_foods():
    assert resting_on(GUESSED, ["rice"]) == {}


def test_a_ratio_rests_on_both_of_its_sides():
    above = resting_on({("bone", "calcium")}, ["bone"])
    below = resting_on({("bone", "phosphorus")}, ["bone"])
    assert above["ca_p_ratio"] == below["ca_p_ratio"] == ("bone",)
