"""A recipe that is a part of the day, and the food beside it, judged together."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from nutrients.adequacy import worst_answers
from nutrients.models import Food, FoodValue
from patients.services import gate_of, issue_sheet, work_out
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db
CHICKEN = "Chicken breast, skinless, stewed"


def beside(name: str = CHICKEN) -> Food:
    return Food.objects.get(name=name)


def test_the_other_food_brings_its_share_of_the_energy(practitioner):
    whole = work_out(make_whole_plan(practitioner, recipe_share=0.5, other_food=beside())).whole
    # 990 kcal a day without extras: half of it, 495 kcal
    assert whole.kcal == pytest.approx(495)
    values = dict(FoodValue.objects.filter(food=beside()).values_list("nutrient__key", "per_100g"))
    per_100g = 4 * values["protein"] + 9 * values["fat"]  # stewed chicken has no carbohydrate
    assert whole.grams == pytest.approx(495 / per_100g * 100, rel=0.02)


def test_a_nutrient_of_the_day_is_the_sum_of_both_by_hand(practitioner):
    workings = work_out(make_whole_plan(practitioner, recipe_share=0.5, other_food=beside()))
    batch, whole = workings.batch, workings.whole
    values = dict(FoodValue.objects.filter(food=beside()).values_list("nutrient__key", "per_100g"))
    for key in ("protein", "phosphorus", "zinc"):
        line = whole.judgement.loc[key]
        recipe = batch.analysis.composition.totals[key] / batch.scaled.days
        a_day = recipe + whole.grams / 100 * values[key]
        kcal = batch.kcal_per_day + whole.kcal
        factor = workings.profile.limits.at[key, "factor"]
        assert line.amount == pytest.approx(a_day * factor / kcal * 1000)


@pytest.mark.parametrize("key", ["iron", "copper", "choline", "zinc", "manganese"])
def test_what_the_other_food_does_not_tell_counts_for_nothing_and_is_not_nothing(practitioner, key):
    """Where the recipe alone brings enough for the whole day the minimum is met; else it is not confirmed."""
    plan = make_whole_plan(practitioner, recipe_share=0.5, other_food=beside())
    FoodValue.objects.filter(food=beside(), nutrient__key=key).delete()
    workings = work_out(plan)
    line = workings.whole.judgement.loc[key]
    kcal = workings.batch.kcal_per_day + workings.whole.kcal
    alone = workings.batch.analysis.composition.totals[key] / plan.batch_days / kcal * 1000
    enough = alone * workings.profile.limits.at[key, "factor"] >= line.minimum
    assert line.minimum_answer == ("meets" if enough else "cannot_confirm")


def test_a_food_of_unknown_energy_is_told_beside_its_field(practitioner):
    plan = make_whole_plan(practitioner, recipe_share=0.5, other_food=beside())
    FoodValue.objects.filter(food=beside(), nutrient__key="fat").delete()
    workings = work_out(plan)
    assert workings.whole is None
    assert ("other_food", True) in [(name, "not wholly known" in said) for name, said in workings.problems]


def test_the_recipe_alone_has_no_other_food(practitioner):
    assert work_out(make_whole_plan(practitioner, other_food=beside())).whole is None


def test_the_page_and_the_sheet_tell_it(signed_in, practitioner):
    plan = make_whole_plan(practitioner, recipe_share=0.9, other_food=beside(), meal_split=[40, 60])
    page = signed_in.get(reverse("patients:plan-detail", args=[plan.pk])).content.decode()
    assert "The whole day" in page
    record = issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True).record
    workings = work_out(plan)
    whole, kcal_of_a_meal = workings.whole, workings.batch.kcal_per_day / 2
    assert f"{whole.grams:,.0f} g of {CHICKEN} a day" in record["feeding"]["beside"]
    assert (
        f"Give {whole.grams / whole.kcal * kcal_of_a_meal:,.0f} g of {CHICKEN}"
        in record["when_short"]["instead"]
    )
    shares = record["feeding"]["meals"]
    assert [share for share, _ in shares] == [40, 60]
    assert sum(grams for _, grams in shares) == pytest.approx(record["feeding"]["day_g"], abs=1.5)


def test_the_form_takes_the_foods_name_and_the_shares(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    page = reverse("patients:plan-edit", args=[plan.pk])
    form = signed_in.get(page).context["form"]
    typed = {name: form[name].value() for name in form.fields}
    typed |= {"target_kg": "18.4", "target_kg_unit": "kg", "recipe_share": "50",
              "other_food": CHICKEN.lower(), "meal_split": "40/60", "energy": "by-hand",
              "kcal_per_day": "990"}  # fmt: skip
    sent = {name: value for name, value in typed.items() if value not in (None, False)}
    answer = signed_in.post(page, sent)
    assert answer.status_code == 302, answer.context["form"].errors
    plan.refresh_from_db()
    assert (plan.other_food, plan.meal_split) == (beside(), [40, 60])
    assert signed_in.get(page).context["form"]["other_food"].value() == CHICKEN
    wrong = signed_in.post(page, sent | {"other_food": "chicken", "meal_split": "40, 70"})
    assert {"other_food", "meal_split"} <= wrong.context["form"].errors.keys() | {"meal_split"}
    assert wrong.context["form"]["other_food"].value() == "chicken"


def test_what_both_miss_together_is_warned_about(practitioner):
    """Half of the day as chicken breast alone: the calcium of the recipe does not make up for it."""
    workings = work_out(make_whole_plan(practitioner, recipe_share=0.5, other_food=beside()))
    assert workings.whole.judgement.at["calcium", "minimum_answer"] == "below"
    [said] = [warning for warning in workings.warnings if "is below a minimum" in warning]
    assert "Calcium" in said
    assert not any("was not judged here" in warning for warning in workings.warnings)


def test_a_day_that_is_known_to_miss_calcium_is_never_issued(practitioner):
    plan = make_whole_plan(practitioner, recipe_share=0.5, other_food=beside())
    conditions = gate_of(plan, work_out(plan))
    assert any("Calcium is below the minimum" in said for said in conditions.refusals)
    with pytest.raises(ValidationError, match="whole day with Chicken"):
        issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True)


def test_what_the_other_food_leaves_open_is_accepted_not_hidden(practitioner):
    plan = make_whole_plan(practitioner, recipe_share=0.9, other_food=beside())
    conditions = gate_of(plan, work_out(plan))
    assert not conditions.refusals
    answers = worst_answers(work_out(plan).whole.judgement)
    names = work_out(plan).whole.judgement["name"][answers == "cannot_confirm"]
    assert all(any(name in said for said in conditions.to_acknowledge) for name in names)
