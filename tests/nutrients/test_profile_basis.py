"""Limits on another basis: what the standards print, there and back again, and bad energies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.profile_basis import (
    PER_DM,
    PER_MBW,
    StatedEnergy,
    amount_on_basis,
    decimals_of,
    on_basis,
    unit_on_basis,
)
from tests.nutrients.makers import UNKNOWN, make_profile

PER_1000_KCAL = "per_1000_kcal"

# AAFCO Dog Food Nutrient Profiles (2014 revision), dry matter at 4000 kcal ME/kg beside the same profile per
# 1000 kcal: nutrient, unit on dry matter, growth & reproduction DM, per 1000 kcal in the unit beside it.
AAFCO_GROWTH = [
    ("protein", "% DM", 22.5, 56.25, "g"),  # printed rounded as 56.3
    ("fat", "% DM", 8.5, 21.25, "g"),  # printed rounded as 21.3
    ("calcium", "% DM", 1.2, 3.0, "g"),
    ("phosphorus", "% DM", 1.0, 2.5, "g"),
    ("iron", "mg/kg DM", 88, 22, "mg"),
    ("zinc", "mg/kg DM", 100, 25, "mg"),
    ("vitamin_a", "IU/kg DM", 5000, 1250, "IU"),
    ("vitamin_d", "IU/kg DM", 500, 125, "IU"),
    ("vitamin_e", "IU/kg DM", 50, 12.5, "IU"),
]
AAFCO_STATED = StatedEnergy(per_kg_dm=4000)


@pytest.mark.parametrize(("key", "dm_unit", "dry_matter", "per_1000_kcal", "unit"), AAFCO_GROWTH)
def test_aafco_dry_matter_and_per_1000_kcal(key, dm_unit, dry_matter, per_1000_kcal, unit):
    shown = amount_on_basis(per_1000_kcal, unit, key, PER_1000_KCAL, PER_DM, AAFCO_STATED)
    assert (shown, unit_on_basis(unit, key, PER_DM)) == (pytest.approx(dry_matter), dm_unit)
    back = amount_on_basis(dry_matter, dm_unit, key, PER_DM, PER_1000_KCAL, AAFCO_STATED)
    assert (back, unit_on_basis(dm_unit, key, PER_1000_KCAL)) == (pytest.approx(per_1000_kcal), unit)


@pytest.mark.parametrize(
    ("nutrient", "per_100_g_dm", "unit", "per_1000_kcal"),
    [
        # EU legal maxima, FEDIAF Guidelines, per 100 g DM at 400 kcal per 100 g (from memory)
        ("copper", 2.8, "mg", 7.0),
        ("zinc", 22.7, "mg", 56.75),
        ("vitamin_d", 227, "IU", 567.5),
    ],
)
def test_fediaf_prints_dry_matter_per_100_g(nutrient, per_100_g_dm, unit, per_1000_kcal):
    per_kg = amount_on_basis(
        per_1000_kcal, unit, nutrient, PER_1000_KCAL, PER_DM, StatedEnergy(per_kg_dm=4000)
    )
    assert per_kg == pytest.approx(per_100_g_dm * 10)


@pytest.mark.parametrize(
    ("kcal_per_mbw", "mg", "tolerance"), [(130, 15.38, 0.01), (110, 18.18, 0.01), (95, 21.05, 0.01)]
)
def test_fediaf_annex_scales_a_need_per_metabolic_weight(kcal_per_mbw, mg, tolerance):
    """FEDIAF Guidelines, Annex 1: units per 1000 kcal = requirement x 1000 / daily energy; zinc 2.0 mg."""
    density = amount_on_basis(2.0, "mg", "zinc", PER_MBW, PER_1000_KCAL, StatedEnergy(per_mbw=kcal_per_mbw))
    assert density == pytest.approx(mg, abs=tolerance)


def test_an_energy_rich_food_needs_more_in_its_dry_matter():
    # 45 g per 1000 kcal in a food of 5000 kcal per kg DM: 45 x 5 = 225 g per kg, which is 22.5 %
    at_5000 = amount_on_basis(45, "g", "protein", PER_1000_KCAL, PER_DM, StatedEnergy(per_kg_dm=5000))
    assert at_5000 == pytest.approx(22.5)


@pytest.mark.parametrize("key", ["ca_p_ratio", "n6_n3_ratio", "vitamin_e_per_pufa"])
@pytest.mark.parametrize("basis", [PER_1000_KCAL, PER_DM, PER_MBW])
def test_ratios_are_the_same_on_every_basis(key, basis):
    unit = "IU/g" if key == "vitamin_e_per_pufa" else "ratio"
    stated = StatedEnergy(per_kg_dm=5200, per_mbw=95)
    assert amount_on_basis(1.3, unit, key, PER_1000_KCAL, basis, stated) == 1.3
    assert unit_on_basis(unit, key, basis) == unit


ENERGIES = st.builds(StatedEnergy, per_kg_dm=st.floats(1000, 9000), per_mbw=st.floats(40, 1240))
AMOUNTS = st.one_of(st.just(UNKNOWN), st.floats(0, 1e6))
LIMITS = st.fixed_dictionaries(
    {
        "protein": st.fixed_dictionaries({"unit": st.just("g"), "minimum": AMOUNTS, "maximum": AMOUNTS}),
        "zinc": st.fixed_dictionaries({"unit": st.just("mg"), "minimum": AMOUNTS, "maximum": AMOUNTS}),
        "selenium": st.fixed_dictionaries({"unit": st.just("ug"), "minimum": AMOUNTS, "maximum": AMOUNTS}),
        "vitamin_d": st.fixed_dictionaries({"unit": st.just("IU"), "minimum": AMOUNTS, "maximum": AMOUNTS}),
        "ca_p_ratio": st.fixed_dictionaries(
            {"unit": st.just("ratio"), "minimum": AMOUNTS, "maximum": AMOUNTS}
        ),
    }
)
BASES = st.sampled_from([PER_1000_KCAL, PER_DM, PER_MBW])


@given(limits=LIMITS, stated=ENERGIES, start=BASES, there=BASES)
def test_there_and_back_is_the_same_profile(limits, stated, start, there):
    profile = on_basis(make_profile(limits), start, stated)
    back = on_basis(on_basis(profile, there, stated), start, stated)
    assert back.basis == start
    assert list(back.limits["unit"]) == list(profile.limits["unit"])
    for side in ("minimum", "maximum"):
        for before, after in zip(profile.limits[side], back.limits[side], strict=True):
            assert after == pytest.approx(before, rel=1e-12, nan_ok=True)
    unmoved = ["name", "factor", "maximum_kind", "source", "certainty", "raised", "changed"]
    assert back.limits[unmoved].equals(profile.limits[unmoved])


@given(limits=LIMITS, stated=ENERGIES)
def test_over_another_basis_is_as_good_as_straight(limits, stated):
    profile = make_profile(limits)
    straight = on_basis(profile, PER_MBW, stated).limits["minimum"]
    around = on_basis(on_basis(profile, PER_DM, stated), PER_MBW, stated).limits["minimum"]
    for one, other in zip(straight, around, strict=True):
        assert other == pytest.approx(one, rel=1e-12, nan_ok=True)


def test_a_missing_limit_stays_missing():
    limits = on_basis(make_profile({"zinc": {"unit": "mg", "minimum": 20.0}}), PER_DM, AAFCO_STATED).limits
    assert limits.at["zinc", "minimum"] == 80
    assert math.isnan(limits.at["zinc", "maximum"])


def test_decimals_follow_the_amount_that_is_shown():
    profile = make_profile({"zinc": {"unit": "mg", "minimum": 20.0}})
    assert on_basis(profile, PER_DM, AAFCO_STATED).limits.at["zinc", "decimals"] == 1  # 80.0
    assert on_basis(profile, PER_MBW, StatedEnergy(per_mbw=110)).limits.at["zinc", "decimals"] == 2  # 2.20


@pytest.mark.parametrize(
    ("limit", "decimals"), [(1250, 0), (100, 0), (45, 1), (1.25, 2), (0.075, 4), (0.0001, 4), (0, 1)]
)
def test_as_many_decimals_as_three_digits_need(limit, decimals):
    assert decimals_of(limit) == decimals


@pytest.mark.parametrize("density", [0, -4000, 999, 9001, math.nan, math.inf, 1e308])
def test_a_density_that_no_food_has_is_refused(density):
    with pytest.raises(ValueError, match="energy density of .* cannot be right: enter 1000 to 9000"):
        StatedEnergy(per_kg_dm=density)


@pytest.mark.parametrize("energy", [0, -110, 39, 1241, math.nan, math.inf])
def test_an_energy_that_no_dog_eats_is_refused(energy):
    with pytest.raises(ValueError, match="daily energy of .* cannot be right: enter 40 to 1240"):
        StatedEnergy(per_mbw=energy)


def test_a_basis_that_is_none_is_refused():
    with pytest.raises(ValueError, match="'per cup' is no basis"):
        on_basis(make_profile({"zinc": {"unit": "mg", "minimum": 20.0}}), "per cup", AAFCO_STATED)
