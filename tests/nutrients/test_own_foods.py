"""Writes to the practice's own foods: what is kept, who made it and why, and what is refused."""

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from nutrients import own_foods, queries
from nutrients.models import Food, FoodValue, LabelAmount, Nutrient, Supplement
from tests.nutrients.entries import unsaved_food, unsaved_value

pytestmark = pytest.mark.django_db


@pytest.fixture
def today():
    return f"{timezone.localdate():%Y-%m-%d}"


@pytest.fixture
def oats(staff):
    values = [unsaved_value("protein", 13), unsaved_value("fat", 7), unsaved_value("water", 9)]
    return own_foods.add_food(food=unsaved_food(), values=values, by=staff)


def value_of(food, key) -> FoodValue:
    return food.values.get(nutrient__key=key)


def nutrient(key) -> Nutrient:
    return Nutrient.objects.get(key=key)


# ---- new foods ----


def test_a_new_food_says_where_it_comes_from_and_who_entered_it(oats, today):
    assert oats.own
    assert oats.source == f"label, entered by sam {today}"
    assert value_of(oats, "protein").source == f"the packet, entered by sam {today}"
    assert queries.food_table().at["Moon oats, rolled", "protein"] == 13


def test_the_history_knows_the_person_and_the_reason(staff):
    food = own_foods.add_food(
        food=unsaved_food(), values=[unsaved_value("zinc", 300)], by=staff, reason="fortified"
    )
    for record in (food, value_of(food, "zinc")):
        past = record.history.get()
        assert (past.history_user, past.history_change_reason) == (staff, "fortified")


@pytest.mark.parametrize(
    "value", [("protein", -1), ("protein", None), ("protein", float("nan"))], ids=["below", "none", "nan"]
)
def test_nothing_is_written_when_one_value_is_wrong(staff, value):
    with pytest.raises(ValidationError):
        own_foods.add_food(
            food=unsaved_food(), values=[unsaved_value("fat", 7), unsaved_value(*value)], by=staff
        )
    assert not Food.objects.filter(name="Moon oats, rolled").exists()


def test_a_name_is_given_once(oats, staff):
    with pytest.raises(ValidationError, match="already exists"):
        own_foods.add_food(food=unsaved_food(), values=[], by=staff)


def test_a_derived_amount_is_never_stored(oats, practitioner):
    derived = unsaved_value("nfe", 60)
    with pytest.raises(ValidationError, match="worked out"):
        own_foods.set_value(food=oats, value=derived, by=practitioner, reason="why not")


# ---- changes ----


def test_a_change_writes_what_differs_and_nothing_else(oats, practitioner, today):
    same, other = unsaved_value("protein", 13), unsaved_value("fat", 8)
    own_foods.change_food(food=oats, values=[same, other], by=practitioner, reason="new packet")
    assert value_of(oats, "protein").history.count() == 1
    past = value_of(oats, "fat").history.first()
    assert (past.per_100g, past.history_change_reason) == (8, "new packet")
    assert value_of(oats, "fat").source == f"the packet, entered by robin {today}"


def test_a_value_taken_out_is_unknown_and_its_past_stays(oats, staff):
    pk = value_of(oats, "fat").pk
    own_foods.change_food(food=oats, values=[], unknown=[nutrient("fat")], by=staff, reason="was the sugar's")
    assert not oats.values.filter(nutrient__key="fat").exists()
    gone = FoodValue.history.filter(id=pk).first()
    assert (gone.history_type, gone.history_change_reason) == ("-", "was the sugar's")


def test_a_food_of_the_published_tables_is_not_changed(staff):
    food = Food.objects.get(name="Beef heart, raw")
    food.note = "ours"
    with pytest.raises(ValidationError, match="copy it"):
        own_foods.change_food(food=food, values=[], by=staff, reason="because")
    assert Food.objects.get(pk=food.pk).note != "ours"


# ---- copies ----


