"""What must stay in a dog's batch, judged at this dog's own intake."""

import pytest

from patients.leave_in import LeaveIn, of_batch
from patients.plan_queries import grounds_of
from patients.services import work_out
from tests.patients.feeding import POWDER, TURKEY, WHOLE_RECIPE, make_whole_plan
from tests.patients.sheet.test_record import record_of

pytestmark = pytest.mark.django_db

CITRATE = "Magnesium citrate powder"


def kept(plan) -> LeaveIn:
    return of_batch(plan, work_out(plan).batch, grounds_of(plan.recipe_version, plan.profile))


@pytest.fixture
def found(practitioner) -> LeaveIn:
    return kept(make_whole_plan(practitioner))


def test_a_supplement_says_what_falls_below_the_minimum_without_it(found):
    """Calcium carbonate brings 2.5 g of the 3.7 g calcium in some 1.9 thousand kcal; AAFCO asks for 1.25 g in
    each, and for as much calcium as phosphorus."""
    sentence = dict(found.lines)["Calcium carbonate powder"]
    assert sentence == "without it calcium : phosphorus and calcium fall below the minimum."


def test_supplements_stand_before_foods_and_none_is_passed_over(found):
    lines = [food for food, _ in found.lines]
    supplements = [food for food in lines if food not in (TURKEY, "Pearled barley, dry")]
    assert lines[: len(supplements)] == supplements
    expected = {name for name in WHOLE_RECIPE if "powder" in name or "tablet" in name or "Salt" in name}
    assert {*supplements, *found.no_limit} == expected


def test_what_happens_without_any_supplement_is_told_first(found):
    assert found.supplements.startswith("Without any of the supplements: ")
    assert "iodine" in found.supplements


def test_a_food_that_carries_much_of_the_energy_says_so(found):
    # turkey brings 1050 of about 1860 kcal: 56 %
    assert dict(found.lines)[TURKEY].endswith("56 % less energy.")


def test_it_is_judged_at_the_intake_of_this_dog(practitioner):
    """Magnesium without its citrate, in mg per 100 g raw (USDA SR28): turkey 21, barley 79, pumpkin 12, green
    beans 25, salmon 27, liver 18: 147 + 119 + 36 + 50 + 27 + 4 = 383 mg in 1859 kcal: 0.206 g per 1000 kcal.
    Enough for the profile (AAFCO: 0.15 g) and for 18.4 kg on 990 kcal: 0.0197 g per kg^0.75 (NRC 2006) x 8.88
    = 0.175 g a day, 0.177 g per 1000 kcal. On 700 kcal that dog needs 0.25 g per 1000 kcal: short without it.
    """
    assert CITRATE in kept(make_whole_plan(practitioner)).no_limit


def test_a_dog_that_eats_little_needs_the_magnesium(practitioner):
    little = kept(make_whole_plan(practitioner, kcal_per_day=700))
    assert dict(little.lines)[CITRATE] == "without it magnesium falls below the minimum."


def test_the_record_of_the_sheet_holds_it(practitioner):
    record = record_of(work_out(make_whole_plan(practitioner)))
    assert record["leave_in"] == {
        "supplements": "",
        "lines": [{"food": "Corn oil", "sentence": "without it fat falls below the minimum."}],
        "no_limit": ["Salt, iodized"],
    }


def test_the_powder_keeps_to_three_names(found):
    sentence = dict(found.lines)[POWDER]
    assert sentence.startswith("without it iodine, vitamin E and ")
    assert sentence.endswith(" more fall below the minimum.")
