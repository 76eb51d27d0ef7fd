"""A dog on few kcal still needs its allowance: minima rise, nothing is lowered."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.adequacy import for_patient, judge
from tests.nutrients.makers import UNKNOWN, make_composition, make_profile

# A dog of 16 kg has a metabolic weight of exactly 8 kg^0.75.
WEIGHT_KG = 16
# NRC 2006, adult maintenance, per kg^0.75 a day: zinc 2.0 mg; vitamin D 0.45 ug; arginine 0.11 g.
ALLOWANCES = {
    "zinc": {"unit": "mg", "minimum": 2.0, "source": "NRC 2006", "certainty": "cross-checked"},
    "vitamin_d": {"unit": "ug", "factor": 1 / 40, "minimum": 0.45},
    "fat": {"minimum": 1.8},
    "arginine": {"minimum": 0.11},
    "vitamin_k": {"unit": "mg", "minimum": 0.054},
}


def raised(limits, kcal, weight_kg=WEIGHT_KG, **particulars):
    return for_patient(make_profile(limits, **particulars), make_profile(ALLOWANCES), kcal, weight_kg)


@pytest.mark.parametrize(
    ("kcal_per_mbw", "minimum", "is_raised"),
    [
        (130, 20.8, False),  # FEDIAF annex: 2.0 x 1000 / 130 = 15.4 mg per 1000 kcal, less than the profile's
        (110, 20.8, False),  # 18.2
        (95, 21.05, True),
        (60, 33.33, True),
    ],
)
def test_zinc_at_several_energy_intakes(kcal_per_mbw, minimum, is_raised):
    limits = raised({"zinc": {"unit": "mg", "minimum": 20.8}}, kcal_per_mbw * 8).limits
    assert limits.at["zinc", "minimum"] == pytest.approx(minimum, abs=0.005)
    assert limits.at["zinc", "raised"] == is_raised


def test_a_raised_minimum_names_the_allowance_as_its_source():
    row = raised({"zinc": {"unit": "mg", "minimum": 20.8, "note": "Old."}}, 480).limits.loc["zinc"]
    assert (row["source"], row["certainty"]) == ("NRC 2006", "cross-checked")
    assert row["note"] == "Raised for this dog's weight and energy; the profile says 20.8. Old."


def test_the_allowance_may_stand_in_another_unit():
    """0.45 ug x 8 = 3.6 ug a day in 480 kcal: 7.5 ug or 300 IU per 1000 kcal."""
    limits = raised({"vitamin_d": {"unit": "IU", "minimum": 138}}, 480).limits
    assert limits.at["vitamin_d", "minimum"] == pytest.approx(300)


def test_fat_and_maxima_are_never_raised():
    limits = raised({"fat": {"minimum": 13.75}, "zinc": {"minimum": 20.8, "maximum": 22}}, 480).limits
    assert limits.at["fat", "minimum"] == 13.75
    assert not limits.at["fat", "raised"]
    assert limits.at["zinc", "maximum"] == 22


def test_what_the_profile_does_not_ask_for_is_not_added():
    limits = raised({"vitamin_k": {"maximum": 5}, "iron": {"minimum": 9}}, 480).limits
    assert list(limits.index) == ["vitamin_k", "iron"]
    assert math.isnan(limits.at["vitamin_k", "minimum"])
    assert limits.at["iron", "minimum"] == 9


def test_a_growth_profile_stays_as_it_is():
    limits = raised({"zinc": {"minimum": 25}}, 200, growth=True).limits
    assert limits.at["zinc", "minimum"] == 25


def test_the_given_profile_is_left_alone():
    profile = make_profile({"zinc": {"minimum": 20.8}})
    for_patient(profile, make_profile(ALLOWANCES), 480, WEIGHT_KG)
    assert profile.limits.at["zinc", "minimum"] == 20.8


def test_an_unknown_allowance_raises_nothing():
    allowances = make_profile({"zinc": {"minimum": UNKNOWN}})
    limits = for_patient(make_profile({"zinc": {"minimum": 20.8}}), allowances, 480, WEIGHT_KG).limits
    assert limits.at["zinc", "minimum"] == 20.8


def test_the_judgement_says_what_was_raised():
    made = make_composition([("mix", "other", 100, {"zinc": 12.0, "iron": 9.0})])
    profile = raised({"zinc": {"unit": "mg", "minimum": 20.8}, "iron": {"minimum": 9}}, 480)
    judgement = judge(made.totals, made.completeness, 480, profile)
    assert judgement["raised"].to_dict() == {"zinc": True, "iron": False}
    assert judgement.at["zinc", "minimum_answer"] == "below"  # 25 mg per 1000 kcal, 33.33 asked for


def test_a_raised_protein_minimum_does_not_lower_the_one_of_arginine():
    """6 g x 8 in 480 kcal raise the protein minimum to 100 g; arginine still rises from 45 g on."""
    limits = {"protein": {"minimum": 45.0}, "arginine": {"minimum": 1.3}}
    profile = make_profile(limits, arginine_per_g_protein=0.01)
    allowances = make_profile({"protein": {"minimum": 6.0}})
    made = make_composition([("mix", "other", 100, {"protein": 120.0, "arginine": 5.0})])
    for each in (profile, for_patient(profile, allowances, 480, WEIGHT_KG)):
        judgement = judge(made.totals, made.completeness, 1000, each)
        assert judgement.at["arginine", "minimum"] == pytest.approx(1.3 + 0.75)


@pytest.mark.parametrize("bad", [0, -1, math.nan, math.inf])
def test_bad_energy_and_weight_are_refused(bad):
    with pytest.raises(ValueError, match="energy from the recipe must be a number above 0"):
        raised({"zinc": {"minimum": 1}}, bad)
    with pytest.raises(ValueError, match="weight must be a number above 0"):
        raised({"zinc": {"minimum": 1}}, 480, weight_kg=bad)


@given(
    minimum=st.floats(0.01, 1000),
    kcal=st.floats(50, 5000),
    weight_kg=st.floats(0.5, 120),
    growth=st.booleans(),
)
def test_nothing_is_ever_lowered(minimum, kcal, weight_kg, growth):
    limits = {key: {"minimum": minimum, "maximum": 2000} for key in ALLOWANCES}
    changed = raised(limits, kcal, weight_kg, growth=growth).limits
    assert (changed["minimum"] >= minimum).all()
    assert (changed["maximum"] == 2000).all()
    assert (changed["raised"] == (changed["minimum"] > minimum)).all()
