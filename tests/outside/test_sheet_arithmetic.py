"""What a take-home sheet tells, worked out again in plain decimal arithmetic, and facts of the trade.

Facts of the trade: common practice, no source. Keeping times: USDA FSIS, "Leftovers and Food Safety", from
memory: 3 to 4 days in the refrigerator.
"""

from decimal import Decimal

import pytest

from nutrients.models import Supplement
from patients import pdf
from patients.energy import daily_energy
from patients.services import issue_sheet, work_out
from recipes.analysis import COOLED_BATCH, IN_THE_BOWL
from tests.patients.feeding import WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db

FOOD_STEP_G = Decimal(5)  # what a kitchen weighs of a food
SENSITIVE, STABLE = "sensitive", "stable"


def exact(number: float) -> Decimal:
    return Decimal(str(number))


@pytest.fixture
def record(practitioner, monkeypatch) -> dict:
    monkeypatch.setattr(pdf, "render", lambda record: b"%PDF")
    plan = make_whole_plan(
        practitioner, kcal_per_day=640, extras_kcal=40, meals_per_day=3, batch_days=7, frozen=True
    )
    return issue_sheet(plan=plan, by=practitioner, practice=make_practice()).record


def test_the_meals_make_the_pot_and_the_day(record):
    fed = record["feeding"]
    meal, meals, days = exact(fed["meal_g"]), exact(fed["meals_per_day"]), exact(fed["days"])
    assert meals * days == exact(fed["meals_per_batch"]) == 21
    assert abs(meal * meals * days / exact(fed["pot_g"]) - 1) <= Decimal("0.01")
    assert abs(meal * meals / exact(fed["day_g"]) - 1) <= Decimal("0.01")
    for pot, each in fed["pots"]:
        assert abs(exact(each) * 21 / exact(pot) - 1) <= Decimal("0.01")


def test_the_day_is_the_recipe_and_the_extras(record):
    fed = record["feeding"]
    assert exact(fed["kcal_per_day"]) - exact(fed["extras_kcal"]) == Decimal(600)
    assert abs(exact(fed["recipe_kcal_per_day"]) / Decimal(600) - 1) <= Decimal("0.05")


def test_every_food_is_the_recipe_times_one_factor(record):
    told = {food["food"]: exact(food["grams"]) for food in record["recipe"]["foods"]}
    factor = sum(told.values()) / sum(exact(WHOLE_RECIPE[food]) for food in told)
    for food, grams in told.items():
        assert grams % FOOD_STEP_G == 0
        assert abs(grams - exact(WHOLE_RECIPE[food]) * factor) <= FOOD_STEP_G


def test_a_dose_of_the_batch_is_its_meals_together(practitioner):
    plan = make_whole_plan(
        practitioner, kcal_per_day=640, meals_per_day=3, batch_days=7, frozen=True, serve="rewarmed"
    )
    in_bowl = [dose for dose in work_out(plan).batch.doses if dose.when == IN_THE_BOWL]
    assert in_bowl
    for dose in in_bowl:
        step = exact(Supplement.objects.get(food__name=dose.food).smallest_step)
        meals = exact(dose.meal_amount) * dose.meals
        assert meals == exact(dose.day_amount)
        assert meals * len(dose.on_days) == exact(dose.batch_amount)
        assert exact(dose.meal_amount) % step == 0


def test_a_thousand_kcal_is_a_day_of_an_inactive_dog_and_a_week_is_seven_times_it(practitioner):
    """24 kg, 53 lb, at 1.3 x RER: 987 kcal."""
    kcal = daily_energy(24, 1.3)
    assert 950 <= kcal <= 1050
    plan = make_whole_plan(practitioner, kcal_per_day=1000, target_kg=24, batch_days=1)
    day = work_out(plan).batch
    plan.batch_days, plan.frozen = 7, True
    week = work_out(plan).batch
    assert day.kcal_per_day == pytest.approx(1000, rel=0.05)
    for one, seven in zip(day.foods, week.foods, strict=True):
        assert seven.portion.food == one.portion.food
        assert abs(exact(seven.grams) - 7 * exact(one.grams)) <= 7 * FOOD_STEP_G / 2 + FOOD_STEP_G / 2


def test_a_thousand_kcal_last_a_dog_of_200_kcal_five_days_of_which_four_in_the_fridge(practitioner):
    plan = make_whole_plan(practitioner, kcal_per_day=200, target_kg=3, batch_days=5, frozen=True)
    plan.patient.visits.update(weight_kg=3.0)
    batch = work_out(plan).batch
    assert batch.kcal_per_day * 5 == pytest.approx(1000, rel=0.05)
    assert (batch.fresh_days, batch.frozen_days) == (4, 1)
    plan.frozen = False
    assert [field for field, _ in work_out(plan).problems if field == "frozen"] == ["frozen"]


@pytest.mark.parametrize(
    ("serve", "frozen", "sensitive_goes"),
    [
        ("cold", False, COOLED_BATCH),
        ("cold", True, IN_THE_BOWL),
        ("rewarmed", False, IN_THE_BOWL),
        ("rewarmed", True, IN_THE_BOWL),
    ],
)
def test_what_heat_takes_goes_in_after_it(practitioner, serve, frozen, sensitive_goes):
    plan = make_whole_plan(practitioner, serve=serve, frozen=frozen, batch_days=4)
    doses = work_out(plan).batch.doses
    assert {dose.when for dose in doses if dose.heat == STABLE} == {COOLED_BATCH}
    assert {dose.when for dose in doses if dose.heat == SENSITIVE} == {sensitive_goes}
