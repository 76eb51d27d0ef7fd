"""Corrections read from the histories: old and new, by whom, when and why."""

from datetime import timedelta

import pytest
from django.utils import timezone

from nutrients import own_foods, profiles
from nutrients.corrections import FOOD_VALUE, LIMIT, RETENTION, Step, correction, corrections
from nutrients.models import Food, FoodValue, Limit, Nutrient, Profile, Retention
from tests import cast

pytestmark = pytest.mark.django_db
LIVER = "Beef liver, raw"


@pytest.fixture
def robin():
    return cast.make_user("practitioner", "robin")


def copper() -> FoodValue:
    return FoodValue.objects.get(food__name=LIVER, nutrient__key="copper")


def change(row, reason="misprint", by=None, at=None, **fields):
    for name, content in fields.items():
        setattr(row, name, content)
    row._change_reason, row._history_user = reason, by
    if at:
        row._history_date = at
    row.save()
    return row


def test_nothing_was_corrected_yet():
    assert corrections() == []


def test_a_value_with_old_and_new(robin):
    value = copper()
    old = value.per_100g
    change(value, "misprint in the release", robin, per_100g=11.2)
    (found,) = corrections()
    assert (found.kind, found.what, found.by, found.reason) == (
        FOOD_VALUE, LIVER, "robin", "misprint in the release"
    )  # fmt: skip
    assert found.steps == (Step("Copper in 100 g", f"{old:.10g} mg", "11.2 mg"),)
    assert timezone.now() - found.at < timedelta(minutes=1)
    assert correction(FOOD_VALUE, found.entry) == found
    assert correction(LIMIT, found.entry) is None


def test_only_a_note_is_no_correction(robin):
    change(copper(), by=robin, source="the same, with a page number")
    assert corrections() == []


def test_a_value_that_became_unknown_and_came_back(robin):
    value = copper()
    old, nutrient = value.per_100g, value.nutrient
    own_foods.withdraw_value(food=value.food, nutrient=nutrient, by=robin, reason="wrong food")
    given = FoodValue(nutrient=nutrient, per_100g=3, kind="laboratory", source="report 7")
    own_foods.set_value(food=value.food, value=given, by=robin, reason="measured")
    back, gone = corrections()
    assert gone.steps == (Step("Copper in 100 g", f"{old:.10g} mg", "unknown"),)
    assert back.steps == (Step("Copper in 100 g", "unknown", "3 mg"),)


def test_what_was_changed_together_is_one_correction(robin):
    now = timezone.now()
    for seconds, key in enumerate(("copper", "iron")):
        value = FoodValue.objects.get(food__name=LIVER, nutrient__key=key)
        change(value, "new label", robin, now + timedelta(seconds=seconds), per_100g=1.5)
    (found,) = corrections()
    assert [step.since for step in found.steps] == ["1.5 mg", "1.5 mg"]
    assert len(found.turns) == 2


@pytest.mark.parametrize("differs", ["food", "reason", "person", "time"])
def test_what_was_not_changed_together_is_apart(robin, differs):
    now = timezone.now()
    change(copper(), "new label", robin, now, per_100g=1.5)
    name = "Chicken liver, raw" if differs == "food" else LIVER
    other = FoodValue.objects.exclude(nutrient__key="copper").filter(food__name__icontains=name).first()
    change(
        other,
        "another" if differs == "reason" else "new label",
        cast.make_user("staff", "sam") if differs == "person" else robin,
        now + timedelta(minutes=2 if differs == "time" else 0, seconds=1),
        per_100g=123.0,
    )
    assert len(corrections()) == 2


def test_entering_a_food_corrects_nothing_and_changing_it_later_does(robin):
    zinc = Nutrient.objects.get(key="zinc")
    food = own_foods.add_food(
        food=Food(name="Own stew", group="organ", state="cooked", source="label"),
        values=[FoodValue(nutrient=zinc, per_100g=2, kind="label", source="label")],
        by=robin,
    )
    assert corrections() == []
    given = FoodValue(nutrient=zinc, per_100g=4, kind="label", source="label")
    own_foods.set_value(food=food, value=given, by=robin, reason="new label")
    assert [found.steps for found in corrections()] == [(Step("Zinc in 100 g", "2 mg", "4 mg"),)]


def test_a_limit(robin):
    limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="calcium", minimum__isnull=False)
    old = f"{limit.minimum:.10g} {limit.unit}"
    change(limit, "erratum", robin, minimum=1.4)
    (found,) = corrections()
    assert (found.kind, found.what) == (LIMIT, str(Profile.objects.get(key="aafco-adult")))
    assert found.steps == (Step("Calcium, minimum", old, f"1.4 {limit.unit}"),)


def test_another_unit_is_a_correction(robin):
    limit = Limit.objects.get(profile__key="aafco-adult", nutrient__key="calcium", minimum__isnull=False)
    change(limit, "erratum", robin, unit="mg", minimum=limit.minimum)
    (found,) = corrections()
    assert [(step.before, step.since) for step in found.steps][0] == (
        f"{limit.minimum:.10g} g", f"{limit.minimum:.10g} mg"
    )  # fmt: skip


def test_a_retention_factor(robin):
    factor = Retention.objects.get(food_group="beef", method="simmered_drained", nutrient__key="thiamine")
    old = factor.percent
    change(factor, "own measurement", robin, percent=12)
    (found,) = corrections()
    assert (found.kind, found.what) == (RETENTION, "cooking losses of “beef”")
    assert found.steps == (Step(f"{factor.nutrient}, simmered, drained", f"{old:g} % left", "12 % left"),)


def test_the_newest_comes_first(robin):
    now = timezone.now()
    change(copper(), "first", robin, now, per_100g=1.5)
    change(copper(), "second", robin, now + timedelta(hours=1), per_100g=2.5)
    assert [found.reason for found in corrections()] == ["second", "first"]
    assert [step.before for step in corrections()[0].steps] == ["1.5 mg"]


def test_it_asks_the_database_as_often_for_many(robin, django_assert_max_num_queries):
    for value in list(FoodValue.objects.filter(food__name=LIVER)[:15]):
        change(value, f"{value.pk}", robin, per_100g=1.25)
    with django_assert_max_num_queries(9):
        assert len(corrections()) > 10


def test_what_a_copied_profile_brought_along_was_corrected_once():
    zinc = Limit.objects.get(profile__key="aafco-adult", nutrient__key="zinc")
    change(zinc, "another print", minimum=25)
    copy = profiles.copy_profile(original=zinc.profile, life_stage="renal", targets_by="a clinic")
    assert [found.what for found in corrections()] == [str(zinc.profile)]
    change(copy.limits.get(nutrient__key="zinc"), "for one dog", minimum=22)
    assert [found.reason for found in corrections()] == ["for one dog", "another print"]
