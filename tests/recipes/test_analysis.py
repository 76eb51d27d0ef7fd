"""What cooking leaves of a recipe, worked out by hand beside the published factors."""

import math

import numpy as np
import pandas as pd
import pytest

from nutrients.adequacy import ProfileLimits
from recipes.analysis import (
    Portion,
    analyse,
    composition,
    contributions_to,
    cooked_weight,
    no_factor_published,
    retention_method,
)

STEWED = "simmered_liquid_kept"
NUTRIENTS = ["thiamine", "calcium", "folate", "protein", "fat", "nfe", "epa", "dha", "polyunsaturated_fat"]

# Fractions left: USDA Table of Nutrient Retention Factors, Release 6 (codes 0856, 0601, 3005).
# The fat drained off and the re-heating factor are invented.
FACTORS = {
    ("chicken", STEWED): {"thiamine": 0.75},
    ("chicken", "reheated"): {"thiamine": 0.9},
    ("beef", "baked"): {"thiamine": 0.55, "fat": 0.8},
    ("greens", "boiled_drained"): {"folate": 0.60},
}


def make_retention(factors=FACTORS):
    index = pd.MultiIndex.from_tuples(factors, names=["food_group", "method"])
    return pd.DataFrame(
        list(factors.values()), index=index, columns=["thiamine", "folate", "fat"], dtype=float
    )


def make_table(**foods):
    return pd.DataFrame.from_dict(foods, orient="index", columns=NUTRIENTS, dtype=float)


def chicken(grams=100.0, **particulars):
    defaults = {"when": "in_the_pot", "group": "poultry", "retention_group": "chicken", "state": "raw"}
    return Portion(food="chicken", grams=grams, **(defaults | particulars))


def left(ingredients, method, nutrient, amount=0.10):
    names = {portion.food for portion in ingredients}
    table = pd.DataFrame({nutrient: amount}, index=sorted(names), dtype=float)
    return composition(ingredients, table, make_retention(), method).totals[nutrient]


class TestRetention:
    """0.10 mg thiamine in the raw portion, USDA Release 6."""

    def test_stewed_chicken_with_its_broth(self):
        assert left([chicken()], STEWED, "thiamine") == pytest.approx(0.075)  # code 0856: 75 %

    def test_roasted_beef(self):
        beef = chicken(retention_group="beef")
        assert left([beef], "baked", "thiamine") == pytest.approx(0.055)  # code 0601: 55 %

    def test_boiled_and_drained_greens(self):
        greens = chicken(retention_group="greens")
        assert left([greens], "boiled_drained", "folate", 100) == pytest.approx(60)  # code 3005: 60 %

    def test_grams_count(self):
        assert left([chicken(250), chicken(50, when="late")], STEWED, "thiamine") == pytest.approx(0.225)

    @pytest.mark.parametrize("when", ["off_the_heat", "cooled_batch", "in_the_bowl"])
    def test_what_goes_in_off_the_heat_loses_nothing(self, when):
        assert left([chicken(when=when)], STEWED, "thiamine") == pytest.approx(0.10)

    @pytest.mark.parametrize("state", ["raw", "dried", "as sold"])
    def test_what_meets_the_heat_uncooked_gets_the_factor_of_the_method(self, state):
        assert left([chicken(state=state, when="late")], STEWED, "thiamine") == pytest.approx(0.075)

    @pytest.mark.parametrize("state", ["cooked", "canned"])
    def test_what_is_entered_cooked_is_only_heated_again(self, state):
        assert left([chicken(state=state)], STEWED, "thiamine") == pytest.approx(0.09)

    def test_supplements_lose_nothing(self):
        assert left([chicken(is_supplement=True)], STEWED, "thiamine") == pytest.approx(0.10)

    def test_a_batch_that_is_not_heated(self):
        assert left([chicken(state="cooked")], "not_heated", "thiamine") == pytest.approx(0.10)

    @pytest.mark.parametrize("group", ["", "beef"])
    def test_without_a_published_factor_nothing_is_lost(self, group):
        assert left([chicken(retention_group=group)], STEWED, "thiamine") == pytest.approx(0.10)

    def test_the_column_of_the_table(self):
        assert retention_method(chicken(state="canned"), "baked") == "reheated"
        assert retention_method(chicken(), "baked") == "baked"
        assert retention_method(chicken(when="in_the_bowl"), "baked") == "not_heated"


