"""Today: what waits, in groups; each group's expectation is worked out by hand."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from nutrients.models import Food
from patients.models import HomeWeighIn, Patient, Plan, Recall, RecallCall, Sheet, Task
from practice.today.page import today
from practice.today.waiting import SHOWN_AT_ONCE
from recipes.models import Recipe, RecipeVersion
from tests import cast

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()
ISSUED = Plan.State.ISSUED


def in_days(days: int) -> date:
    return TODAY + timedelta(days=days)


def make_sheet(plan: Plan, by, issued_days_ago: int = 0, good_for: int = 60, number: int = 1) -> Sheet:
    at = timezone.now() - timedelta(days=issued_days_ago)
    return Sheet.objects.create(
        plan=plan, patient=plan.patient, number=number, issued_by=by, issued_at=at,
        expires_on=timezone.localdate(at) + timedelta(days=good_for), record={}, pdf=b"", sha256="",
    )  # fmt: skip


@pytest.fixture
def version():
    return cast.make_recipe()


@pytest.fixture
def fed(version, practitioner):
    """Makes a dog with an issued plan that began some days ago."""

    def make(name: str = "Juniper", days_ago: int = 28, goal: str = "hold", **dog) -> Plan:
        plan = cast.make_plan(cast.make_patient(name=name, **dog), version, goal=goal, state=ISSUED)
        make_sheet(plan, practitioner, days_ago)
        return plan

    return make


def weigh(dog: Patient, *weights: tuple[int, float]) -> None:
    """weights: days ago and kg."""
    for days_ago, kg in weights:
        cast.make_visit(dog, date=in_days(-days_ago), weight_kg=kg)


def groups(on: date = TODAY) -> dict:
    found = today(on)
    return {group.key: group for group in (*found.to_call, *found.to_look_at, *found.at_the_desk)}


def names(key: str) -> list[str]:
    found = groups().get(key)
    return [row.name for row in found.rows] if found else []


def test_a_day_without_anything_is_one_sentence(signed_in):
    page = signed_in.get("/").content.decode()
    assert "nothing waits." in page
    assert "No call to make" in page
    assert groups() == {}
    assert 'class="card"' not in page


def test_rechecks_overdue_and_within_a_week_the_longest_overdue_first(signed_in):
    for days, name in ((7, "Otto"), (-3, "Pepper"), (-9, "Tansy"), (0, "Juniper"), (8, "Bramble")):
        cast.make_patient(name=name, next_recheck=in_days(days))
    cast.make_patient(name="Moss", next_recheck=None)
    assert names("overdue") == ["Tansy", "Pepper"]
    assert names("due") == ["Juniper", "Otto"]
    page = signed_in.get("/").content.decode()
    assert "2 calls to make, 2 other things waiting." in page
    assert "overdue since" in page


def test_a_loss_not_weighed_for_over_fourteen_days(fed):
    weigh(fed("Pepper", goal="lose").patient, (15, 20))
    weigh(fed("Otto", goal="lose").patient, (14, 20))
    weigh(fed("Moss", goal="hold").patient, (40, 20))
    fed("Tansy", goal="lose", days_ago=20)  # never weighed
    fed("Bramble", goal="lose", days_ago=10)
    assert names("weigh-ins") == ["Tansy", "Pepper"]
    assert "15 days ago" in groups()["weigh-ins"].rows[1].why


def test_a_growing_dog_not_weighed_for_over_fourteen_days(fed):
    weigh(fed("Otto", goal="grow", born=in_days(-150)).patient, (15, 8))
    weigh(fed("Moss", goal="grow", born=in_days(-150)).patient, (14, 8))
    assert names("weigh-ins") == ["Otto"]


def test_a_weigh_in_at_home_counts_and_one_that_is_not_believed_does_not(fed):
    at_home, doubted = fed("Pepper", goal="lose").patient, fed("Otto", goal="lose").patient
    for dog, left_out in ((at_home, False), (doubted, True)):
        weigh(dog, (20, 20))
        HomeWeighIn.objects.create(patient=dog, date=in_days(-2), weight_kg=19.5, left_out=left_out)
    assert names("weigh-ins") == ["Otto"]


def test_losing_too_fast_and_not_at_all(fed):
    # Of 20 kg, 2 % a week are 0.4 kg: 1.6 kg in four weeks.
    weigh(fed("Even", goal="lose").patient, (28, 20), (14, 19.4), (0, 18.8))
    for name, kg in (("Fast", 18.0), ("Still", 20.0), ("Up", 20.6)):
        weigh(fed(name, goal="lose").patient, (28, 20), (14, (20 + kg) / 2), (0, kg))
    weigh(fed("Held", goal="hold").patient, (28, 20), (14, 20), (0, 20))
    assert names("too-fast") == ["Fast"]
    assert names("not-losing") == ["Up", "Still"]


def test_a_dog_at_its_target_need_not_lose(fed):
    plan = fed("Still", goal="lose")
    weigh(plan.patient, (28, 18), (0, 18))
    Plan.objects.update(target_kg=18)
    assert names("not-losing") == []


def test_the_weight_before_the_plan_says_nothing_of_it(fed):
    # 26 to 20 kg before the plan; under it 20 to 19.5 kg in two weeks, 1.25 % a week.
    weigh(fed("Otto", goal="lose", days_ago=14).patient, (80, 26), (14, 20), (0, 19.5))
    assert names("too-fast") == []


def test_a_weight_that_is_not_believed_makes_no_loss(fed):
    dog = fed("Otto", goal="lose").patient
    weigh(dog, (28, 20), (14, 19.4))
    cast.make_visit(dog, date=TODAY, weight_kg=8.5, left_out=True)
    HomeWeighIn.objects.create(patient=dog, date=in_days(-1), weight_kg=8.6, left_out=True)
    assert names("too-fast") == []


def test_a_slower_loss_that_is_wanted_has_its_own_limits(fed):
    # 0.3 kg of 20 kg a week are 1.5 %: within 1 to 2 %, above 0.5 to 1 %.
    for name, gentle in (("Usual", False), ("Gentle", True)):
        weigh(fed(name, goal="lose", gentle_loss=gentle).patient, (28, 20), (14, 19.4), (0, 18.8))
    assert names("too-fast") == ["Gentle"]


def test_plans_without_a_sheet(version):
    dog = cast.make_patient()
    draft = cast.make_plan(dog, version)
    cast.make_plan(dog, version, state=Plan.State.ENDED)
    found = groups()["drafts"]
    assert [row.action_url for row in found.rows] == [draft.get_absolute_url()]


def test_sheets_expired_of_the_present_plan(fed, practitioner):
    day_after = fed("Past", days_ago=61)  # good for 60 days: its last day was yesterday
    fed("Last", days_ago=60)
    renewed = fed("New", days_ago=90)
    make_sheet(renewed, practitioner, number=2)
    ended = fed("Gone", days_ago=90)
    Plan.objects.filter(pk=ended.pk).update(state=Plan.State.ENDED)
    assert names("expired") == ["Past"]
    assert groups()["expired"].rows[0].action_url == day_after.get_absolute_url()


def test_products_discontinued_in_what_is_fed(fed, version):
    plan = fed("Juniper")
    cast.make_plan(cast.make_patient(name="Draft"), version)
    food = version.ingredients.get().food
    assert names("discontinued") == []
    Food.objects.filter(pk=food.pk).update(discontinued=True)
    assert names("discontinued") == ["Juniper"]
    [row] = groups()["discontinued"].rows
    assert food.name in row.why
    assert row.action_url == reverse("recipes:ingredient-substitutes", args=[plan.recipe_version_id, food.pk])


def test_plans_on_an_older_version_of_their_recipe(practitioner):
    old = cast.make_recipe(approved_by=practitioner)
    cast.make_plan(cast.make_patient(), old, state=ISSUED)
    assert names("behind") == []
    RecipeVersion.objects.create(
        recipe=old.recipe, number=2, approved_by=practitioner, approved_at=timezone.now()
    )
    assert names("behind") == ["Juniper"]


def test_birthdays_into_a_new_life_stage():
    eight_years = date(TODAY.year - 8, TODAY.month, min(TODAY.day, 28))
    for name, days in (("Soon", 10), ("Lately", -20), ("Long ago", -40), ("Later", 20)):
        cast.make_patient(name=name, born=eight_years + timedelta(days=days))
    assert names("stages") == ["Lately", "Soon"]


def test_recall_calls_to_make(practitioner):
    now = timezone.now()
    recall = Recall.objects.create(
        kind="limit", entry=1, entries=[], what="Chalk, calcium", before={}, after={}, corrected_at=now,
        touched={}, worked_out_at=now,
    )  # fmt: skip
    for name, status in (("Juniper", "to_call"), ("Otto", "called")):
        RecallCall.objects.create(recall=recall, patient=cast.make_patient(name=name), status=status)
    assert names("recalls") == ["Juniper"]
    assert groups()["recalls"].rows[0].action_url == f"{recall.get_absolute_url()}#calls"


def test_tasks_due_and_overdue_are_done_in_one_press(signed_in):
    owner = cast.make_owner()
    for text, days in (("ring back", 0), ("send the sheet", -4), ("ask for results", 1)):
        Task.objects.create(owner=owner, text=text, due=in_days(days))
    Task.objects.create(owner=owner, text="some time")
    Task.objects.create(owner=owner, text="was done", due=in_days(-1), done_at=timezone.now())
    late, now = groups()["tasks"].rows
    assert (late.why[:14], now.why) == ("send the sheet", "ring back; due today")
    answer = signed_in.post(late.action_url, late.to_post, follow=True)
    assert answer.redirect_chain[-1][0] == "/"
    assert [row.why for row in groups()["tasks"].rows] == ["ring back; due today"]


def test_recipes_in_review_and_the_sheets_of_this_week(signed_in, fed, practitioner):
    waiting = cast.make_recipe("Pork and barley")
    Recipe.objects.filter(pk=waiting.recipe.pk).update(state=Recipe.State.IN_REVIEW)
    plan = fed(days_ago=TODAY.weekday() + 1)  # last Sunday
    make_sheet(plan, practitioner, issued_days_ago=TODAY.weekday(), number=2)  # Monday
    assert names("review") == ["Pork and barley"]
    page = signed_in.get("/").content.decode()
    assert "Juniper, sheet 2" in page
    assert "Juniper, sheet 1" not in page


@pytest.mark.parametrize(("status", "waits"), [("active", True), ("archived", False), ("deceased", False)])
def test_only_dogs_that_are_fed_now_count(fed, practitioner, status, waits):
    version = cast.make_recipe("Pork and barley", approved_by=practitioner)
    eight_years = date(TODAY.year - 8, TODAY.month, min(TODAY.day, 28)) - timedelta(days=5)
    plan = fed("Pepper", goal="lose", days_ago=90, born=eight_years, next_recheck=in_days(-1))
    weigh(plan.patient, (50, 20), (20, 16))
    Plan.objects.update(recipe_version=version)
    RecipeVersion.objects.create(
        recipe=version.recipe, number=2, approved_by=practitioner, approved_at=timezone.now()
    )
    Food.objects.filter(pk=version.ingredients.get().food_id).update(discontinued=True)
    cast.make_plan(plan.patient, version)
    now = timezone.now()
    recall = Recall.objects.create(
        kind="limit", entry=1, entries=[], what="Chalk", before={}, after={}, corrected_at=now, touched={},
        worked_out_at=now,
    )  # fmt: skip
    RecallCall.objects.create(recall=recall, patient=plan.patient)
    Patient.objects.update(status=status)
    of_dogs = {
        "recalls", "too-fast", "overdue", "weigh-ins", "stages", "discontinued", "expired", "drafts",
        "behind",
    }  # fmt: skip
    assert set(groups()) == (of_dogs if waits else set())


def test_what_wants_a_call_stands_first(signed_in, fed):
    weigh(fed("Fast", goal="lose").patient, (28, 20), (0, 17))
    cast.make_patient(name="Pepper", next_recheck=in_days(-1))
    cast.make_patient(name="Otto", next_recheck=in_days(2))
    page = signed_in.get("/").content.decode()
    places = [page.index(f'id="{key}"') for key in ("too-fast", "overdue", "due")]
    assert places == sorted(places)


def test_a_long_group_is_cut_and_shown_whole_when_asked(signed_in):
    for number in range(SHOWN_AT_ONCE + 3):
        cast.make_patient(name=f"Dog {number:02}", next_recheck=in_days(-1))
    page = signed_in.get("/").content.decode()
    assert "3 more" in page
    assert "Dog 12" not in page
    assert "Dog 12" in signed_in.get("/?all=overdue").content.decode()


def test_a_viewer_reads_what_waits_and_is_offered_no_change(client, viewer):
    cast.make_patient(name="Pepper", next_recheck=in_days(-1))
    Task.objects.create(owner=cast.make_owner(), text="ring back", due=TODAY)
    client.force_login(viewer)
    page = client.get("/").content.decode()
    assert "Pepper" in page
    assert "ring back" in page
    assert "Record visit" not in page
    assert 'name="done"' not in page


def busy_day(fed, count: int) -> None:
    for number in range(count):
        plan = fed(f"Dog {number}", goal="lose", days_ago=90, next_recheck=in_days(-1))
        weigh(plan.patient, (40, 20), (20, 21))
        HomeWeighIn.objects.create(patient=plan.patient, date=in_days(-30), weight_kg=20.5)
        cast.make_plan(plan.patient, plan.recipe_version)
        Task.objects.create(owner=plan.patient.owner, patient=plan.patient, text="ring", due=TODAY)
    Food.objects.filter(pk=plan.recipe_version.ingredients.get().food_id).update(discontinued=True)


def test_the_day_asks_the_database_as_often_for_many_dogs(
    signed_in, fed, django_assert_max_num_queries, django_assert_num_queries
):
    busy_day(fed, 2)
    with django_assert_max_num_queries(45) as few:
        signed_in.get("/")
    busy_day(fed, 9)
    with django_assert_num_queries(len(few)):
        signed_in.get("/")
