"""One plan worked out: energy, batch, doses, portions, and the nutrients as rounded."""

import pytest

from nutrients.models import Food, Profile
from patients.models import Plan
from patients.services import work_out
from recipes.models import Ingredient, KitchenStep
from tests import cast
from tests.patients.feeding import POWDER, TURKEY, make_strong_drops, make_whole_plan

pytestmark = pytest.mark.django_db

# USDA 05305 turkey: 18.73 g protein, 8.34 g fat, no carbohydrate in 100 g: 4 x 18.73 + 9 x 8.34
TURKEY_KCAL_PER_G = 1.4998
POT_YIELD = 0.93  # the covered pot of the batch yields


def turkey_and_water(**choices) -> Plan:
    patient = cast.make_patient()
    cast.make_visit(patient)
    version = cast.make_recipe(amounts={TURKEY: 500}, added_water_g=250)
    return cast.make_plan(patient, version, **({"kcal_per_day": 900, "batch_days": 4} | choices))


def test_a_batch_follows_from_the_energy():
    # 900 kcal x 4 days / 1.4998 = 2400.3 g, to the nearest 5 g; water 250 x 4.8006 = 1200.2 g, to 10 g
    batch = work_out(turkey_and_water()).batch
    assert [line.grams for line in batch.foods] == [2400]
    assert batch.water_g == 1200
    assert batch.kcal_per_day == pytest.approx(2400 * TURKEY_KCAL_PER_G / 4)
    assert batch.analysis.cooked_g == pytest.approx((2400 + 1200) * POT_YIELD)
    assert batch.analysis.cooked_is_estimate
    assert batch.meal_g == pytest.approx(3348 / 8)


def test_extras_and_other_food_leave_less_for_the_recipe():
    # (900 - 60) x 50 % = 420 kcal a day; 1680 / 1.4998 = 1120.1 g
    workings = work_out(turkey_and_water(extras_kcal=60, recipe_share=0.5))
    assert workings.recipe_kcal == 420
    assert [line.grams for line in workings.batch.foods] == [1120]
    assert any("50 % was not judged here" in warning for warning in workings.warnings)


def test_a_weighed_pot_is_scaled_with_its_foods():
    plan = turkey_and_water()
    plan.recipe_version.cooked_weight_g = 700
    analysis = work_out(plan).batch.analysis
    assert analysis.cooked_g == pytest.approx(700 * 2400 / 500)
    assert not analysis.cooked_is_estimate


def test_food_for_the_bowl_is_told_per_meal_and_stays_out_of_the_pot():
    plan = turkey_and_water()
    oil = Food.objects.get(name="Canola oil")
    cast.slip_in(
        Ingredient, version=plan.recipe_version, food=oil, grams=10, when="in_the_bowl", step_g=1, position=2
    )
    batch = work_out(plan).batch
    [(line, grams_per_meal)] = batch.bowl
    assert grams_per_meal == pytest.approx(line.grams / 8)
    turkey = next(line.grams for line in batch.foods if line.portion.food == TURKEY)
    assert batch.analysis.cooked_g == pytest.approx((turkey + batch.water_g) * POT_YIELD)


def test_the_nutrients_are_judged_with_the_rounded_amounts():
    # calcium of the turkey alone: 21 mg in 100 g, and none is lost in a pot whose liquid is kept
    # 850 / 1.4998 = 566.7 g, to the nearest 150 g
    plan = turkey_and_water(kcal_per_day=850, batch_days=1)
    plan.recipe_version.ingredients.update(step_g=150)
    batch = work_out(plan).batch
    assert [line.grams for line in batch.foods] == [600]
    assert batch.kcal_per_day == pytest.approx(600 * TURKEY_KCAL_PER_G)
    calcium = batch.analysis.composition.totals["calcium"]
    assert calcium == pytest.approx(600 * 0.21)


def test_rounding_that_moves_the_energy_is_told():
    plan = turkey_and_water(batch_days=1)
    plan.recipe_version.ingredients.update(step_g=500)
    assert any("as rounded" in warning.lower() for warning in work_out(plan).warnings)


