"""What the database holds, as the calculations read it."""

import math

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from nutrients import queries
from nutrients.models import (
    BatchYield,
    Caution,
    Food,
    FoodValue,
    Negligible,
    Nutrient,
    Retention,
    WatchLevel,
)

pytestmark = pytest.mark.django_db
PROXIMATES = {"water": 70, "protein": 20, "fat": 5, "ash": 1, "fiber": 1}


def make_food(name="Moon hare, raw", values=None, **particulars) -> Food:
    food = Food.objects.create(
        **{"name": name, "group": "muscle meat", "state": "raw", "source": "invented"} | particulars
    )
    for key, per_100g in (values or {}).items():
        make_value(food, key, per_100g)
    return food


def make_value(food, key, per_100g=None, kind="published", **ranges) -> FoodValue:
    nutrient = Nutrient.objects.get(key=key)
    return FoodValue.objects.create(
        food=food, nutrient=nutrient, per_100g=per_100g, kind=kind, source="invented", **ranges
    )


def make_estimate(food, key, per_100g) -> FoodValue:
    return make_value(food, key, per_100g, kind="estimate", low=per_100g / 2, high=per_100g * 2)


# ---- the food table ----


def test_a_food_stands_under_its_name_with_unknown_as_nan():
    make_food(values=PROXIMATES | {"calcium": 12.5, "zinc": 0})
    row = queries.food_table().loc["Moon hare, raw"]
    assert row["calcium"] == 12.5
    assert row["zinc"] == 0
    assert math.isnan(row["iron"])
    assert row["nfe"] == pytest.approx(3)  # 100 - 70 - 20 - 5 - 1 - 1


def test_a_food_nothing_is_known_of_is_in_the_table():
    make_food()
    assert queries.food_table().loc["Moon hare, raw"].isna().all()


def test_every_stored_nutrient_has_a_column_and_no_derived_one_but_nfe():
    stored = Nutrient.objects.filter(derived=False).values_list("key", flat=True)
    assert set(queries.food_table().columns) == {*stored, "nfe"}


def test_a_bound_is_no_value():
    make_value(make_food(values={"zinc": 4}), "protein", kind="bound", low=8)
    row = queries.food_table().loc["Moon hare, raw"]
    assert math.isnan(row["protein"])
    assert row["zinc"] == 4


def test_a_bound_cannot_hold_a_value():
    value = make_value(make_food(), "protein", kind="bound", low=8)
    value.per_100g = 8
    with pytest.raises(ValidationError, match="A bound is no value"):
        value.full_clean()
    with pytest.raises(IntegrityError):
        value.save()


def test_an_estimate_counts_until_it_is_switched_off():
    food = make_food(values={"zinc": 4})
    make_estimate(food, "iodine", 10)
    assert queries.food_table().at["Moon hare, raw", "iodine"] == 10
    without = queries.food_table(estimates=False)
    assert math.isnan(without.at["Moon hare, raw", "iodine"])
    assert without.at["Moon hare, raw", "zinc"] == 4
    assert queries.food_table().at["Moon hare, raw", "iodine"] == 10


def test_a_value_that_becomes_an_estimate_is_switched_off_too():
    food = make_food(values={"zinc": 4, "iron": 2})
    assert queries.food_table(estimates=False).at["Moon hare, raw", "zinc"] == 4
    food.values.filter(nutrient__key="zinc").update(kind="estimate")
    assert math.isnan(queries.food_table(estimates=False).at["Moon hare, raw", "zinc"])


def test_what_is_an_estimate_is_known_by_food_and_nutrient():
    food = make_food(values={"zinc": 4})
    before = queries.estimates()
    make_estimate(food, "iodine", 10)
    assert queries.estimates() - before == {("Moon hare, raw", "iodine")}


def test_the_table_agrees_with_the_rows():
    """Every stored value is found again in its place, and nothing else is."""
    table = queries.food_table()
    values = FoodValue.objects.exclude(kind="bound").values_list("food__name", "nutrient__key", "per_100g")
    assert {(food, key): table.at[food, key] for food, key, _ in values} == {
        (food, key): amount for food, key, amount in values
    }
    assert table.drop(columns="nfe").notna().to_numpy().sum() == len(values)


def test_it_is_one_query_for_the_values(django_assert_num_queries):
    make_food(values=PROXIMATES)
    with django_assert_num_queries(4):  # foods, nutrients, the fingerprint, the values
        queries.food_table()
    with django_assert_num_queries(3):
        queries.food_table()


def change_in_place(food):
    value = food.values.get(nutrient__key="zinc")
    value.per_100g = 5
    value.save()


def change_in_bulk(food):
    food.values.filter(nutrient__key="zinc").update(per_100g=5)


def change_by_a_new_row(food):
    food.values.filter(nutrient__key="zinc").delete()
    make_value(food, "zinc", 5)


