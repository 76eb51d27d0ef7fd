"""What stood before the first change of a row that was loaded in bulk."""

import pytest

from nutrients.models import FoodValue, Limit
from nutrients.models.history import AS_LOADED

pytestmark = pytest.mark.django_db


@pytest.fixture
def value():
    return FoodValue.objects.get(food__name="Beef liver, raw", nutrient__key="copper")


def entries(record):
    rows = record.history.order_by("history_id")
    return [(row.per_100g, row.history_type, row.history_change_reason) for row in rows]


def test_what_was_loaded_is_kept_before_it_changes(value):
    loaded = value.per_100g
    value.per_100g, value._change_reason = 11.5, "misprint"
    value.save()
    assert entries(value) == [(loaded, "+", AS_LOADED), (11.5, "~", "misprint")]


def test_it_is_kept_once(value):
    loaded = value.per_100g
    for amount in (11.5, 12):
        value.per_100g = amount
        value.save()
    assert [amount for amount, *_ in entries(value)] == [loaded, 11.5, 12]


def test_what_was_written_past_the_history_is_kept_too(value):
    loaded = value.per_100g
    value.per_100g = 11.5
    value.save()
    FoodValue.objects.filter(pk=value.pk).update(per_100g=13)
    value.per_100g = 14
    value.save()
    assert [amount for amount, *_ in entries(value)] == [loaded, 11.5, 13, 14]


def test_a_new_row_begins_with_itself(value):
    food = value.food
    value.delete()
    new = FoodValue.objects.create(
        food=food, nutrient=value.nutrient, per_100g=9, kind="laboratory", source="report"
    )
    assert [(amount, kind) for amount, kind, _ in entries(new)] == [(9, "+")]


def test_limits_keep_it_as_well():
    limit = Limit.objects.filter(minimum__isnull=False).first()
    before = limit.minimum
    limit.minimum = before + 1
    limit.save()
    assert list(limit.history.order_by("history_id").values_list("minimum", flat=True)) == [
        before,
        before + 1,
    ]