def test_minima_are_raised_for_a_dog_that_eats_little():
    # NRC: 0.13 g calcium per kg^0.75 a day; 16^0.75 = 8; of a whole intake of 480 x 1.4998 = 719.9 kcal
    plan = turkey_and_water(kcal_per_day=720, target_kg=16)
    minimum = work_out(plan).batch.for_dog.loc["calcium", "minimum"]
    assert minimum == pytest.approx(0.13 * 8 * 1000 / 719.904, rel=1e-3)


def test_the_whole_intake_counts_when_other_food_is_fed():
    # half of it: 240 g turkey x 1.4998 = 359.95 kcal a day from the recipe, 719.9 in all
    plan = turkey_and_water(kcal_per_day=720, target_kg=16, recipe_share=0.5)
    minimum = work_out(plan).batch.for_dog.loc["calcium", "minimum"]
    assert minimum == pytest.approx(0.13 * 8 * 1000 / 719.904, rel=1e-3)


def test_no_minimum_is_raised_for_a_growing_dog():
    growth = Profile.objects.get(key="aafco-growth-large")
    assert work_out(turkey_and_water(profile=growth)).batch.for_dog is None


def test_heat_sensitive_supplements_go_in_the_bowl_when_food_is_warmed(practitioner):
    plan = make_whole_plan(practitioner)
    batch = work_out(plan).batch
    dose = next(dose for dose in batch.doses if dose.food == POWDER)
    assert dose.when == "in_the_bowl"
    plan.serve = Plan.Serve.COLD
    cold = work_out(plan).batch
    assert {dose.when for dose in cold.doses} == {"cooled_batch"}


def test_the_doses_as_given_are_the_ones_that_are_analysed(practitioner):
    batch = work_out(make_whole_plan(practitioner, batch_days=3)).batch
    dose = next(dose for dose in batch.doses if dose.food == POWDER)
    assert dose.grams_per_batch == pytest.approx(dose.day_amount * 3)
    iodine = batch.analysis.composition.contributions.at[POWDER, "iodine"]
    assert iodine == pytest.approx(dose.grams_per_batch * 120)  # its label: 120 ug per g


def test_the_whole_recipe_leaves_nothing_open(practitioner):
    workings = work_out(make_whole_plan(practitioner, kcal_per_day=1100))
    assert workings.problems == ()
    assert set(workings.batch.strictest["minimum_answer"]) <= {"meets", ""}


def test_a_step_above_half_the_maximum_names_the_product():
    # AAFCO: at most 750 IU vitamin D per 1000 kcal: 2700 IU in 3600 kcal; half of it is 1350 IU
    plan = turkey_and_water(serve="cold")
    drops = make_strong_drops(1400)
    cast.slip_in(Ingredient, version=plan.recipe_version, food=drops, grams=0.006, when="cooled_batch")
    [(field, sentence)] = work_out(plan).problems
    assert field == "recipe_version"
    assert "Drops, strong" in sentence
    assert "weaker product" in sentence


def test_a_step_below_half_the_maximum_is_taken():
    plan = turkey_and_water(serve="cold")
    drops = make_strong_drops(1300)
    cast.slip_in(Ingredient, version=plan.recipe_version, food=drops, grams=0.006, when="cooled_batch")
    assert work_out(plan).problems == ()


@pytest.mark.parametrize(("ug_per_drop", "problems"), [(34_000, 1), (33_000, 0)])
def test_vitamin_a_of_a_step_is_its_retinol(ug_per_drop, problems):
    # AAFCO: at most 62,500 IU per 1000 kcal: half of it in 3600 kcal is 112,500 IU = 33,750 ug retinol
    plan = turkey_and_water(serve="cold")
    drops = make_strong_drops(ug_per_drop, "retinol")
    cast.slip_in(Ingredient, version=plan.recipe_version, food=drops, grams=0.006, when="cooled_batch")
    assert len(work_out(plan).problems) == problems


