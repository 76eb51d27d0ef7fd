"""Units: one pint registry, and IU that weigh differently for each vitamin."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nutrients.units import (
    ENERGIES,
    IU_PER_MG_BETA_CAROTENE,
    WEIGHTS,
    convert,
    fahrenheit,
    kg_from,
    kj_from_kcal,
    lb_from_kg,
    oz_from_g,
    ureg,
)

AMOUNTS = st.floats(min_value=0, max_value=1e9)
NO_AMOUNTS = [-1.0, math.nan, math.inf, -math.inf]


@pytest.mark.parametrize(
    ("value", "from_unit", "to_unit", "nutrient", "expected"),
    [
        (1.5, "g", "mg", "calcium", 1500),
        (75, "ug", "mg", "selenium", 0.075),
        (75, "mcg", "ug", "selenium", 75),
        (0.26, "mg", "µg", "iodine", 260),
        (300, "ug", "IU", "vitamin_a", 1000),  # 0.3 ug retinol per IU
        (300, "ug", "IU", "retinol", 1000),
        (379, "RE", "ug", "vitamin_a", 379),  # 1 RE = 1 ug retinol
        (3, "RE", "IU", "vitamin_a", 10),
        (10, "ug", "IU", "vitamin_d", 400),  # 40 IU per ug
        (138, "IU", "ug", "vitamin_d", 3.45),
        (10, "mg", "IU", "vitamin_e", 14.9),  # 1.49 IU per mg alpha-tocopherol
        (2, "mg", "IU", "beta_carotene", 2 * 833),  # FEDIAF, dogs
        (2, "IU/g", "IU/g", "vitamin_e_per_pufa", 2),
        (1.3, "ratio", "ratio", "ca_p_ratio", 1.3),
        (0, "g", "mg", "", 0),
    ],
)
def test_converts(value, from_unit, to_unit, nutrient, expected):
    assert convert(value, from_unit, to_unit, nutrient) == pytest.approx(expected, rel=1e-12)


@given(value=AMOUNTS, pair=st.tuples(st.sampled_from(WEIGHTS), st.sampled_from(WEIGHTS)))
def test_there_and_back_is_the_same_weight(value, pair):
    one, other = pair
    assert convert(convert(value, one, other), other, one) == pytest.approx(value, rel=1e-9)


@given(value=AMOUNTS, nutrient=st.sampled_from(["vitamin_a", "vitamin_d", "vitamin_e", "beta_carotene"]))
def test_there_and_back_is_the_same_activity(value, nutrient):
    assert convert(convert(value, "IU", "mg", nutrient), "mg", "IU", nutrient) == pytest.approx(
        value, rel=1e-9
    )


@pytest.mark.parametrize("nutrient", ["", "vitamin_k", "vitamin_a_usda"])
def test_iu_is_refused_for_what_has_no_iu(nutrient):
    with pytest.raises(ValueError, match="IU has no weight for"):
        convert(10, "IU", "ug", nutrient)


def test_re_is_vitamin_a_only():
    with pytest.raises(ValueError, match="RE has no weight for vitamin_d"):
        convert(10, "RE", "ug", "vitamin_d")


@pytest.mark.parametrize("unit", ["Mg", "tablet", "iu", "", "g/kg"])
def test_an_unknown_spelling_is_refused(unit):
    """pint alone would read `Mg` as a tonne."""
    with pytest.raises(ValueError, match="is not known here"):
        convert(1, unit, "g")


def test_weight_is_not_energy():
    with pytest.raises(ValueError, match="g cannot be turned into kcal"):
        convert(1, "g", "kcal")


@pytest.mark.parametrize("value", NO_AMOUNTS)
@pytest.mark.parametrize("to_unit", ["mg", "g"])
def test_what_is_no_amount_is_refused(value, to_unit):
    with pytest.raises(ValueError, match="must be a number of 0 or more"):
        convert(value, "g", to_unit)


def test_body_weights():
    """The international pound is 0.45359237 kg by definition, the ounce its sixteenth."""
    assert kg_from(10, "lb") == pytest.approx(4.5359237, rel=1e-8)
    assert kg_from(16, "oz") == pytest.approx(kg_from(1, "lb"), rel=1e-9)
    assert kg_from(750, "g") == pytest.approx(0.75)
    assert kg_from(12.5, "kg") == 12.5
    assert lb_from_kg(4.5359237) == pytest.approx(10, rel=1e-8)
    assert oz_from_g(28.349523125) == pytest.approx(1, rel=1e-8)


def test_a_weight_that_was_lost_keeps_its_sign():
    assert lb_from_kg(-0.45359237) == pytest.approx(-1, rel=1e-8)


def test_kilojoules():
    """1 kcal (thermochemical) = 4.184 kJ by definition."""
    assert kj_from_kcal(250) == pytest.approx(1046)


@pytest.mark.parametrize(("celsius", "shown"), [(0, 32), (100, 212), (74, 165), (-18, 0)])
def test_temperatures_in_whole_degrees_fahrenheit(celsius, shown):
    """Freezing and boiling water; USDA FSIS gives 165 °F for 74 °C and 0 °F for -18 °C."""
    assert fahrenheit(celsius) == shown


@pytest.mark.parametrize("value", [0.0, *NO_AMOUNTS])
def test_a_body_weighs_something(value):
    with pytest.raises(ValueError, match="A weight must be a number above 0"):
        kg_from(value, "kg")


@pytest.mark.parametrize("show", [lb_from_kg, oz_from_g, kj_from_kcal])
@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_not_known_is_not_shown_in_other_units(show, value):
    with pytest.raises(ValueError, match="must be a number"):
        show(value)


def test_every_spelling_is_one_the_registry_knows():
    assert all(ureg.Quantity(1, unit).check("[mass]") for unit in WEIGHTS)
    assert all(ureg.Quantity(1, unit).check("[energy]") for unit in ENERGIES)
    assert IU_PER_MG_BETA_CAROTENE == 833
