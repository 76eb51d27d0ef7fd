"""What to buy and what it costs. Prices are invented; the arithmetic is done by hand."""

import pytest
from django.urls import reverse

from nutrients.models import Food, Price
from patients.services import issue_sheet, work_out
from patients.sheet.shopping import cost_sentence
from patients.shopping_queries import shopping_of
from tests.patients.feeding import TURKEY, WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db
IRON = "Iron chelate tablet, 18 mg iron"
PUMPKIN = "Pumpkin, raw"


def price(food: str, amount: float, pack: float, **particulars) -> Price:
    return Price.objects.create(food=Food.objects.get(name=food), amount=amount, pack=pack, **particulars)


@pytest.fixture
def workings(practitioner):
    return work_out(make_whole_plan(practitioner, batch_days=4))


def items_of(workings) -> dict:
    return {item.food: item for item in shopping_of(workings).items}


def test_every_food_and_supplement_stands_once_in_its_aisle(workings):
    found = shopping_of(workings)
    assert sorted(item.food for item in found.items) == sorted(WHOLE_RECIPE)
    aisles = {item.food: aisle for aisle, items in found.by_aisle() for item in items}
    assert aisles[TURKEY] == "Meat"
    assert aisles[PUMPKIN] == "Fruit and vegetables"
    assert aisles["Salmon, Atlantic, farmed, raw"] == "Fish"
    assert aisles[IRON] == "Supplements"
    assert len(aisles) == len(WHOLE_RECIPE)


def test_it_is_bought_with_what_is_cut_away(workings):
    # USDA, Release 28: 30 % of a raw pumpkin is refuse
    [line] = [line for line in workings.batch.foods if line.portion.food == PUMPKIN]
    assert items_of(workings)[PUMPKIN].batch_g == pytest.approx(line.grams / 0.7)
    assert items_of(workings)[PUMPKIN].month_g == pytest.approx(8 * line.grams / 0.7)


def test_a_day_costs_what_its_part_of_each_pack_costs(workings):
    for food in WHOLE_RECIPE:
        if food != IRON:
            price(food, 0.01, 100_000)
    price(IRON, 12.0, 60, pack_in="dose")  # 0.20 a tablet
    Price.objects.filter(food__name=TURKEY).update(amount=7.5, pack=500)  # 15.00 a kilogram
    [turkey] = [line for line in workings.batch.foods if line.portion.food == TURKEY]
    [iron] = [dose for dose in workings.batch.doses if dose.food == IRON]
    found = shopping_of(workings)
    by_hand = (turkey.purchase_g or turkey.grams) * 0.015 + iron.batch_amount * 0.2
    assert found.batch_cost == pytest.approx(by_hand, abs=0.01)
    assert found.cost_per_day == pytest.approx(found.batch_cost / 4)
    assert found.cost_per_1000_kcal == pytest.approx(
        found.batch_cost / (workings.batch.kcal_per_day * 4) * 1000
    )
    assert found.unpriced == ()
    assert items_of(workings)[IRON].packs == -(-iron.batch_amount * 8 // 60)


def test_a_price_that_is_not_known_is_not_nothing(workings):
    assert cost_sentence(shopping_of(workings), "") == ""
    price(TURKEY, 7.5, 500)
    said = cost_sentence(shopping_of(workings), "EUR")
    assert "at least" in said
    assert PUMPKIN in said
    assert shopping_of(workings).unpriced == tuple(food for food in WHOLE_RECIPE if food != TURKEY)


def test_the_sheet_and_the_plan_show_the_list(signed_in, practitioner):
    plan = make_whole_plan(practitioner, batch_days=4)
    price(TURKEY, 7.5, 500)
    body = signed_in.get(reverse("patients:plan-detail", args=[plan.pk])).content.decode()
    assert "Shopping and cost" in body
    record = issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True).record
    listed = [item["food"] for _, items in record["shopping"]["aisles"] for item in items]
    assert sorted(listed) == sorted(WHOLE_RECIPE)
    assert record["shopping"]["batches"] == 8


def test_the_nearest_batch_in_which_a_pack_comes_out_whole(workings, signed_in):
    """Of a pack that holds six days of turkey: 6 days and not 4; 12 days and 18 are further off."""
    grams = items_of(workings)[TURKEY].batch_g / 4
    price(TURKEY, 7.5, round(grams * 6, 1))
    price(IRON, 12.0, 60, pack_in="dose")
    assert shopping_of(workings).whole_packs(31) == [(TURKEY, 6, 1)]
    assert shopping_of(workings).whole_packs(5) == []
    html = signed_in.get(workings.plan.get_absolute_url()).content.decode()
    assert f"<strong>6 days</strong> ({TURKEY}, 1 pack)" in html
