"""Candidates for a food, matched and judged; sums are done by hand on a small invented kitchen."""

import pytest

from recipes.differences import NEAR_EQUAL, NOT_EQUAL
from recipes.substitutions import (
    Counterweight,
    Swap,
    candidates,
    counterweight,
    kinship,
    matched,
    moment,
    there_for,
    weighable,
)
from tests.recipes.swapping import RECIPE, portion, setting

POOL = [portion(food) for food in ("game", "fowl", "liver", "shellfish", "oil", "mystery")]


def grams(pool, match, food="meat"):
    return {each.food: each.grams for each in matched(RECIPE, food, pool, setting(), match)}


class TestSwap:
    def test_it_stands_where_the_food_stood(self):
        swapped = Swap("liver", portion("pale liver", 30)).applied(RECIPE)
        assert [(line.food, line.grams) for line in swapped] == [
            ("meat", 250), ("pale liver", 30), ("zinc tablet", 0.5),
        ]  # fmt: skip

    def test_other_amounts_change_along_and_nothing_leaves_a_line_out(self):
        swapped = Swap("zinc tablet", portion("shellfish", 100), {"liver": 0, "meat": 200}).applied(RECIPE)
        assert [(line.food, line.grams) for line in swapped] == [("meat", 200), ("shellfish", 100)]

    def test_a_food_on_two_lines_keeps_their_proportion(self):
        recipe = [portion("meat", 150), portion("meat", 50, when="late"), portion("liver", 20)]
        swapped = Swap("liver", portion("pale liver", 20), {"meat": 100}).applied(recipe)
        assert [line.grams for line in swapped if line.food == "meat"] == [75, 25]

    def test_every_line_of_the_food_is_replaced_by_one(self):
        recipe = [portion("meat", 150), portion("oil", 10), portion("meat", 50, when="late")]
        assert [line.food for line in Swap("meat", portion("game", 300)).applied(recipe)] == ["game", "oil"]


class TestMatching:
    def test_by_energy(self):
        # 250 g meat: 1000 kcal. Game 200 kcal, oil 900 kcal in 100 g.
        assert grams([portion("game"), portion("oil")], "energy") == {"game": 500, "oil": 111}

    def test_by_protein_what_has_none_is_no_candidate(self):
        assert grams([portion("game"), portion("oil")], "protein") == {"game": 500}

    def test_by_weight(self):
        assert grams([portion("game"), portion("mystery")], "weight") == {"game": 250, "mystery": 250}

    def test_what_is_not_known_cannot_be_matched(self):
        assert grams([portion("mystery")], "energy") == {}

    def test_by_a_nutrient(self):
        # Half a gram of tablet: 20 mg zinc. Shellfish holds 20 mg in 100 g, the salt 400 mg. A pot of 270.5 g
        # is no place for more than 15 % of a food that is there for a nutrient.
        pool = [portion("zinc salt"), portion("shellfish")]
        assert grams(pool, "zinc", "zinc tablet") == {"zinc salt": 5}
        bigger = [portion("meat", 1000), *RECIPE[1:]]
        found = {x.food: x.grams for x in matched(bigger, "zinc tablet", pool, setting(), "zinc")}
        assert found == {"zinc salt": 5, "shellfish": 100}

    def test_nothing_to_match_by_is_said(self):
        with pytest.raises(ValueError, match="match by weight"):
            matched(RECIPE, "zinc tablet", POOL, setting(), "energy")


@pytest.mark.parametrize(
    ("grams_", "food", "weighed"),
    [(111.4, "oil", 111), (4.26, "oil", 4.3), (0.01, "oil", 0.1), (5.06, "zinc salt", 5.1)],
)
def test_amounts_can_be_weighed(grams_, food, weighed):
    assert weighable(portion(food), grams_) == weighed


