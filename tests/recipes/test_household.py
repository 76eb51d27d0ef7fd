"""Weights in measures an owner can count. Grams of one: USDA, Release 28."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.household import eggs, household, nearest


class TestHousehold:
    CUP, SPOON, EGG = ("cup, cooked", 160), ("tablespoon", 10), ("large", 50)

    @pytest.mark.parametrize(
        ("grams", "words"),
        [
            (240, "1½ cups, cooked"),
            (40, "¼ cup, cooked"),
            (120, "¾ cup, cooked"),
            (1280, "8 cups, cooked"),
            (165, "1 cup, cooked"),
            (20, "2 tablespoons"),
            (2.5, "¼ tablespoon"),
            (5000, ""),
            (0.5, ""),
        ],
    )
    def test_the_largest_measure_that_comes_near(self, grams, words):
        assert household(grams, [self.SPOON, self.CUP]) == words

    def test_a_measure_that_would_mislead_is_left_out(self):
        # 100 g is 0.625 cups: half a cup is 20 % short, three quarters 20 % over
        assert household(100, [self.CUP]) == ""
        assert household(100, [self.CUP, self.EGG]) == "2 large"

    @pytest.mark.parametrize(
        "label", ["oz", "lb", "oz, boneless", "NLEA serving", "unit (yield from 1 lb ready-to-cook chicken)"]
    )
    def test_weights_and_servings_are_no_household_measures(self, label):
        assert household(100, [(label, 50)]) == ""
        assert household(100, [("can (15 oz)", 50)]) == "2 cans (15 oz)"

    def test_a_count_inside_a_measure_is_never_printed_as_the_count_to_take(self):
        # USDA's whole raw egg: 1 cup (4.86 large eggs) 243 g, 1 large 50 g; 390 g are 7.8 large eggs
        assert household(390, [("cup (4.86 large eggs)", 243), ("large", 50)]) == "7¾ large"

    def test_eggs_are_told_in_the_size_that_kitchens_have(self):
        # USDA's whole raw egg: jumbo 63 g, extra large 56 g, large 50 g; 220 g are 4.4 large eggs
        assert household(220, [("extra large", 56), ("jumbo", 63), ("large", 50)]) == "4½ large"

    def test_without_measures(self):
        assert household(100, []) == ""

    @given(st.floats(min_value=160, max_value=1280))
    def test_from_one_to_eight_there_is_always_an_answer(self, grams):
        assert household(grams, [self.CUP])

    def test_how_far_a_measure_is_off_is_told(self):
        found = nearest(250, [self.CUP])  # 1½ cups are 240 g: 4 % less
        assert (found.text, found.grams) == ("1½ cups, cooked", 240)
        assert found.off_percent == pytest.approx(-4)

    def test_who_has_no_scale_counts_further(self):
        assert nearest(1600, [self.CUP]) is None
        assert nearest(1600, [self.CUP], most=40).text == "10 cups, cooked"


class TestEggs:
    WHOLE_RAW = (("cup (4.86 large eggs)", 243), ("large", 50), ("small", 38))

    @pytest.mark.parametrize(
        ("grams", "count", "to_break", "all_used"),
        [
            (75, 1.5, 2, False),
            (100, 2, 2, True),
            (10, 0.25, 1, False),
            (5, 0.25, 1, False),
            (140, 2.75, 3, False),
        ],
    )
    def test_both_ways(self, grams, count, to_break, all_used):
        found = eggs(grams, self.WHOLE_RAW)
        assert (found.grams, found.count, found.to_break, found.all_used) == (
            grams,
            count,
            to_break,
            all_used,
        )

    def test_what_is_not_counted_in_eggs_has_none(self):
        assert eggs(75, [("cup", 243)]) is None
