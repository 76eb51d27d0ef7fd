"""Scaled batches: exact before rounding, whole steps after it, and measures an owner can count."""

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.analysis import Portion, composition
from recipes.scaling import in_whole_steps, purchase_weight, scale


def make_food(food="Chicken thigh, raw", grams=100.0, **particulars):
    defaults = {"when": "in_the_pot", "group": "poultry", "retention_group": "", "state": "raw"}
    return Portion(food=food, grams=grams, **(defaults | particulars))


def make_supplement(food="Calcium powder", grams=2.0, unit_g=1.0, step=0.25, **particulars):
    return make_food(
        food,
        grams,
        when="cooled_batch",
        is_supplement=True,
        dose_unit="scoop",
        grams_per_dose_unit=unit_g,
        smallest_step=step,
        **particulars,
    )


AMOUNTS = st.floats(min_value=0.5, max_value=5000)


class TestScale:
    def test_by_hand(self):
        # 1000 kcal to 4 days of 600 kcal: factor 2.4
        batch = scale([make_food(grams=300), make_supplement(grams=2)], 1000, kcal_per_day=600, days=4)
        food, supplement = batch.lines
        assert (batch.factor, batch.kcal, batch.days) == (2.4, 2400, 4)
        assert (food.exact_g, food.grams, food.doses) == (720, 720, None)
        assert (supplement.exact_g, supplement.grams, supplement.doses) == (4.8, 4.75, 4.75)

    def test_foods_go_to_their_step_and_never_to_nothing(self):
        batch = scale([make_food(grams=101, step_g=20), make_food("Parsley", grams=0.5)], 1000, 1000, 1)
        assert [line.grams for line in batch.lines] == [100, 5]
        assert batch.lines[1].rounded_by_percent == pytest.approx(900)

    def test_supplements_go_to_whole_steps_of_their_own_unit(self):
        # 2.0 g of 0.8 g tablets in halves: 2.5 tablets, 2.0 g; 0.1 g: one half tablet, 0.4 g
        tablets = [make_supplement(grams=g, unit_g=0.8, step=0.5) for g in (2.0, 0.1)]
        lines = scale(tablets, 1000, 1000, 1).lines
        assert [line.doses for line in lines] == [2.5, 0.5]
        assert [line.grams for line in lines] == pytest.approx([2.0, 0.4])

    def test_portions_hold_rounded_grams_and_supplements_wait_for_the_schedule(self):
        batch = scale([make_food(grams=303), make_supplement(grams=2.1)], 1000, 1000, 1)
        assert [portion.grams for portion in batch.portions()] == [305, 2.0]
        assert [portion.grams for portion in batch.foods()] == [305]
        assert [portion.grams for portion in batch.supplements()] == [2.1]

    def test_refuse_is_bought_too(self):
        line = scale([make_food(grams=300, refuse_percent=25)], 1000, 1000, 1).lines[0]
        assert (line.grams, line.purchase_g) == (300, 400)

    @pytest.mark.parametrize("bad", [(0, 600, 4), (-1, 600, 4), (1000, 0, 4), (1000, 600, 0)])
    def test_what_cannot_be_scaled(self, bad):
        with pytest.raises(ValueError, match="must be above 0"):
            scale([make_food()], *bad)

    @pytest.mark.parametrize("missing", [{"unit_g": None}, {"step": None}])
    def test_a_supplement_without_a_dose_unit(self, missing):
        with pytest.raises(ValueError, match="Calcium powder has no dose unit yet"):
            scale([make_supplement(**missing)], 1000, 600, 4)

    @given(st.lists(AMOUNTS, min_size=1, max_size=8), AMOUNTS, AMOUNTS, st.integers(1, 31))
    def test_before_rounding_amounts_per_1000_kcal_do_not_change(self, amounts, recipe_kcal, kcal, days):
        batch = scale([make_food(f"Food {i}", g) for i, g in enumerate(amounts)], recipe_kcal, kcal, days)
        for line, grams in zip(batch.lines, amounts, strict=True):
            assert line.exact_g / batch.kcal == pytest.approx(grams / recipe_kcal)

    @given(st.lists(st.tuples(AMOUNTS, st.sampled_from([0.1, 1, 5, 25])), min_size=1), AMOUNTS)
    def test_rounding_moves_by_half_a_step_at_most_or_up_to_one_step(self, amounts, kcal):
        portions = [make_food(grams=grams, step_g=step) for grams, step in amounts]
        for line in scale(portions, 1000, kcal, 1).lines:
            step = line.portion.step_g
            assert line.grams >= step
            assert line.grams == step or abs(line.grams - line.exact_g) <= step / 2 + 1e-6

    def test_what_the_batch_holds_scales_with_it(self):
        table = pd.DataFrame({"calcium": [12.0], "protein": [20.0]}, index=["Chicken thigh, raw"])
        none = pd.DataFrame(index=pd.MultiIndex.from_arrays([[], []]), columns=["calcium"], dtype=float)
        batch = scale([make_food(grams=200)], 1000, 1000, 3)
        held = composition(batch.portions(), table, none, "baked").totals
        assert held["calcium"] == pytest.approx(3 * 2 * 12)


class TestWholeSteps:
    @pytest.mark.parametrize(
        ("amount", "step", "rounded"),
        [(12.4, 5, 10), (12.5, 5, 15), (0.15, 0.1, 0.2), (0.3, 0.1, 0.3), (0.01, 0.5, 0.5), (7, 0.25, 7)],
    )
    def test_by_hand(self, amount, step, rounded):
        assert in_whole_steps(amount, step) == rounded


class TestPurchaseWeight:
    def test_by_hand(self):
        assert purchase_weight(90, 10) == pytest.approx(100)
        assert purchase_weight(90, 0) == 90

    def test_refuse_that_is_not_known_is_not_none_at_all(self):
        assert purchase_weight(90, None) is None
