"""Energy against published numbers and against sums worked out by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients import energy

WEIGHTS = st.floats(min_value=0.2, max_value=energy.HEAVIEST_KG)
NOT_A_WEIGHT = [0, -3, math.nan, math.inf, -math.inf, 120.5]


class TestRestingAndDaily:
    @pytest.mark.parametrize(
        ("weight_kg", "kcal"),
        [(2, 117.7), (5, 234.1), (10, 393.6), (20, 662.0), (30, 897.3), (45, 1216.2)],
    )
    def test_resting_energy(self, weight_kg, kcal):
        # 70 x kg^0.75: Small Animal Clinical Nutrition, 5th ed., Table 5-2
        assert energy.resting_energy(weight_kg) == pytest.approx(kcal, abs=0.1)

    @pytest.mark.parametrize(("weight_kg", "kcal"), [(5, 374), (10, 630), (20, 1059), (30, 1436)])
    def test_neutered_adult(self, weight_kg, kcal):
        # 1.6 x RER: Clinician's Brief, obesity management calculation sheet
        assert energy.daily_energy(weight_kg, 1.6) == pytest.approx(kcal, rel=0.005)

    @pytest.mark.parametrize(("kcal_per_mbw", "kcal"), [(110, 838), (95, 724)])
    def test_a_15_kg_dog_by_activity(self, kcal_per_mbw, kcal):
        # FEDIAF Nutritional Guidelines 2018/2019, Annex 1, Table VII-12
        assert energy.maintenance_by_activity(15, kcal_per_mbw) == pytest.approx(kcal, abs=1)

    @given(WEIGHTS)
    def test_metabolic_weight_is_the_fourth_root_of_the_cube(self, weight_kg):
        assert energy.metabolic_weight(weight_kg) == pytest.approx(math.sqrt(math.sqrt(weight_kg**3)))

    @given(WEIGHTS, WEIGHTS)
    def test_a_heavier_dog_needs_more_but_less_per_kg(self, one, other):
        light, heavy = sorted((one, other))
        assert energy.resting_energy(light) <= energy.resting_energy(heavy)
        assert energy.resting_energy(light) / light >= energy.resting_energy(heavy) / heavy * (1 - 1e-12)


class TestGrowth:
    @pytest.mark.parametrize(
        ("weight_kg", "adult_kg", "kcal"),
        [
            (2, 10, 517.9),
            (5, 10, 761.2),
            (8, 10, 788.7),
            (10, 10, 746.1),
            (4, 20, 871.1),
            (10, 20, 1280.2),
            (6, 40, 1240.2),
            (20, 40, 2153.1),
            (32, 40, 2230.8),
        ],
    )
    def test_equation(self, weight_kg, adult_kg, kcal):
        # NRC 2006 puppy equation as reprinted by WikiVet, Calculated Energy Requirements
        assert energy.growth_energy(weight_kg, adult_kg) == pytest.approx(kcal, rel=0.005)

    @pytest.mark.parametrize(("weight_kg", "adult_kg", "kcal"), [(6, 20, 805.1), (16, 18, 1120.0)])
    def test_by_share(self, weight_kg, adult_kg, kcal):
        # FEDIAF 2021 growth factors 210 and 140, VNJ 37(4) 2022, Table 2
        assert energy.growth_energy_by_share(weight_kg, adult_kg) == pytest.approx(kcal, rel=0.005)

    @pytest.mark.parametrize(
        ("weight_kg", "per_mbw"), [(5, 210), (5.01, 175), (8, 175), (8.01, 140), (10, 140)]
    )
    def test_the_shares_end_at_50_80_and_100_percent(self, weight_kg, per_mbw):
        per_mbw_found = energy.growth_energy_by_share(weight_kg, 10) / weight_kg**0.75
        assert per_mbw_found == pytest.approx(per_mbw)

    @pytest.mark.parametrize("rule", [energy.growth_energy, energy.growth_energy_by_share])
    def test_a_puppy_above_its_adult_weight_is_refused(self, rule):
        with pytest.raises(ValueError, match="more than its expected adult weight of 10 kg"):
            rule(10.5, 10)


class TestReproduction:
    def test_gestation_by_hand(self):
        # 16^0.75 = 8: 130 x 8 = 1040, from week 5 on + 26 x 16 = 416
        assert energy.gestation_energy(16, 1) == pytest.approx(1040)
        assert energy.gestation_energy(16, 4) == pytest.approx(1040)
        assert energy.gestation_energy(16, 5) == pytest.approx(1456)
        assert energy.gestation_energy(16, 9) == pytest.approx(1456)

    @pytest.mark.parametrize(
        ("puppies", "week", "kcal"),
        [
            (3, 1, 1160 + 16 * 72 * 0.75),
            (4, 2, 1160 + 16 * 96 * 0.95),
            (6, 3, 1160 + 16 * (96 + 24) * 1.1),
            (8, 4, 1160 + 16 * (96 + 48) * 1.2),
        ],
    )
    def test_lactation_by_hand(self, puppies, week, kcal):
        # 145 x 8 = 1160 for 16 kg; 24 per puppy up to the fourth, 12 from the fifth to the eighth
        assert energy.lactation_energy(16, puppies, week) == pytest.approx(kcal)

    @pytest.mark.parametrize("week", [0, 10, 5.5])
    def test_weeks_of_pregnancy(self, week):
        with pytest.raises(ValueError, match="enter 1 to 9"):
            energy.gestation_energy(16, week)

    @pytest.mark.parametrize(("puppies", "week"), [(0, 1), (9, 1), (4, 0), (4, 5), (2.5, 1)])
    def test_what_the_lactation_equation_does_not_cover(self, puppies, week):
        with pytest.raises(ValueError, match="The equation covers"):
            energy.lactation_energy(16, puppies, week)


class TestIdealWeight:
    @pytest.mark.parametrize(
        ("weight_kg", "bcs", "ideal"), [(10, 7, 8.33), (30, 8, 23.08), (40, 9, 28.57), (12, 6, 10.91)]
    )
    def test_overweight(self, weight_kg, bcs, ideal):
        # AAHA 2014 Weight Management Guidelines: 10 % overweight per point above 5
        assert energy.ideal_weight(weight_kg, bcs) == pytest.approx(ideal, abs=0.01)

    def test_ideal_thin_and_another_step(self):
        assert energy.ideal_weight(12, 5) == 12
        assert energy.ideal_weight(8, 3) == pytest.approx(10)
        assert energy.ideal_weight(16, 9, percent_per_point=15) == pytest.approx(10)

    @pytest.mark.parametrize("bcs", [0, 10, -1, math.nan])
    def test_scores_that_do_not_exist(self, bcs):
        with pytest.raises(ValueError, match="enter 1 to 9"):
            energy.ideal_weight(10, bcs)

    @pytest.mark.parametrize("percent", [0, -5, 25, math.nan])
    def test_steps_that_cannot_be_right(self, percent):
        with pytest.raises(ValueError, match="step per point"):
            energy.ideal_weight(10, 6, percent)


class TestRecipeEnergy:
    def test_extras_and_share(self):
        assert energy.recipe_energy(600, 0) == 600
        assert energy.recipe_energy(600, 40, 0.5) == 280

    def test_treats_up_to_10_percent(self):
        # Clinician's Brief, obesity management calculation sheet: 60 of 600 kcal at the most
        assert energy.most_extras(600) == pytest.approx(60)
        assert energy.recipe_energy(600, 60) == 540
        with pytest.raises(ValueError, match="at most 60 kcal"):
            energy.recipe_energy(600, 61)

    @pytest.mark.parametrize("extras", [-1, math.nan, math.inf])
    def test_extras_that_cannot_be_right(self, extras):
        with pytest.raises(ValueError, match="Extras of"):
            energy.recipe_energy(600, extras)

    @pytest.mark.parametrize("share", [0, -0.5, 1.01, math.nan])
    def test_shares_that_cannot_be_right(self, share):
        with pytest.raises(ValueError, match="recipe share"):
            energy.recipe_energy(600, 0, share)

    @pytest.mark.parametrize("daily", [0, -600, math.nan, math.inf, 15_001])
    def test_days_that_cannot_be_right(self, daily):
        with pytest.raises(ValueError, match="daily energy"):
            energy.recipe_energy(daily, 0)


class TestTargetDensity:
    @pytest.mark.parametrize(
        ("kcal_per_mbw", "mg", "tolerance"), [(130, 15.38, 0.05), (110, 18.18, 0.05), (95, 21.05, 0.3)]
    )
    def test_zinc(self, kcal_per_mbw, mg, tolerance):
        # FEDIAF Annex 1, units per 1000 kcal, for 2.0 mg zinc per kg^0.75
        assert energy.target_density(2.0, kcal_per_mbw) == pytest.approx(mg, abs=tolerance)

    @pytest.mark.parametrize("bad", [(-1, 130), (math.nan, 130), (2, 0), (2, math.nan), (2, 2000)])
    def test_bad_values(self, bad):
        with pytest.raises(ValueError, match="cannot be right"):
            energy.target_density(*bad)


@pytest.mark.parametrize("weight_kg", NOT_A_WEIGHT)
def test_every_function_refuses_what_is_no_weight(weight_kg):
    calls = [
        lambda: energy.check_weight(weight_kg),
        lambda: energy.metabolic_weight(weight_kg),
        lambda: energy.resting_energy(weight_kg),
        lambda: energy.daily_energy(weight_kg, 1.6),
        lambda: energy.maintenance_by_activity(weight_kg, 110),
        lambda: energy.growth_energy(weight_kg, 20),
        lambda: energy.growth_energy(5, weight_kg),
        lambda: energy.growth_energy_by_share(weight_kg, 20),
        lambda: energy.gestation_energy(weight_kg, 5),
        lambda: energy.lactation_energy(weight_kg, 4, 2),
        lambda: energy.ideal_weight(weight_kg, 6),
        lambda: energy.resting_energy_linear(weight_kg),
    ]
    for call in calls:
        with pytest.raises(ValueError, match="cannot be right: enter more than 0 and at most 120 kg"):
            call()


@pytest.mark.parametrize("factor", [0, -1, math.nan, math.inf, 11])
def test_factors_that_cannot_be_right(factor):
    with pytest.raises(ValueError, match="A factor of"):
        energy.daily_energy(10, factor)
