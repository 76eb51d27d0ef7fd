"""The limits in the tables agree with what the standards publish, by a route of their own."""

import pytest

from nutrients import queries
from nutrients.models import Limit, Profile, Retention

pytestmark = pytest.mark.django_db

# AAFCO profiles on dry matter (% or per kg at 4000 kcal ME/kg): per 1000 kcal it is a quarter.
AAFCO_ADULT_DM = {
    "protein": 180, "fat": 55, "linoleic_acid": 11, "calcium": 5, "phosphorus": 4, "potassium": 6,
    "sodium": 0.8, "chloride": 1.2, "magnesium": 0.6, "iron": 40, "copper": 7.3, "manganese": 5, "zinc": 80,
    "iodine": 1, "vitamin_a": 5000, "vitamin_d": 500, "vitamin_e": 50, "thiamine": 2.25, "riboflavin": 5.2,
    "pantothenic_acid": 12, "niacin": 13.6, "vitamin_b6": 1.5, "folate": 0.216, "vitamin_b12": 0.028,
    "choline": 1360, "lysine": 6.3, "methionine": 3.3, "tryptophan": 1.6, "arginine": 5.1,
}  # fmt: skip


@pytest.mark.parametrize(("key", "dry_matter"), AAFCO_ADULT_DM.items())
def test_aafco_adult_minima_are_a_quarter_of_the_dry_matter_profile(key, dry_matter):
    minimum = Limit.objects.get(profile__key="aafco-adult", nutrient__key=key).minimum
    assert minimum == pytest.approx(dry_matter / 4, rel=0.021)


def test_fediaf_minima_for_95_kcal_are_scaled_from_those_for_110():
    """FEDIAF annex: needs per kg^0.75 are the same, so density rises by 110/95; fat and selenium apart."""
    adult_110 = dict(
        Limit.objects.filter(profile__key="fediaf-adult-110").values_list("nutrient__key", "minimum")
    )
    for limit in Limit.objects.filter(profile__key="fediaf-adult-95"):
        key = limit.nutrient.key
        if key not in ("fat", "selenium", "ca_p_ratio", "magnesium"):
            assert limit.minimum == pytest.approx(adult_110[key] * 110 / 95, rel=0.035), key


def test_nrc_minima_agree_between_kcal_and_metabolic_weight():
    """NRC 2006 assumes 130 kcal per kg^0.75; EPA + DHA, choline and potassium disagree in print."""
    per_mbw = dict(
        Limit.objects.filter(profile__key="nrc-adult-per-mbw").values_list("nutrient__key", "minimum")
    )
    for limit in Limit.objects.filter(profile__key="nrc-adult"):
        if limit.nutrient.key != "epa_dha":
            expected = per_mbw[limit.nutrient.key] / 0.130
            assert limit.minimum == pytest.approx(expected, rel=0.09), limit


def limits(key):
    return queries.profile_limits(Profile.objects.get(key=key)).limits


def test_large_breed_growth_overrides_calcium_only():
    small, large = limits("aafco-growth"), limits("aafco-growth-large")
    assert (small.maximum["calcium"], large.maximum["calcium"]) == (6.25, 4.5)
    assert large.minimum["calcium"] == 3.0
    assert large.drop("calcium")[["minimum", "maximum"]].equals(small.drop("calcium")[["minimum", "maximum"]])
    assert limits("fediaf-growth-large").maximum["ca_p_ratio"] == 1.6
    assert limits("fediaf-growth-late").maximum["ca_p_ratio"] == 1.8
    assert (
        limits("fediaf-growth-large").minimum["calcium"],
        limits("fediaf-growth-late").minimum["calcium"],
    ) == (
        2.5,
        2.0,
    )


def test_the_legal_maxima_are_converted_and_inherited():
    """Per 100 g dry matter at 400 kcal: copper 2.8 mg -> 7 mg, vitamin D 227 IU -> 567.5 IU per 1000 kcal."""
    adult = limits("fediaf-adult-110")
    assert adult.maximum["copper"] == pytest.approx(7.0)
    assert adult.maximum["vitamin_d"] == pytest.approx(567.5)
    assert adult.maximum_kind["vitamin_d"] == "legal"
    assert adult.maximum["vitamin_a"] == 100_000


def test_numbers_from_memory_say_so():
    calcium = Limit.objects.get(profile__key="aafco-adult", nutrient__key="calcium")
    assert (calcium.certainty, calcium.maximum_certainty) == ("verified", "memory")
    slow = Retention.objects.filter(method="slow_cooked_liquid_kept", nutrient__key="thiamine")
    assert set(slow.values_list("certainty", flat=True)) == {"memory"}


def test_selenium_is_judged_by_the_wet_food_value():
    selenium = Limit.objects.filter(profile__key__startswith="fediaf-adult", nutrient__key="selenium")
    assert set(selenium.values_list("profile__key", "minimum")) == {
        ("fediaf-adult-110", 57.5),
        ("fediaf-adult-95", 67.5),
    }
