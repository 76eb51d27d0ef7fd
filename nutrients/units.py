"""Units: the one pint registry, and International Units, which weigh differently for each vitamin.

IU per nutrient: vitamin A 0.3 ug retinol (1 RE = 1 ug retinol), vitamin D 0.025 ug cholecalciferol,
vitamin E 1/1.49 mg natural alpha-tocopherol (USP units, as FEDIAF and AAFCO use them; from memory).
"""

import math

import pint

ureg = pint.UnitRegistry()

UG_RETINOL_PER_IU = 0.3
IU_PER_UG_VITAMIN_D = 40
IU_PER_MG_VITAMIN_E = 1.49
# FEDIAF, vitamin conversion table, dogs: 1 mg beta-carotene = 833 IU vitamin A.
IU_PER_MG_BETA_CAROTENE = 833
MBW_EXPONENT = 0.75  # metabolic body weight, kg^0.75: NRC 2006, chapter 3

UG_PER_IU = {
    "vitamin_a": UG_RETINOL_PER_IU,
    "retinol": UG_RETINOL_PER_IU,
    "beta_carotene": 1000 / IU_PER_MG_BETA_CAROTENE,
    "vitamin_d": 1 / IU_PER_UG_VITAMIN_D,
    "vitamin_e": 1000 / IU_PER_MG_VITAMIN_E,
}
UG_PER_RE = {"vitamin_a": 1.0, "retinol": 1.0}

# pint would read `Mg` as a tonne: only these spellings are taken.
WEIGHTS = ("kg", "g", "mg", "ug", "mcg", "µg", "ng", "lb", "oz")
ENERGIES = ("kcal", "kJ")


def convert(value: float, from_unit: str, to_unit: str, nutrient: str = "") -> float:
    """An amount of a nutrient in another unit.

    `nutrient` is needed for IU and RE only, which mean a weight of their own for each vitamin.
    Raises ValueError for a negative, unknown (NaN) or infinite value, for a unit that is not known and
    for units that cannot be turned into each other.
    """
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"An amount must be a number of 0 or more, not {value}.")
    if from_unit == to_unit:
        return float(value)
    try:
        return value * (_one(from_unit, nutrient) / _one(to_unit, nutrient)).m_as("dimensionless")
    except pint.DimensionalityError:
        raise ValueError(f"{from_unit} cannot be turned into {to_unit}.") from None


def _one(unit: str, nutrient: str) -> pint.Quantity:
    """One `unit` of `nutrient`, IU and RE as the weight they stand for."""
    if unit in WEIGHTS or unit in ENERGIES:
        return ureg.Quantity(1.0, unit)
    biological = {"IU": UG_PER_IU, "RE": UG_PER_RE}
    if unit not in biological:
        raise ValueError(f"The unit {unit!r} is not known here.")
    if nutrient not in biological[unit]:
        raise ValueError(f"{unit} has no weight for {nutrient or 'an unnamed nutrient'}.")
    return ureg.Quantity(biological[unit][nutrient], "ug")


def kg_from(value: float, unit: str) -> float:
    """A body weight in kg from `kg`, `g`, `lb` or `oz`. Raises ValueError unless it is above 0."""
    if not math.isfinite(value) or value <= 0:
        raise ValueError(f"A weight must be a number above 0, not {value}.")
    return convert(value, unit, "kg")


def lb_from_kg(kg: float) -> float:
    """Pounds from kg; a difference of weights may be negative."""
    return _signed(kg, "kg", "lb")


def oz_from_g(grams: float) -> float:
    """Avoirdupois ounces from grams."""
    return _signed(grams, "g", "oz")


LITRES_PER_QUART = ureg.Quantity(1, "quart").m_as("liter")  # the US liquid quart


def quarts_from(litres: float) -> float:
    """US liquid quarts from litres."""
    return litres / LITRES_PER_QUART


ML_PER_CUP = ureg.Quantity(1, "cup").m_as("ml")  # the US cup


def cups_from(ml: float) -> float:
    """US cups from millilitres; a gram of water is one."""
    return ml / ML_PER_CUP


def kj_from_kcal(kcal: float) -> float:
    """kJ from kcal; 1 kcal = 4.184 kJ."""
    return _signed(kcal, "kcal", "kJ")


def fahrenheit(celsius: float) -> int:
    """Whole degrees Fahrenheit; 1 °C = 1.8 °F from 32 °F up."""
    return round(celsius * 9 / 5 + 32)


def _signed(value: float, from_unit: str, to_unit: str) -> float:
    return math.copysign(convert(abs(value), from_unit, to_unit), value)