class TestFatThatIsDrainedOff:
    TABLE = make_table(chicken=[0.1, 10, 5, 20, 10, 0, 0.3, 0.2, 2.0])

    def test_it_takes_its_fatty_acids_along(self):
        beef = chicken(retention_group="beef")
        held = composition([beef], self.TABLE, make_retention(), "baked").totals
        assert held["fat"] == pytest.approx(8)
        assert held[["epa", "dha", "polyunsaturated_fat"]].tolist() == pytest.approx([0.24, 0.16, 1.6])
        assert held["epa_dha"] == pytest.approx(0.4)
        assert held["protein"] == pytest.approx(20)

    def test_it_leaves_the_energy(self):
        beef = chicken(retention_group="beef")
        made = make_analysis([beef], self.TABLE, "baked")
        assert made.energy.kcal == pytest.approx(4 * 20 + 9 * 8)

    def test_a_fatty_acid_with_a_factor_of_its_own_keeps_it(self):
        retention = make_retention().assign(epa=[math.nan, math.nan, 0.5, math.nan])
        beef = chicken(retention_group="beef")
        held = composition([beef], self.TABLE, retention, "baked").totals
        assert held[["epa", "dha"]].tolist() == pytest.approx([0.15, 0.16])


class TestUnknown:
    TABLE = make_table(chicken=[0.1, math.nan, 5, 20, 10, 0, 0, 0, 1], rice=[0.1, 10, 5, 7, 1, 80, 0, 0, 0])

    def portions(self):
        rice = Portion("rice", 100, "in_the_pot", "grain", "", "dried")
        return [chicken(300), rice]

    def test_unknown_is_carried_and_named(self):
        made = composition(self.portions(), self.TABLE, make_retention(), STEWED)
        assert made.totals["calcium"] == pytest.approx(10)
        assert made.completeness.at["calcium", "missing"] == ("chicken",)
        assert made.completeness.at["calcium", "share"] == pytest.approx(0.25)

    def test_a_group_that_cannot_carry_it_does_not_matter(self):
        negligible = frozenset({("calcium", "poultry")})
        made = composition(self.portions(), self.TABLE, make_retention(), STEWED, negligible)
        assert made.completeness.at["calcium", "missing"] == ("chicken",)
        assert made.completeness.at["calcium", "missing_that_matter"] == ()

    def test_a_food_without_any_row_is_unknown_not_empty(self):
        made = composition([chicken()], self.TABLE.drop("chicken"), make_retention(), STEWED)
        assert np.isnan(made.totals["protein"])
        assert made.completeness.at["protein", "missing"] == ("chicken",)

    def test_contributions_name_what_is_unknown_last(self):
        made = composition(self.portions(), self.TABLE, make_retention(), STEWED)
        rice, unknown = contributions_to(made, "calcium")
        assert (rice.food, rice.amount, rice.share, rice.is_complete) == ("rice", 10, 1, True)
        assert (unknown.food, unknown.amount, unknown.share, unknown.is_complete) == (
            "chicken", None, None, False,
        )  # fmt: skip


class TestContributions:
    TABLE = make_table(chicken=[0, 10, 0, 20, 5, 0, 0.3, math.nan, 1], fish=[0, 30, 0, 20, 5, 0, 0.5, 0.7, 1])

    def made(self):
        fish = Portion("fish", 100, "in_the_bowl", "fish", "", "raw")
        return composition([chicken(100), fish], self.TABLE, make_retention(), STEWED)

    def test_largest_first(self):
        assert [(x.food, x.share) for x in contributions_to(self.made(), "calcium")] == [
            ("fish", pytest.approx(0.75)),
            ("chicken", pytest.approx(0.25)),
        ]

    def test_a_derived_sum_and_its_unknown_part(self):
        fish, poultry = contributions_to(self.made(), "epa_dha")
        assert (fish.food, fish.amount, fish.is_complete) == ("fish", pytest.approx(1.2), True)
        assert (poultry.food, poultry.amount, poultry.is_complete) == ("chicken", pytest.approx(0.3), False)

    def test_a_nutrient_that_nothing_brings(self):
        assert [x.share for x in contributions_to(self.made(), "folate")] == [0, 0]

    def test_a_ratio_has_none(self):
        with pytest.raises(ValueError, match="A ratio has no contributions"):
            contributions_to(self.made(), "ca_p_ratio")


