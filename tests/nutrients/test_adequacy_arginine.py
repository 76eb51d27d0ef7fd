"""The arginine minimum rises with the protein of the diet."""

import pytest

from nutrients.adequacy import judge
from tests.nutrients.makers import UNKNOWN, make_composition, make_profile

PER_G_PROTEIN = 0.01

# FEDIAF Nutritional Guidelines, annex, Table VII-13: protein in percent of dry matter, arginine in g per
# 100 g of dry matter (rounded to 0.01 there); the first line of each life stage is its protein minimum.
TABLE_VII_13 = {
    "adult": [
        (18, 0.52),
        (20, 0.54),
        (22.5, 0.57),
        (25, 0.59),
        (30, 0.64),
        (35, 0.69),
        (40, 0.74),
        (45, 0.79),
        (50, 0.84),
    ],
    "growth": [
        (20, 0.69),
        (22.5, 0.72),
        (25, 0.74),
        (30, 0.79),
        (35, 0.84),
        (40, 0.89),
        (45, 0.94),
    ],
    "early growth and reproduction": [
        (22.5, 0.79),
        (25, 0.82),
        (30, 0.87),
        (35, 0.92),
        (40, 0.97),
        (45, 1.02),
    ],
}
LINES = [(stage, *line) for stage, lines in TABLE_VII_13.items() for line in lines]
# At 400 kcal per 100 g of dry matter, 1 % of dry matter is 2.5 g per 1000 kcal.
PER_1000_KCAL = 2.5


def judged(protein, arginine, profile, kcal=1000.0):
    foods = [("mix", "other", 100, {"protein": protein, "fat": 20.0, "nfe": 50.0, "arginine": arginine})]
    made = make_composition(foods)
    return judge(made.totals, made.completeness, kcal, profile).loc["arginine"]


def stage_profile(stage, rise=PER_G_PROTEIN, **arginine):
    protein, minimum = TABLE_VII_13[stage][0]
    limits = {
        "protein": {"minimum": protein * PER_1000_KCAL},
        "arginine": {"minimum": minimum * PER_1000_KCAL} | arginine,
    }
    return make_profile(limits, arginine_per_g_protein=rise)


@pytest.mark.parametrize(("stage", "protein_percent", "arginine_g"), LINES)
def test_the_published_table(stage, protein_percent, arginine_g):
    row = judged(protein_percent * PER_1000_KCAL, 1.0, stage_profile(stage))
    assert row["minimum"] / PER_1000_KCAL == pytest.approx(arginine_g, abs=0.0051)


def test_the_raised_minimum_is_the_one_that_is_judged():
    """80 g protein are 35 g above 45 g: 1.30 + 0.35 = 1.65 g arginine."""
    profile = stage_profile("adult", note="As printed.")
    assert judged(80.0, 1.66, profile)["minimum_answer"] == "meets"
    row = judged(80.0, 1.64, profile)
    assert row["minimum_answer"] == "below"
    assert row["percent_of_minimum"] == pytest.approx(100 * 1.64 / 1.65)
    assert row["note"] == "Minimum raised by 0.35 g for 35.0 g protein above 45 g. As printed."


def test_it_is_protein_per_1000_kcal_that_counts():
    assert judged(160.0, 3.32, stage_profile("adult"), kcal=2000)["minimum"] == pytest.approx(1.65)


def test_it_rises_in_the_unit_of_the_limit():
    profile = stage_profile("adult", unit="mg", factor=1000.0, minimum=1300.0)
    assert judged(80.0, 2.0, profile)["minimum"] == pytest.approx(1650)


@pytest.mark.parametrize("protein", [30.0, 45.0])
def test_it_does_not_fall_with_less_protein(protein):
    row = judged(protein, 1.4, stage_profile("adult"))
    assert (row["minimum"], row["note"]) == (pytest.approx(1.3), "")


def test_a_standard_without_the_rule_keeps_its_minimum():
    assert judged(80.0, 1.4, stage_profile("adult", rise=0))["minimum"] == pytest.approx(1.3)


def test_a_profile_without_a_protein_minimum_keeps_its_minimum():
    profile = make_profile({"arginine": {"minimum": 1.3}}, arginine_per_g_protein=PER_G_PROTEIN)
    assert judged(80.0, 1.4, profile)["minimum"] == pytest.approx(1.3)


def test_arginine_is_not_confirmed_when_the_protein_is_unknown():
    assert judged(UNKNOWN, 5.0, stage_profile("adult"))["minimum_answer"] == "cannot_confirm"