def test_a_copy_takes_over_values_sources_and_measures_except_what_differs(staff):
    original = Food.objects.get(name="Egg, whole, raw")
    own_foods.copy_food(
        original=original,
        food=unsaved_food(name="Moon egg", source="copy of Egg, whole, raw"),
        values=[unsaved_value("selenium", 60, kind="laboratory")],
        unknown=[nutrient("iodine")],
        by=staff,
    )
    copy = Food.objects.get(name="Moon egg")
    table = queries.food_table()
    assert copy.own
    assert table.at["Moon egg", "selenium"] == 60
    same = table.columns.difference(["selenium", "iodine"])
    assert table.loc["Moon egg", same].equals(table.loc[original.name, same])
    assert not copy.values.filter(nutrient__key="iodine").exists()
    assert value_of(copy, "zinc").source.startswith("copied from Egg, whole, raw: USDA SR28")
    assert value_of(copy, "zinc").kind == "published"
    assert list(copy.measures.values_list("label", "grams")) == list(
        original.measures.values_list("label", "grams")
    )
    assert value_of(original, "selenium").per_100g != 60


# ---- single values ----


def test_a_value_needs_a_reason(practitioner):
    food = Food.objects.get(name="Beef heart, raw")
    for attempt in (
        lambda: own_foods.set_value(food=food, value=unsaved_value("zinc", 2), by=practitioner, reason=" "),
        lambda: own_foods.withdraw_value(food=food, nutrient=nutrient("zinc"), by=practitioner, reason=""),
    ):
        with pytest.raises(ValidationError, match="Say why"):
            attempt()
    assert value_of(food, "zinc").kind == "published"


def test_a_published_value_can_be_corrected_and_loading_keeps_the_correction(practitioner):
    from django.core.management import call_command

    food = Food.objects.get(name="Beef heart, raw")
    value = unsaved_value("zinc", 2, kind="laboratory")
    own_foods.set_value(food=food, value=value, by=practitioner, reason="two samples measured")
    call_command("load_reference", verbosity=0)
    kept = value_of(food, "zinc")
    assert (kept.per_100g, kept.kind) == (2, "laboratory")
    assert kept.history.first().history_change_reason == "two samples measured"


def test_another_source_for_the_same_figure_is_written(oats, staff):
    report = unsaved_value("protein", 13)
    report.source = "report 12"
    own_foods.set_value(food=oats, value=report, by=staff, reason="measured")
    assert value_of(oats, "protein").source.startswith("report 12, entered by sam")


# ---- estimates and bounds ----


def test_an_estimate_fills_a_missing_value_and_is_known_as_one(oats, staff):
    value = unsaved_value("iodine", 4, low=1, high=9)
    own_foods.estimate(food=oats, value=value, by=staff)
    assert value_of(oats, "iodine").kind == "estimate"
    assert queries.food_table().at[oats.name, "iodine"] == 4
    assert (oats.name, "iodine") in queries.estimates()


def test_an_estimate_replaces_a_bound_but_no_value(oats, staff):
    bound = unsaved_value("fiber", None, kind="bound", high=12)
    own_foods.change_food(food=oats, values=[bound], by=staff, reason="analysis")
    own_foods.estimate(food=oats, value=unsaved_value("fiber", 10, low=8, high=12), by=staff)
    assert value_of(oats, "fiber").per_100g == 10
    with pytest.raises(ValidationError, match="has a value for Protein"):
        own_foods.estimate(food=oats, value=unsaved_value("protein", 12, low=10, high=14), by=staff)


@pytest.mark.parametrize(
    "ranges", [{}, {"low": 1}, {"high": 9}, {"low": 5, "high": 9}, {"low": 1, "high": 3}]
)
def test_an_estimate_needs_a_range_around_it(oats, staff, ranges):
    with pytest.raises(ValidationError, match="range"):
        own_foods.estimate(food=oats, value=unsaved_value("iodine", 4, **ranges), by=staff)
    assert not oats.values.filter(nutrient__key="iodine").exists()