class TestCookedWeight:
    YIELDS = {("pot", STEWED): 90, ("chicken", "baked"): 70}

    def test_as_weighed(self):
        assert cooked_weight([chicken(1000)], STEWED, self.YIELDS, 500, cooked_weight_g=1234) == (1234, False)

    def test_with_the_liquid_kept(self):
        # (1000 + 500) x 90 % + 20 stirred in; what goes in the bowl is not in the pot
        later = [chicken(20, when="cooled_batch"), chicken(99, when="in_the_bowl")]
        assert cooked_weight([chicken(1000), *later], STEWED, self.YIELDS, 500) == (1370, True)

    def test_otherwise_food_by_food(self):
        # 1000 x 70 % + 200 entered cooked + 100 with no known yield + a supplement of 10; no water stays
        others = [
            chicken(200, state="cooked"),
            chicken(100, retention_group="greens"),
            chicken(10, is_supplement=True),
        ]
        assert cooked_weight([chicken(1000), *others], "baked", self.YIELDS, 500) == (1010, True)

    def test_without_any_yield(self):
        assert cooked_weight([chicken(1000)], STEWED, {}, 500) == (1500, True)


def make_profile(**limits):
    """limits: nutrient -> (minimum, maximum)."""
    rows = {
        key: {
            "name": key.title(), "group": "", "unit": "mg", "factor": 1.0, "minimum": low, "maximum": high,
            "maximum_kind": "nutritional", "source": "invented", "certainty": "memory",
            "maximum_certainty": "memory", "note": "", "order": order, "decimals": 1, "raised": False,
            "changed": False,
        }
        for order, (key, (low, high)) in enumerate(limits.items())
    }  # fmt: skip
    return ProfileLimits("p", "P", "1", "adult", False, pd.DataFrame.from_dict(rows, orient="index"), 0.0)


PROFILE = make_profile(thiamine=(0.9, math.nan), calcium=(10, 1000), epa_dha=(1, math.nan))


def make_analysis(ingredients, table, method, **more):
    return analyse(ingredients, table, make_retention(), method, PROFILE, frozenset(), {}, **more)


class TestAnalyse:
    TABLE = make_table(chicken=[0.25, 10, 5, 16, 4, 0, 0.3, 0.2, 1])

    def test_judged_on_what_cooking_leaves(self):
        # 100 kcal in 100 g: 4 x 16 + 9 x 4. Thiamine 0.25 x 0.75 x 10 = 1.875 mg per 1000 kcal
        made = make_analysis([chicken(100)], self.TABLE, STEWED)
        assert made.energy.kcal == pytest.approx(100)
        assert made.judgement.at["thiamine", "amount"] == pytest.approx(1.875)
        assert made.judgement["minimum_answer"].tolist() == ["meets", "meets", "meets"]

    def test_weights(self):
        portions = [chicken(300), chicken(50, when="in_the_bowl")]
        made = make_analysis(portions, self.TABLE, STEWED, added_water_g=100)
        assert (made.raw_g, made.cooked_g, made.cooked_is_estimate) == (350, 400, True)
        assert (made.bowl_g, made.fed_g) == (50, 450)
        assert make_analysis(portions, self.TABLE, STEWED, cooked_weight_g=333).cooked_g == 333

    def test_a_recipe_without_energy_is_refused(self):
        with pytest.raises(ValueError, match="energy must be above 0"):
            make_analysis([chicken()], self.TABLE * 0, STEWED)

    def test_an_empty_recipe_is_refused(self):
        with pytest.raises(ValueError, match="energy must be above 0"):
            make_analysis([], self.TABLE, STEWED)


class TestNoFactorPublished:
    JUDGEMENT = pd.DataFrame(
        {"name": ["Thiamine", "Calcium", "EPA + DHA"]}, index=["thiamine", "calcium", "epa_dha"]
    )

    def test_names_what_cooking_is_not_known_to_take(self):
        assert no_factor_published(self.JUDGEMENT, make_retention(), STEWED) == ("Calcium", "EPA + DHA")

    def test_a_factor_for_fat_speaks_for_the_fatty_acids(self):
        assert no_factor_published(self.JUDGEMENT, make_retention(), "baked") == ("Calcium",)

    def test_nothing_is_heated(self):
        assert no_factor_published(self.JUDGEMENT, make_retention(), "not_heated") == ()

    def test_a_method_without_a_single_factor(self):
        names = no_factor_published(self.JUDGEMENT, make_retention(), "poached")
        assert names == ("Thiamine", "Calcium", "EPA + DHA")