@pytest.mark.parametrize("change", [change_in_place, change_in_bulk, change_by_a_new_row])
def test_a_corrected_value_is_noticed(change):
    food = make_food(values={"zinc": 4, "iron": 2})
    assert queries.food_table().at["Moon hare, raw", "zinc"] == 4
    change(food)
    assert queries.food_table().at["Moon hare, raw", "zinc"] == 5


def test_two_values_that_change_places_are_noticed():
    food = make_food(values={"zinc": 4, "iron": 2})
    queries.food_table()
    food.values.filter(nutrient__key="zinc").update(per_100g=2)
    food.values.filter(nutrient__key="iron").update(per_100g=4)
    row = queries.food_table().loc["Moon hare, raw"]
    assert (row["zinc"], row["iron"]) == (2, 4)


def test_a_value_that_is_taken_back_or_becomes_a_bound_is_noticed():
    food = make_food(values={"zinc": 4, "iron": 2})
    queries.food_table()
    food.values.filter(nutrient__key="zinc").delete()
    assert math.isnan(queries.food_table().at["Moon hare, raw", "zinc"])
    food.values.filter(nutrient__key="iron").update(kind="bound", per_100g=None, low=2)
    assert math.isnan(queries.food_table().at["Moon hare, raw", "iron"])


def test_a_new_name_and_a_removed_food_are_noticed():
    food = make_food(values={"zinc": 4})
    queries.food_table()
    Food.objects.filter(pk=food.pk).update(name="Moon hare, fresh")
    assert queries.food_table().at["Moon hare, fresh", "zinc"] == 4
    food.delete()
    assert "Moon hare, fresh" not in queries.food_table().index


def test_what_a_caller_writes_into_the_table_stays_with_the_caller():
    make_food(values={"zinc": 4})
    mine = queries.food_table()
    mine.loc["Moon hare, raw", "zinc"] = 99
    assert queries.food_table().at["Moon hare, raw", "zinc"] == 4


# ---- retention, yields and the small tables ----


def test_retention_in_fractions():
    zinc = Nutrient.objects.get(key="zinc")
    row = Retention.objects.create(
        food_group="moon meat", method="baked", nutrient=zinc, percent=55, source="-", certainty="verified"
    )
    table = queries.retention_table()
    assert table.at[("moon meat", "baked"), "zinc"] == pytest.approx(0.55)
    assert math.isnan(table.at[("moon meat", "baked"), "folate"])
    Retention.objects.filter(pk=row.pk).update(percent=60)
    assert queries.retention_table().at[("moon meat", "baked"), "zinc"] == pytest.approx(0.6)


def test_an_empty_retention_table_has_no_rows():
    Retention.objects.all().delete()
    assert queries.retention_table().empty


def test_small_tables():
    iodine = Nutrient.objects.get(key="iodine")
    Negligible.objects.create(nutrient=iodine, food_group="moon meat", reason="-", certainty="memory")
    BatchYield.objects.create(
        retention_group="moon meat", method="baked", percent=71, source="-", certainty="memory"
    )
    WatchLevel.objects.create(nutrient=iodine, per_1000_kcal=2, text="-", source="-", certainty="memory")
    assert ("iodine", "moon meat") in queries.negligible()
    assert queries.batch_yields()["moon meat", "baked"] == 71
    assert {level.nutrient.key for level in queries.watch_levels()} >= {"iodine"}


# ---- cautions ----


@pytest.fixture
def _cautions():
    Caution.objects.all().delete()
    rows = [
        ("moon onion", "onion\nspring onion", "block"),
        ("tea", "tea\nmate  tea", "block"),
        ("cured", "ham", "warn"),
        ("raw fish", "trout, raw", "sign-off"),
        ("no words", "", "block"),
    ]
    for subject, words, action in rows:
        Caution.objects.create(
            kind="toxic food", subject=subject, words=words, action=action, text="-", source="-"
        )


@pytest.mark.usefixtures("_cautions")
@pytest.mark.parametrize(
    ("text", "subject"),
    [
        ("Onion, yellow, raw", "moon onion"),
        ("A pinch of ONIONS", "moon onion"),
        ("spring onion", "moon onion"),
        ("beef/onion stew", "moon onion"),
        ("tea", "tea"),
        ("Mate\ttea leaves", "tea"),
        ("Steak, raw", None),
        ("One teaspoon of salt", None),
        ("Onionskin paper", None),
        ("Protea petals", None),
        ("Ham, cured", None),
        ("", None),
    ],
)
def test_a_forbidden_word_is_found_as_a_whole_word(text, subject):
    found = queries.toxic_caution(text)
    assert (found.subject if found else None) == subject


@pytest.mark.usefixtures("_cautions")
@pytest.mark.parametrize(
    ("name", "subjects"),
    [
        ("Ham with trout, raw", ["cured", "raw fish"]),
        ("Hamster pellets", []),
        ("Onion, yellow, raw", []),
        ("Trout, roasted", []),
    ],
)
def test_cautions_short_of_a_block(name, subjects):
    assert [caution.subject for caution in queries.cautions_for_food(Food(name=name))] == subjects
