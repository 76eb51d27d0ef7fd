"""A day's nutrients against the allowance. NRC 2006, adult maintenance: protein 3.28 g per kg^0.75 a day."""

import pytest

from patients.per_day import raised_sentence
from patients.services import work_out
from tests.patients.feeding import make_whole_plan

pytestmark = pytest.mark.django_db


def rows_of(workings) -> dict:
    return {row.name: row for row in workings.day}


def test_the_allowance_goes_by_the_ideal_weight_by_hand(practitioner):
    plan = make_whole_plan(practitioner, goal="lose", target_kg=15.3, kcal_per_day=560)
    workings = work_out(plan)
    protein = rows_of(workings)["Protein"]
    # 15.3^0.75 = 7.736; 3.28 x 7.736 = 25.37 g
    assert protein.allowance == pytest.approx(25.37, abs=0.01)
    grams = workings.batch.analysis.composition.totals["protein"] / plan.batch_days
    assert protein.amount == pytest.approx(grams)
    assert protein.answer == ("meets" if grams >= 25.37 else "below")


def test_a_part_of_the_day_owes_its_part(practitioner):
    half = rows_of(work_out(make_whole_plan(practitioner, recipe_share=0.5)))["Protein"]
    # 18.4^0.75 = 8.884; 3.28 x 8.884 / 2 = 14.57 g
    assert half.allowance == pytest.approx(14.57, abs=0.01)


def test_minima_that_rise_are_told_in_words(practitioner):
    plan = make_whole_plan(practitioner, goal="lose", target_kg=15.3, kcal_per_day=440)
    workings = work_out(plan)
    said = raised_sentence(plan, "Juniper", workings.batch)
    # 440 kcal / 7.736 = 57 kcal per kg^0.75 at the amounts asked for; as rounded within a kcal or two
    assert said.startswith(f"Juniper gets {workings.batch.kcal_per_day / 7.736:.0f} kcal per kg^0.75 a day.")
    protein = workings.batch.for_dog.loc["protein"]
    assert protein.minimum == pytest.approx(3.28 * 7.736 * 1000 / workings.batch.kcal_per_day, rel=0.001)
    assert f"Protein {protein.minimum:,.1f} instead of 45.0 g" in said  # AAFCO adult: 45 g per 1000 kcal


def test_nothing_is_said_of_a_dog_that_eats_enough(practitioner):
    plan = make_whole_plan(practitioner, kcal_per_day=2_000)
    assert raised_sentence(plan, "Juniper", work_out(plan).batch) == ""
