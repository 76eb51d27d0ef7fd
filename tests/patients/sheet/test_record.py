"""The record of a sheet: everything the sheet says, as plain values."""

import json
from datetime import date

import pytest

from nutrients.models import Food
from patients.leave_in import LeaveIn
from patients.services import work_out
from patients.sheet.answers import SignOff
from patients.sheet.cooking import Recipe
from patients.sheet.record import Issue, assemble
from patients.shopping_queries import shopping_of
from patients.workings import Workings
from tests.patients.feeding import SUPPLEMENTS, WHOLE_RECIPE, make_whole_plan

pytestmark = pytest.mark.django_db

DAY = date(2026, 3, 2)


def record_of(workings: Workings, steps=(), **issue) -> dict:
    return assemble(
        workings,
        issue=Issue(
            **({"number": 3, "by": "Robin", "on": DAY, "expires_on": DAY, "next_recheck": None} | issue)
        ),
        recipe=Recipe("Turkey and barley", 2, "simmered, liquid kept", "Robin", DAY, steps, True),
        shopping=shopping_of(workings) if workings.batch else None,
        leave_in=LeaveIn("", [("Corn oil", "without it fat falls below the minimum.")], ["Salt, iodized"]),
        practice={"name": "Quillmarsh", "address": "", "phone": "", "email": "", "paper": "A4"},
        sentence="Juniper, 7-year-old.",
        owner="Tilda Marrow",
        weighed_on=DAY,
        food_data=["USDA, Release 28"],
    )


@pytest.fixture
def workings(practitioner):
    return work_out(make_whole_plan(practitioner, batch_days=7, frozen=True, extras_kcal=40))


def test_it_is_plain_json(workings):
    record = record_of(workings)
    assert json.loads(json.dumps(record, allow_nan=False))["number"] == 3


def test_it_names_every_food_and_every_supplement(workings):
    record = record_of(workings)
    foods = [line["food"] for line in record["recipe"]["foods"]]
    doses = [dose["food"] for moment in record["supplements"] for dose in moment["doses"]]
    assert sorted(foods + doses) == sorted(WHOLE_RECIPE)
    assert sorted(doses) == sorted(SUPPLEMENTS)


def test_it_holds_the_grams_of_the_workings(workings):
    feeding = record_of(workings)["feeding"]
    assert feeding["meal_g"] == round(workings.batch.meal_g)
    assert feeding["meals_per_batch"] == 14
    assert feeding["extras_kcal"] == 40
    assert any("40 kcal" in note for note in feeding["notes"])


def test_food_goes_in_kitchen_order(practitioner):
    plan = make_whole_plan(practitioner)
    plan.recipe_version.ingredients.filter(food__name__startswith="Ground turkey").update(when="late")
    foods = record_of(work_out(plan))["recipe"]["foods"]
    assert foods[-1]["food"].startswith("Ground turkey")
    assert foods[-1]["when"] == "for the last minutes"


def test_what_to_buy_is_told_only_where_there_is_refuse(workings):
    by_name = {line["food"]: line for line in record_of(workings)["recipe"]["foods"]}
    pumpkin = by_name["Pumpkin, raw"]
    assert pumpkin["buy_g"] == round(pumpkin["grams"] / 0.7)  # USDA: 30 % refuse
    assert by_name["Ground turkey, 93% lean, raw"]["buy_g"] is None
    assert not by_name["Ground turkey, 93% lean, raw"]["waste_unknown"]


def test_what_to_buy_is_not_known_where_the_refuse_is_not(practitioner):
    Food.objects.filter(name__startswith="Ground turkey").update(refuse_percent=None)
    foods = record_of(work_out(make_whole_plan(practitioner)))["recipe"]["foods"]
    turkey = next(line for line in foods if line["food"].startswith("Ground turkey"))
    assert (turkey["buy_g"], turkey["waste_unknown"]) == (None, True)


def test_the_changeover_gives_grams_of_the_new_food(workings):
    meal = workings.batch.meal_g
    steps = record_of(workings)["changeover"]["steps"]
    assert [step["new_g"] for step in steps] == [round(meal * share) for share in (0.25, 0.5, 0.75, 1)]


def test_the_fridge_life_splits_the_batch(workings):
    keeping = record_of(workings)["keeping"]
    assert (keeping["fresh_days"], keeping["frozen_days"]) == (4, 3)


