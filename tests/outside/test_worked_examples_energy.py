"""Daily energy, ideal weight, nutrient density and food energy, as published with numbers."""

import pytest

from nutrients.energy_density import me_atwater
from patients.energy import (
    daily_energy,
    growth_energy,
    growth_energy_by_share,
    ideal_weight,
    maintenance_by_activity,
    most_extras,
    recipe_energy,
    resting_energy,
    target_density,
)
from tests.outside.examples import examples, expected

RULES = {
    "rer": lambda kg, adult_kg, factor: resting_energy(kg),
    "x_rer": lambda kg, adult_kg, factor: daily_energy(kg, factor),
    "per_mbw": lambda kg, adult_kg, factor: maintenance_by_activity(kg, factor),
    "growth": lambda kg, adult_kg, factor: growth_energy(kg, adult_kg),
    "growth_by_share": lambda kg, adult_kg, factor: growth_energy_by_share(kg, adult_kg),
}


def number(cell: str) -> float | None:
    return float(cell) if cell else None


@pytest.mark.parametrize("row", examples("daily_energy"))
def test_daily_energy(row):
    inputs = (number(row[column]) for column in ("weight_kg", "adult_kg", "factor"))
    assert RULES[row["rule"]](*inputs) == expected(row)


@pytest.mark.parametrize("row", examples("ideal_weight"))
def test_ideal_weight(row):
    inputs = (float(row[column]) for column in ("weight_kg", "bcs", "percent_per_point"))
    assert ideal_weight(*inputs) == expected(row)


@pytest.mark.parametrize("row", examples("target_density"))
def test_target_density(row):
    per_1000_kcal = target_density(float(row["requirement"]), float(row["per_day_kcal"]))
    kcal_per_100g = number(row["kcal_per_100g_dm"])
    density = per_1000_kcal if kcal_per_100g is None else per_1000_kcal * kcal_per_100g / 1000
    assert density == expected(row)


def test_food_energy_by_4_9_4():
    # FEDIAF, Annex 1, raw materials: 20 % protein, 10 % fat, 5 % NFE give 190 kcal per 100 g, by hand.
    assert me_atwater(20, 10, 5) == pytest.approx(190)


def test_treats_are_at_most_a_tenth_of_the_day():
    # Clinician's Brief, obesity management calculation sheet: 600 kcal a day, at most 60 kcal of treats.
    assert most_extras(600) == pytest.approx(60)
    assert recipe_energy(600, 60) == pytest.approx(540)
    with pytest.raises(ValueError, match="more than 10 %"):
        recipe_energy(600, 61)