def test_bounds_are_kept_and_never_counted(staff):
    bounds = [
        unsaved_value("protein", None, kind="bound", low=8),
        unsaved_value("water", None, kind="bound", high=78),
    ]
    food = own_foods.add_food(food=unsaved_food(), values=bounds, by=staff)
    assert food.values.count() == 2
    assert queries.food_table().loc[food.name].isna().all()


# ---- supplements ----


def make_drops(by, **particulars) -> Supplement:
    supplement = Supplement(
        **{
            "form": "tocopherol",
            "dose_unit": "drop",
            "grams_per_dose_unit": 0.03,
            "smallest_step": 1,
            "heat": "sensitive",
            "label_text": "10 IU",
            "lot": "L-17",
        }
        | particulars
    )
    lines = [LabelAmount(nutrient=nutrient("vitamin_e"), amount=10, unit="IU", compound="natural")]
    return own_foods.add_supplement(
        food=unsaved_food(name="Moon drops", group="vitamin supplement", state="as sold"),
        supplement=supplement,
        label_amounts=lines,
        values=[unsaved_value("vitamin_e", 22371)],
        by=by,
    )


def test_a_supplement_is_kept_with_its_food_label_and_lot(staff):
    supplement = make_drops(staff)
    assert supplement.food.own
    assert supplement.label_amounts.get().amount == 10
    assert Supplement.objects.get(food__name="Moon drops").lot == "L-17"


def test_a_changed_label_replaces_lines_and_values_but_no_estimate(practitioner, staff):
    supplement = make_drops(staff)
    own_foods.estimate(food=supplement.food, value=unsaved_value("fat", 90, low=80, high=99), by=staff)
    supplement.lot = "L-18"
    own_foods.change_supplement(
        supplement=supplement,
        label_amounts=[LabelAmount(nutrient=nutrient("vitamin_d"), amount=25, unit="IU")],
        values=[unsaved_value("vitamin_d", 83333)],
        by=practitioner,
        reason="new lot",
    )
    supplement.refresh_from_db()
    assert [line.nutrient.key for line in supplement.label_amounts.all()] == ["vitamin_d"]
    stored = set(supplement.food.values.values_list("nutrient__key", flat=True))
    assert stored == {"vitamin_d", "fat"}
    past = supplement.history.first()
    assert (past.lot, past.history_user, past.history_change_reason) == ("L-18", practitioner, "new lot")


def test_a_seaweed_without_its_iodine_is_refused_and_nothing_is_written(staff):
    with pytest.raises(ValidationError, match="assay"):
        own_foods.add_supplement(
            food=unsaved_food(name="Moon kelp", group="seaweed supplement", state="as sold"),
            supplement=Supplement(
                form="kelp", dose_unit="g", grams_per_dose_unit=1, smallest_step=0.1, heat="stable",
                label_text="kelp", assay="lot 4, 600 ug/g",
            ),
            label_amounts=[],
            values=[],
            by=staff,
        )  # fmt: skip
    assert not Food.objects.filter(name="Moon kelp").exists()


# ---- no longer bought ----


def test_a_discontinued_food_stays_and_comes_last(oats, staff):
    own_foods.set_discontinued(food=oats, discontinued=True, by=staff)
    Food.objects.create(name="Moon oats, zoned", group="grain & starch", state="raw", source="x")
    found = [food.name for food in queries.foods_matching(words="moon oats")]
    assert found == ["Moon oats, zoned", "Moon oats, rolled"]
    offered = queries.foods_matching(words="moon oats", discontinued=False)
    assert [food.name for food in offered] == ["Moon oats, zoned"]
    assert oats.name in queries.food_table().index
    own_foods.set_discontinued(food=oats, discontinued=False, by=staff)
    assert oats.history.first().history_change_reason == "bought again"


def test_a_long_username_leaves_the_source_within_its_field(staff):
    staff.username = "a" * 150
    assert len(own_foods.entered("x" * 100, staff)) < Food._meta.get_field("source").max_length
