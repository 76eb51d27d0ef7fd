"""A profile with what it inherits, as the adequacy calculation takes it."""

import pytest

from nutrients import queries
from nutrients.models import Limit, Nutrient, Profile, Standard

pytestmark = pytest.mark.django_db


def make_standard(**particulars) -> Standard:
    return Standard.objects.create(
        **{"name": "Invented", "edition": "first", "source": "invented"} | particulars
    )


def make_profile(key, standard, **particulars) -> Profile:
    return Profile.objects.create(
        **{"key": key, "standard": standard, "life_stage": key, "basis": "per_1000_kcal"} | particulars
    )


def make_limit(profile, key, unit, minimum=None, maximum=None, kind="", **particulars) -> Limit:
    return Limit.objects.create(
        profile=profile,
        nutrient=Nutrient.objects.get(key=key),
        unit=unit,
        minimum=minimum,
        maximum=maximum,
        kind=kind,
        **{"source": "invented", "certainty": "verified"} | particulars,
    )


def test_a_limit_with_its_unit_and_factor():
    profile = make_profile("moon-adult", make_standard(arginine_per_g_protein=0.01), growth=True)
    make_limit(
        profile, "calcium", "g", 1.25, 4.5, "nutritional", note="As printed.", maximum_certainty="memory"
    )
    made = queries.profile_limits(profile)
    assert (made.key, made.name, made.edition) == ("moon-adult", "Invented moon-adult", "first")
    assert (made.life_stage, made.growth, made.arginine_per_g_protein) == ("moon-adult", True, 0.01)
    row = made.limits.loc["calcium"]
    assert (row["minimum"], row["maximum"], row["maximum_kind"]) == (1.25, 4.5, "nutritional")
    assert (row["unit"], row["factor"], row["decimals"]) == ("g", pytest.approx(0.001), 2)
    assert (row["certainty"], row["maximum_certainty"], row["note"]) == ("verified", "memory", "As printed.")
    assert not row["raised"]


@pytest.mark.parametrize(
    ("key", "unit", "factor"),
    [
        ("vitamin_e", "IU", 1.49),  # stored in mg alpha-tocopherol
        ("vitamin_d", "ug", 1 / 40),  # stored in IU
        ("vitamin_a", "RE", 0.3),  # derived in IU
        ("selenium", "mg", 0.001),  # stored in ug
        ("ca_p_ratio", "ratio", 1),
        ("vitamin_e_per_pufa", "IU/g", 1),
    ],
)
def test_factors_of_other_units(key, unit, factor):
    profile = make_profile("moon-adult", make_standard())
    make_limit(profile, key, unit, 1)
    assert queries.profile_limits(profile).limits.at[key, "factor"] == pytest.approx(factor)


def test_rows_stand_in_the_order_of_the_nutrients():
    profile = make_profile("moon-adult", make_standard())
    for key, unit in (("zinc", "mg"), ("protein", "g"), ("calcium", "g")):
        make_limit(profile, key, unit, 1)
    ordered = Nutrient.objects.filter(key__in=["zinc", "protein", "calcium"]).order_by("order")
    assert list(queries.profile_limits(profile).limits.index) == [nutrient.key for nutrient in ordered]


@pytest.fixture
def growth():
    profile = make_profile("moon-growth", make_standard())
    make_limit(profile, "calcium", "g", 3.0, 6.25, "nutritional")
    make_limit(profile, "zinc", "mg", 25)
    return profile


def test_a_child_overrides_what_it_sets_and_inherits_the_rest(growth):
    large = make_profile("moon-growth-large", growth.standard, inherits=growth)
    make_limit(large, "calcium", "g", 2.5, 4.5, "nutritional")
    limits = queries.profile_limits(large).limits
    assert (limits.at["calcium", "minimum"], limits.at["calcium", "maximum"]) == (2.5, 4.5)
    assert limits.at["zinc", "minimum"] == 25
    assert queries.profile_limits(growth).limits.at["calcium", "maximum"] == 6.25


def test_a_child_may_raise_a_maximum_of_the_same_kind(growth):
    large = make_profile("moon-growth-large", growth.standard, inherits=growth)
    make_limit(large, "calcium", "g", 3.0, 7.0, "nutritional")
    assert queries.profile_limits(large).limits.at["calcium", "maximum"] == 7.0


def test_a_child_that_sets_a_maximum_only_keeps_the_inherited_minimum(growth):
    large = make_profile("moon-growth-large", growth.standard, inherits=growth)
    make_limit(large, "calcium", "g", None, 4.5, "nutritional")
    assert queries.profile_limits(large).limits.at["calcium", "minimum"] == 3.0


def test_the_lowest_maximum_stands_under_its_own_name_and_in_the_unit_of_the_minimum(growth):
    legal = {"source": "a law", "certainty": "memory", "maximum_certainty": "cross-checked"}
    make_limit(growth, "calcium", "mg", None, 5000, "legal", **legal)
    make_limit(growth, "calcium", "g", None, 5.5, "safe upper")
    row = queries.profile_limits(growth).limits.loc["calcium"]
    assert (row["minimum"], row["maximum"], row["maximum_kind"]) == (3.0, 5.0, "legal")
    assert (row["certainty"], row["maximum_certainty"]) == ("verified", "cross-checked")
    assert row["source"] == "invented; a law"


def test_a_profile_that_inherits_from_itself_is_refused(growth):
    growth.inherits = growth
    growth.save()
    with pytest.raises(ValueError, match="Invented moon-growth inherits from itself"):
        queries.profile_limits(growth)


def test_every_profile_of_the_reference_data_can_be_judged_with():
    profiles = Profile.objects.all()
    assert profiles
    for profile in profiles:
        limits = queries.profile_limits(profile).limits
        assert (limits["factor"] > 0).all()
        assert (limits["minimum"].notna() | limits["maximum"].notna()).all()
        assert not (limits["minimum"] > limits["maximum"]).any()
