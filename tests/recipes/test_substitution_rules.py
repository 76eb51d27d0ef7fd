"""What a substitution may not be: itself, what is there already, and round trips."""

import pytest

from recipes.substitution_rules import going_round, refusals
from recipes.substitutions import Swap
from tests.recipes.swapping import RECIPE, portion


def said(food, replaces="meat", others=(), amounts=None, **particulars):
    swap = Swap(replaces, portion(food, **particulars), amounts or {})
    return [sentence for _, sentence in refusals(swap, RECIPE, others)]


def test_a_food_that_is_not_there_yet_may_stand_in():
    assert said("game") == []
    assert said("game", amounts={"liver": 10}) == []


def test_itself():
    assert said("meat") == ["A food cannot stand in for itself: choose another."]


def test_a_food_that_is_there_at_that_moment():
    [sentence] = said("liver")
    assert sentence.startswith("liver is in this version already (in the pot)")
    assert said("liver", when="late") == []


def test_a_food_that_left_the_version():
    assert said("game", replaces="oil") == ["oil is not in this version: nothing can stand in for it."]


@pytest.mark.parametrize("food", ["meat", "game", "oil"])
def test_an_amount_of_no_other_line(food):
    [sentence] = said("game", amounts={food: 5})
    assert sentence.startswith(f"{food} is no other line")


class TestRoundTrips:
    def test_there_and_back(self):
        assert going_round([("B", "A")], "A", "B").startswith(
            "That goes round in a circle: A is replaced by B, B by A."
        )

    def test_a_ring_of_three(self):
        found = going_round([("B", "C"), ("C", "A")], "A", "B")
        assert "A is replaced by B, B by C, C by A." in found

    def test_a_ring_elsewhere_does_not_hang(self):
        assert "itself replaced by C" in going_round([("B", "C"), ("C", "B")], "A", "B")

    def test_a_chain_either_way(self):
        assert going_round([("B", "C")], "A", "B").startswith("B is itself replaced by C")
        assert going_round([("Z", "A")], "A", "B").startswith("A stands in for Z")

    def test_two_stand_ins_for_one_food_are_no_chain(self):
        assert going_round([("A", "C"), ("D", "B")], "A", "B") == ""