def test_a_step_carries_its_minutes_and_its_temperature(workings):
    [step] = record_of(workings, steps=[("Cook it.", 20, 74.0)])["recipe"]["steps"]
    assert (step["minutes"], step["celsius"]) == (20, 74.0)


def test_a_step_that_names_an_amount_is_marked(workings):
    assert record_of(workings, steps=[("Add 200 ml.", None, None)])["recipe"]["steps_name_amounts"]
    assert not record_of(workings, steps=[("Stir.", None, None)])["recipe"]["steps_name_amounts"]


def test_what_was_accepted_and_agreed_stands_in_it(workings):
    agreed = SignOff("Dr M. Sorrel", "Sallow Bridge", DAY, ("chronic kidney disease",))
    record = record_of(workings, accepted=("Zinc is below.",), sign_off=agreed)
    assert record["accepted"] == ["Zinc is below."]
    assert record["accepted_words"] == "Read and accepted by Robin on 2 March 2026:"
    assert record["sign_off"]["covers"] == ["chronic kidney disease"]


def test_foods_without_a_value_are_named_with_the_nutrients(practitioner):
    from nutrients.models import FoodValue

    plan = make_whole_plan(practitioner)
    FoodValue.objects.filter(food__name="Pumpkin, raw", nutrient__key="calcium").delete()
    plan.recipe_version.ingredients.filter(food__name="Calcium carbonate powder").delete()
    adequacy = record_of(work_out(plan))["adequacy"]
    [gap] = [gap for gap in adequacy["missing"] if "Calcium" in gap["nutrients"]]
    assert gap["foods"] == ["Pumpkin, raw"]
    minerals = next(line for line in adequacy["summary"] if line["group"] == "Minerals")
    assert any(name.startswith("Calcium") for name in minerals["unconfirmed"])


def test_other_food_is_said_not_to_be_judged(practitioner):
    feeding = record_of(work_out(make_whole_plan(practitioner, recipe_share=0.6)))["feeding"]
    assert (feeding["share_percent"], feeding["other_percent"]) == (60, 40)
    assert any("40 % was not checked" in note for note in feeding["notes"])


def test_a_plan_without_a_batch_has_no_record(practitioner):
    plan = make_whole_plan(practitioner)
    plan.recipe_version.ingredients.all().delete()
    with pytest.raises(ValueError, match="no sheet"):
        record_of(work_out(plan))


def test_the_changeover_says_what_to_do_with_food_left_and_with_the_bowl(workings):
    advice = " ".join(record_of(workings)["changeover"]["advice"])
    assert "Freeze on cooking day what will not be eaten within 4 days" in advice
    in_bowl = any(dose.when == "in_the_bowl" for dose in workings.batch.doses)
    assert ("full dose from day 7" in advice) == in_bowl


def test_a_meal_is_given_in_cups_too(workings):
    feeding = record_of(workings)["feeding"]
    quarters = round(
        feeding["meal_g"] / 240 * 4
    )  # a US cup of moist food taken as 240 g: common practice, no source
    assert feeding["meal_cups"].startswith(str(quarters // 4))


def test_without_a_scale_foods_are_told_in_measures_with_what_they_are_off_by(practitioner):
    record = record_of(work_out(make_whole_plan(practitioner, scale="none")))
    about = {line["food"]: line["household"] for line in record["recipe"]["foods"]}
    weighed = {line["food"]: line["grams"] for line in record["recipe"]["foods"]}
    # pearled barley, dry: 200 g a cup (USDA, Release 28)
    cups = round(weighed["Pearled barley, dry"] / 200 * 4) / 4
    off = round((cups * 200 / weighed["Pearled barley, dry"] - 1) * 100)
    assert about["Pearled barley, dry"].endswith(f"({abs(off)} % {'more' if off > 0 else 'less'})") == bool(
        off
    )
    assert about["Ground turkey, 93% lean, raw"].endswith("weighed in the shop")
    assert "no scale" in record["recipe"]["without_scale"]


def test_without_a_scale_powders_are_warned_about(practitioner):
    warnings = work_out(make_whole_plan(practitioner, scale="none")).warnings
    assert any("no spoon measures these safely: Calcium carbonate powder" in said for said in warnings)
