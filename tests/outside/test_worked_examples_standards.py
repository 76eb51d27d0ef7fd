"""The loaded standards against published figures: AAFCO on both bases, FEDIAF's arginine, NRC's days."""

import pandas as pd
import pytest

from nutrients.adequacy import for_patient, judge
from nutrients.composition import total
from nutrients.models import Profile
from nutrients.queries import profile_limits
from nutrients.units import convert, kg_from
from patients.energy import metabolic_weight
from tests.outside.examples import examples, expected, rows

pytestmark = pytest.mark.django_db

KCAL_PER_100G_DM = 400  # FEDIAF and AAFCO print their tables for a food of 4 kcal per gram dry matter
FEDIAF_STAGES = {
    "adult": "fediaf-adult-110",
    "growth": "fediaf-growth-late",
    "early growth and reproduction": "fediaf-growth-early",
}
AAFCO_STAGES = {"adult": "aafco-adult", "growth": "aafco-growth"}


def limits_of(key: str):
    return profile_limits(Profile.objects.get(key=key))


def in_unit_of(row: dict, limits: pd.DataFrame, column: str) -> float:
    """A limit in the unit in which the example is printed."""
    limit = limits.loc[row["nutrient"]]
    return convert(limit[column], limit["unit"], row["unit"].split("/")[0], row["nutrient"])


@pytest.mark.parametrize("row", examples("aafco_both_bases"))
def test_aafco_limit_per_1000_kcal(row):
    limits = limits_of(AAFCO_STAGES[row["life_stage"]]).limits
    assert in_unit_of(row, limits, row["limit"]) == expected(row)


def arginine_minimum(row: dict) -> float:
    """The minimum that is judged by, in g per 100 g dry matter, for a food with this much protein."""
    food = pd.DataFrame({"protein": [float(row["protein_percent_dm"])]}, index=["100 g dry matter"])
    made_of = total(food, ["muscle meat"], [100], frozenset())
    profile = limits_of(FEDIAF_STAGES[row["life_stage"]])
    line = judge(made_of.totals, made_of.completeness, KCAL_PER_100G_DM, profile).loc["arginine"]
    return convert(line["minimum"], line["unit"], "g") * KCAL_PER_100G_DM / 1000


@pytest.mark.parametrize("row", examples("arginine_by_protein"))
def test_arginine_minimum_rises_with_protein(row):
    assert arginine_minimum(row) == expected(row)


@pytest.mark.parametrize("row", rows("arginine_by_protein"), ids=lambda row: row["id"])
def test_arginine_minimum_is_never_below_the_published(row):
    assert arginine_minimum(row) >= float(row["expected"]) - float(row["tolerance"])


@pytest.mark.parametrize("row", examples("nrc_daily_allowances"))
def test_nrc_daily_allowance(row):
    weight_kg = kg_from(float(row["weight_lb"]), "lb")
    allowances = limits_of("nrc-adult-per-mbw").limits
    assert in_unit_of(row, allowances, "minimum") * metabolic_weight(weight_kg) == expected(row)


@pytest.mark.parametrize("row", examples("nrc_daily_allowances"))
def test_the_daily_allowance_is_kept_on_half_the_usual_energy(row):
    """On 500 kcal a day a 45 lb dog needs the printed daily amount in every 500 kcal of its recipe."""
    kcal = 500
    adult = limits_of("aafco-adult")
    weight_kg = kg_from(float(row["weight_lb"]), "lb")
    raised = for_patient(adult, limits_of("nrc-adult-per-mbw"), kcal, weight_kg).limits
    if row["nutrient"] == "fat":
        assert raised.at["fat", "minimum"] == adult.limits.at["fat", "minimum"]
    else:
        assert in_unit_of(row, raised, "minimum") * kcal / 1000 == expected(row)
