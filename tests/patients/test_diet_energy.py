"""The energy of what a dog eats. Units: NIST SP 811, appendix B. Labels and amounts are invented."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.diet_energy import Amount, from_analysis, from_food, from_label


class TestLabel:
    @pytest.mark.parametrize(
        ("amount", "kcal", "per", "a_day"),
        [
            (Amount(1, "cup", 2), 350, "cup", 700),
            (Amount(4, "tablespoon", 1), 320, "cup", 80),  # 16 tablespoons a cup
            (Amount(200, "g", 1), 3_600, "kg", 720),
            (Amount(200, "g", 1), 360, "100 g", 720),
            (Amount(8, "oz", 1), 1_000, "kg", 226.796),
            (Amount(1.5, "can", 1), 400, "can", 600),
            (Amount(1, "piece", 3), 25, "piece", 75),
        ],
    )
    def test_by_hand(self, amount, kcal, per, a_day):
        assert from_label(amount, kcal, per).kcal == pytest.approx(a_day, rel=1e-4)

    @pytest.mark.parametrize(
        ("measure", "per", "asked"),
        [
            ("g", "cup", "in cups"),
            ("cup", "kg", "in grams"),
            ("g", "can", "as cans"),
            ("can", "piece", "as pieces"),
        ],
    )
    def test_a_unit_that_does_not_fit_is_asked_about(self, measure, per, asked):
        with pytest.raises(ValueError, match=asked):
            from_label(Amount(1, measure), 350, per)

    @pytest.mark.parametrize("number", [0, -1, math.nan, math.inf])
    def test_an_amount_must_be_a_number_above_nothing(self, number):
        with pytest.raises(ValueError, match="must be above 0"):
            from_label(Amount(number, "cup"), 350, "cup")

    def test_it_says_how_it_was_worked_out(self):
        assert from_label(Amount(1, "cup", 2), 350, "cup").words == "1 cup x 2 a day at 350 kcal per cup"

    @given(number=st.floats(0.1, 100), times=st.floats(0.1, 10), kcal=st.floats(1, 5_000))
    def test_twice_as_much_is_twice_the_energy(self, number, times, kcal):
        once = from_label(Amount(number, "cup", times), kcal, "cup").kcal
        assert from_label(Amount(number * 2, "cup", times), kcal, "cup").kcal == pytest.approx(2 * once)


class TestFood:
    # USDA, Release 28: boiled long-grain white rice, 1 cup 158 g
    RICE = (("cup", 158.0), ("oz", 28.35))

    def test_a_weight_and_a_measure_of_the_food_by_hand(self):
        assert from_food(Amount(200, "g"), "rice", 130, self.RICE).kcal == 260
        assert from_food(Amount(0.5, "cup", 2), "rice", 130, self.RICE).kcal == pytest.approx(158 * 1.3)

    def test_a_spoon_is_a_part_of_the_foods_own_cup(self):
        found = from_food(Amount(8, "tablespoon"), "rice", 130, self.RICE)
        assert found.kcal == pytest.approx(79 * 1.3, rel=1e-4)

    def test_a_measure_that_the_table_lacks_asks_for_grams(self):
        with pytest.raises(ValueError, match="no weight of a piece of rice: enter grams"):
            from_food(Amount(1, "piece"), "rice", 130, self.RICE)

    def test_a_food_of_unknown_energy_is_not_one_without(self):
        with pytest.raises(ValueError, match="not known in the table"):
            from_food(Amount(100, "g"), "rice", math.nan, self.RICE)


class TestAnalysis:
    """AAFCO, modified Atwater: ME = 3.5 x protein + 8.5 x fat + 3.5 x NFE."""

    DRY = {"protein": 26.0, "fat": 16.0, "fiber": 4.0, "moisture": 10.0}

    def test_by_hand_with_declared_ash(self):
        # NFE = 100 - 26 - 16 - 4 - 10 - 7 = 37; 3.5 x 26 + 8.5 x 16 + 3.5 x 37 = 91 + 136 + 129.5 = 356.5
        found = from_analysis(Amount(100, "g", 2), self.DRY | {"ash": 7.0})
        assert found.kcal == pytest.approx(713)
        assert found.is_bound

    def test_ash_that_is_not_declared_is_assumed_and_said(self):
        # 8 % of 90 % dry matter = 7.2 %: NFE 36.8, 355.8 kcal in 100 g
        found = from_analysis(Amount(100, "g"), self.DRY | {"ash": None})
        assert found.kcal == pytest.approx(355.8)
        assert "ash taken as 7.2 %" in found.words

    @pytest.mark.parametrize("missing", ["protein", "fat", "fiber", "moisture"])
    def test_what_is_missing_is_asked_for(self, missing):
        with pytest.raises(ValueError, match=f"lacks {missing}"):
            from_analysis(Amount(100, "g"), self.DRY | {missing: None})

    def test_parts_above_the_whole_are_refused(self):
        with pytest.raises(ValueError, match="check the label"):
            from_analysis(Amount(100, "g"), self.DRY | {"moisture": 78.0})

    def test_it_needs_a_weight(self):
        with pytest.raises(ValueError, match="enter grams"):
            from_analysis(Amount(1, "cup"), self.DRY)
