"""Conversions of units against published factors.

NIST Special Publication 811 (2008), Appendix B: exact factors of pound, ounce, cup, teaspoon and calorie.
International Units: USP conventions, from memory.
"""

import pytest

from nutrients.units import convert, kg_from, kj_from_kcal, lb_from_kg, oz_from_g, ureg

KG_PER_LB = 0.45359237
G_PER_OZ = 28.349523125
KJ_PER_KCAL = 4.184
ML_PER_US_CUP = 236.5882365
ML_PER_US_TEASPOON = 4.92892159375


def test_pounds():
    assert kg_from(1, "lb") == pytest.approx(KG_PER_LB, rel=1e-12)
    assert kg_from(45, "lb") == pytest.approx(20.41165665, rel=1e-12)
    assert lb_from_kg(KG_PER_LB) == pytest.approx(1, rel=1e-12)


def test_ounces():
    assert convert(1, "oz", "g") == pytest.approx(G_PER_OZ, rel=1e-12)
    assert oz_from_g(453.59237) == pytest.approx(16, rel=1e-12)


def test_kilojoules():
    assert kj_from_kcal(1) == pytest.approx(KJ_PER_KCAL, rel=1e-12)
    assert convert(KJ_PER_KCAL, "kJ", "kcal") == pytest.approx(1, rel=1e-12)


def test_the_registry_measures_with_us_cups_and_teaspoons():
    assert ureg.Quantity(1, "cup").m_as("ml") == pytest.approx(ML_PER_US_CUP, rel=1e-9)
    assert ureg.Quantity(1, "teaspoon").m_as("ml") == pytest.approx(ML_PER_US_TEASPOON, rel=1e-9)


@pytest.mark.parametrize(
    ("amount", "unit", "to", "nutrient", "converted"),
    [
        # 1 IU = 0.3 ug retinol; 1 retinol equivalent = 1 ug retinol.
        (1000, "IU", "ug", "vitamin_a", 300),
        (300, "ug", "IU", "retinol", 1000),
        (300, "RE", "IU", "vitamin_a", 1000),
        # 1 IU = 0.025 ug cholecalciferol: 10 ug are 400 IU.
        (10, "ug", "IU", "vitamin_d", 400),
        # 1 IU = 0.67 mg natural alpha-tocopherol, that is 1.49 IU per mg.
        (1, "mg", "IU", "vitamin_e", 1.49),
        (100, "IU", "mg", "vitamin_e", 67.11),
    ],
)
def test_international_units(amount, unit, to, nutrient, converted):
    assert convert(amount, unit, to, nutrient) == pytest.approx(converted, rel=1e-4)


def test_a_weight_of_one_vitamin_is_not_taken_for_another():
    assert convert(1, "ug", "IU", "vitamin_d") != convert(1, "ug", "IU", "vitamin_a")
    with pytest.raises(ValueError, match="no weight"):
        convert(1, "IU", "ug", "calcium")