def test_a_dose_too_small_to_give_is_told_at_the_recipe():
    plan = turkey_and_water()
    drops = make_strong_drops(25)
    cast.slip_in(Ingredient, version=plan.recipe_version, food=drops, grams=0.0001, when="in_the_bowl")
    workings = work_out(plan)
    assert workings.batch is None
    assert [field for field, _ in workings.problems] == ["recipe_version"]


def test_an_empty_recipe_is_a_problem_and_no_crash():
    plan = turkey_and_water()
    plan.recipe_version.ingredients.all().delete()
    workings = work_out(plan)
    assert workings.batch is None
    assert [field for field, _ in workings.problems] == ["recipe_version"]


def test_a_recipe_without_energy_is_a_problem():
    plan = turkey_and_water()
    plan.recipe_version.ingredients.update(food=Food.objects.get(name="Salt, plain"))
    assert [field for field, _ in work_out(plan).problems] == ["recipe_version"]


def test_copper_above_the_watch_level_is_told():
    plan = turkey_and_water()
    liver = Food.objects.get(name="Beef liver, raw")  # 9.8 mg copper in 100 g of 135 kcal
    plan.recipe_version.ingredients.update(food=liver)
    assert any("copper" in warning.lower() for warning in work_out(plan).warnings)
    assert not any("copper" in warning.lower() for warning in work_out(turkey_and_water_again(plan)).warnings)


def turkey_and_water_again(plan: Plan) -> Plan:
    plan.recipe_version.ingredients.update(food=Food.objects.get(name=TURKEY))
    return plan


def test_vitamin_e_per_fat_is_told_where_the_profile_sets_no_limit():
    fediaf = Profile.objects.get(key="fediaf-adult-110")
    assert any(
        "Vitamin E per g" in warning for warning in work_out(turkey_and_water(profile=fediaf)).warnings
    )


def test_a_finding_for_the_veterinarian_is_told():
    plan = turkey_and_water()
    plan.patient.visits.update(appetite="poor")
    assert "veterinarian first: the appetite is poor" in work_out(plan).warnings[0]


def test_an_unsaved_plan_is_worked_out_and_nothing_is_written():
    plan = turkey_and_water()
    plan.pk = None
    assert work_out(plan).batch
    assert Plan.objects.count() == 1


def test_a_step_that_names_an_amount_is_told():
    plan = turkey_and_water()
    cast.slip_in(KitchenStep, version=plan.recipe_version, text="Add 200 ml of water.")
    assert any("Add 200 ml of water." in warning for warning in work_out(plan).warnings)


def test_a_plan_with_unboiled_kidney_beans_is_not_issued_whenever_its_version_was_approved():
    plan = turkey_and_water()
    beans = Food.objects.get(name="Kidney beans, red, dry")
    cast.slip_in(Ingredient, version=plan.recipe_version, food=beans, grams=100, position=2)
    assert work_out(plan).problems == ()
    plan.recipe_version.method = "slow_cooked_liquid_kept"
    [(field, sentence)] = work_out(plan).problems
    assert (field, "slow cooker does not boil" in sentence) == ("recipe_version", True)


@pytest.mark.parametrize(
    ("freezer", "days", "says"),
    [
        ("none", 4, None),
        (
            "none",
            5,
            "has no freezer, and 1 of the 5 days of a batch would be frozen: cook for at most 4 days",
        ),
        ("little", 11, None),  # 4 days in the fridge and 7 in the drawer
        ("little", 12, "room for about 7 days in the freezer, and 8 of the 12"),
        ("much", 28, None),
        ("", 28, None),
    ],
)
def test_a_batch_that_does_not_fit_the_freezer_is_told(freezer, days, says):
    plan = turkey_and_water(batch_days=days, frozen=True)
    plan.patient.freezer = freezer
    plan.patient.save()
    told = [warning for warning in work_out(plan).warnings if "freezer" in warning]
    assert (told == []) if says is None else (says in told[0])