class TestKinship:
    @pytest.mark.parametrize(
        ("one", "other", "place"),
        [
            (portion("meat"), portion("game"), 0),
            (portion("liver"), portion("pale liver"), 0),
            (portion("liver"), portion("liver", retention_group="organ"), 1),
            (portion("meat"), portion("game", state="cooked"), 2),
            (portion("meat"), portion("shellfish"), 3),
            (portion("meat"), portion("oil"), 4),
        ],
    )
    def test_nearer_foods_come_first(self, one, other, place):
        assert kinship(one, other) == place

    def test_the_moment_follows_what_is_put_in(self):
        assert moment(portion("meat", when="late"), portion("game")) == "late"
        assert moment(portion("zinc tablet"), portion("shellfish")) == "in_the_pot"
        assert moment(portion("meat"), portion("zinc tablet")) == "cooled_batch"
        assert moment(portion("zinc tablet", when="in_the_bowl"), portion("zinc salt")) == "in_the_bowl"


class TestCandidates:
    def test_the_nearest_kin_come_first(self):
        found = candidates(RECIPE, "meat", POOL, setting(), "energy")
        assert [each.kin for each in found] == sorted(
            (each.kin for each in found), key=["same kind", "related group", "carries it too"].index
        )
        assert {each.swap.portion.food for each in found} == {"game", "fowl", "liver", "shellfish", "oil"}

    def test_the_least_harm_comes_first_in_the_same_kin(self):
        found = candidates(RECIPE, "meat", POOL, setting(), "energy")
        assert [each.swap.portion.food for each in found][:2] == ["game", "fowl"]  # no copper value in fowl
        assert found[1].found.newly_unconfirmed

    def test_what_is_in_the_recipe_already_is_marked(self):
        found = {
            each.swap.portion.food: each.already
            for each in candidates(RECIPE, "meat", POOL, setting(), "energy")
        }
        assert found["liver"]
        assert not found["game"]

    def test_salt_in_place_of_a_tablet_is_no_equal_swap(self):
        # 5 g of the salt bring 500 mg sodium where 10 mg are the minimum.
        pool = [portion("zinc salt"), portion("zinc tablet", when="in_the_bowl")]
        [found] = candidates(RECIPE, "zinc tablet", pool, setting(), "zinc")
        assert found.found.verdict == NOT_EQUAL
        assert "Sodium meets its minimum now" in found.found.all[0].sentence

    def test_a_like_food_is_near_equal(self):
        recipe = [portion("meat", 250), portion("liver", 20), portion("zinc tablet", 0.5)]
        [found] = candidates(recipe, "meat", [portion("game")], setting(), "energy")
        assert found.found.verdict == NEAR_EQUAL  # half the protein, twice the grams: the same food here


class TestThereFor:
    def test_the_nutrient_that_falls_below_without_it(self):
        assert there_for(RECIPE, "zinc tablet", setting()) == ("zinc",)
        assert there_for(RECIPE, "liver", setting()) == ("copper",)
        assert there_for(RECIPE, "meat", setting()) == ()

    def test_a_supplement_nobody_needs_is_there_for_what_it_brings_most(self):
        recipe = [portion("meat", 100), portion("shellfish", 200), portion("zinc tablet", 0.1)]
        assert there_for(recipe, "zinc tablet", setting()) == ("zinc",)

    def test_the_only_food(self):
        assert there_for([portion("meat", 100)], "meat", setting()) == ()


def test_oysters_for_a_tablet_ask_for_less_liver():
    # 100 g shellfish bring 4 mg copper; 75 g liver hold 7.5 mg: 35 g of it are enough to keep the 7.5 mg.
    recipe = [portion("meat", 1000), portion("liver", 75), portion("zinc tablet", 0.5)]
    found = candidates(recipe, "zinc tablet", [portion("shellfish")], setting(), "zinc")[0]
    assert counterweight(recipe, found, setting(), "zinc") == Counterweight("liver", "Copper", 75, 35)


def test_nothing_rises_no_counterweight():
    found = candidates(RECIPE, "meat", [portion("game")], setting(), "energy")[0]
    assert counterweight(RECIPE, found, setting(), "energy") is None
