"""A dog that is archived, has died or goes to another owner."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from patients.calendar_services import rechecks_file
from patients.leaving import come_back, give_over, leave
from patients.letter_queries import letter_record
from patients.models import (
    Contact,
    Owner,
    Patient,
    Plan,
    Recall,
    RecallCall,
    Task,
    Visit,
)
from patients.newer_versions import plans_behind
from patients.recheck_services import record_recheck
from patients.sentences import introduce, left_sentence
from patients.services import issue_sheet
from patients.uses import in_plans
from practice.models import PracticeProfile
from practice.today.page import today
from tests import cast

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()
YESTERDAY = TODAY - timedelta(days=1)
LEFT = ["archived", "deceased"]


@pytest.fixture
def juniper():
    dog = cast.make_patient(next_recheck=TODAY + timedelta(days=3))
    cast.make_visit(dog, date=TODAY - timedelta(days=10))
    return dog


@pytest.fixture
def fed(juniper, practitioner) -> Plan:
    version = cast.make_recipe(approved_by=practitioner)
    return cast.make_plan(juniper, version, state=Plan.State.ISSUED)


def gone(dog, status, by, **more) -> Patient:
    return leave(patient=dog, status=status, on=YESTERDAY, reason="as told", by=by, **more)


@pytest.mark.parametrize("status", LEFT)
def test_leaving_is_kept_with_day_reason_and_person(juniper, practitioner, status):
    dog = gone(juniper, status, practitioner)
    assert (dog.status, dog.left_on, dog.next_recheck) == (status, YESTERDAY, None)
    assert dog.history.first().history_change_reason == "as told"
    assert dog.history.last().next_recheck == TODAY + timedelta(days=3)


@pytest.mark.parametrize("status", LEFT)
def test_no_plan_is_made_or_changed_and_no_sheet_issued(juniper, fed, practitioner, status):
    draft = cast.make_plan(juniper, fed.recipe_version)
    dog = gone(juniper, status, practitioner)
    says = "has died" if status == "deceased" else "bring the record back first"
    for plan in (Plan.objects.get(pk=draft.pk), Plan(patient=dog, recipe_version=fed.recipe_version)):
        with pytest.raises(ValidationError, match=says):
            plan.full_clean()
    with pytest.raises(ValidationError, match=says):
        issue_sheet(plan=draft, by=practitioner, practice=PracticeProfile(), acknowledged=True)
    with pytest.raises(ValidationError, match=says):
        record_recheck(visit=Visit(patient=dog, weight_kg=18, bcs=5), diet_items=[], next_recheck=None)


@pytest.mark.parametrize("status", LEFT)
@pytest.mark.parametrize(
    ("address", "of_plan"),
    [("plan-new", False), ("plan-edit", True), ("visit-new", False), ("home-weigh-ins-new", False)],
)
def test_the_pages_lead_back_with_a_sentence(signed_in, juniper, fed, practitioner, status, address, of_plan):
    gone(juniper, status, practitioner)
    url = reverse(f"patients:{address}", args=[fed.pk if of_plan else juniper.pk])
    for answer in (signed_in.get(url, follow=True), signed_in.post(url, follow=True)):
        assert answer.redirect_chain == [(juniper.get_absolute_url(), 302)]
        assert "Juniper has died" in answer.text or "Juniper is not in our care" in answer.text


@pytest.mark.parametrize("status", LEFT)
def test_what_cannot_be_done_is_not_offered(signed_in, juniper, fed, practitioner, status):
    offered = [
        reverse("patients:plan-new", args=[juniper.pk]),
        reverse("patients:visit-new", args=[juniper.pk]),
        reverse("patients:home-weigh-ins-new", args=[juniper.pk]),
        reverse("patients:plan-edit", args=[fed.pk]),
        reverse("patients:sheet-issue", args=[fed.pk]),
    ]
    pages = [juniper.get_absolute_url(), fed.get_absolute_url()]
    pages.append(reverse("patients:visit-detail", args=[juniper.visits.get().pk]))
    pages.append(reverse("patients:energy-page", args=[juniper.pk]))

    def links() -> str:
        return "".join(signed_in.get(page).text for page in pages)

    assert all(f'"{url}' in links() for url in offered[:4])
    gone(juniper, status, practitioner)
    assert not [url for url in offered if f'"{url}' in links()]


@pytest.mark.parametrize("status", LEFT)
def test_nothing_reminds_of_it(juniper, fed, practitioner, status):
    food = fed.recipe_version.ingredients.get().food
    newer = cast.make_recipe("next", approved_by=practitioner)
    type(newer).objects.filter(pk=newer.pk).update(recipe=fed.recipe_version.recipe, number=2)
    assert in_plans(food)
    assert plans_behind()
    assert b"Juniper" in rechecks_file("")
    gone(juniper, status, practitioner)
    assert not in_plans(food)
    assert not plans_behind()
    assert b"Juniper" not in rechecks_file("")
    page = today(TODAY)
    assert not [
        row for group in (*page.to_call, *page.to_look_at) for row in group.rows if row.name == "Juniper"
    ]


def test_tasks_about_the_dog_are_closed_where_asked_and_others_stay(juniper, practitioner):
    owner = juniper.owner
    moot, due = (
        Task.objects.create(owner=owner, patient=juniper, text=text, due=YESTERDAY)
        for text in ("ask how it eats", "fetch the scale")
    )
    gone(juniper, "deceased", practitioner, closed_tasks=[moot])
    moot.refresh_from_db()
    due.refresh_from_db()
    assert (moot.done_by, due.done_at) == (practitioner, None)


@pytest.mark.parametrize(("status", "good_for", "to_make"), [
    ("active", -1, True), ("archived", 5, True), ("archived", -1, False), ("deceased", 5, False),
])  # fmt: skip
def test_a_correction_is_told_as_long_as_the_dog_may_eat_by_its_sheet(
    juniper, fed, practitioner, status, good_for, to_make
):
    now = timezone.now()
    recall = Recall.objects.create(
        kind="limit", entry=1, entries=[], what="Chalk", before={}, after={}, corrected_at=now, touched={},
        worked_out_at=now,
    )  # fmt: skip
    sheet = fed.sheets.create(
        patient=juniper, number=1, issued_by=practitioner, expires_on=TODAY + timedelta(days=good_for),
        record={}, pdf=b"", issued_at=now - timedelta(days=4),
    )  # fmt: skip
    RecallCall.objects.create(recall=recall, patient=juniper, sheet=sheet)
    Patient.objects.update(status=status)
    assert RecallCall.objects.to_make().exists() == to_make
    assert RecallCall.objects.with_new_sheet().get().is_waiting == to_make


@pytest.mark.parametrize(("status", "told"), [
    ("active", "to call"), ("archived", "not fed by us now"), ("deceased", "has died: nobody is called"),
])  # fmt: skip
def test_the_page_of_a_recall_says_who_is_not_called_any_more(signed_in, juniper, status, told):
    now = timezone.now()
    recall = Recall.objects.create(
        kind="limit", entry=1, entries=[], what="Chalk", before={}, after={}, corrected_at=now,
        touched={"recipes": [], "plans": [], "sheets": []}, worked_out_at=now,
    )  # fmt: skip
    RecallCall.objects.create(recall=recall, patient=juniper)
    Patient.objects.update(status=status)
    assert f">{told}</span>" in signed_in.get(recall.get_absolute_url()).text


def test_a_dog_that_died_is_spoken_of_kindly_and_in_the_past(juniper, fed, practitioner):
    juniper.born = date(2019, 5, 4)
    juniper.save()
    juniper.conditions.create(name="pancreatitis")
    dog = leave(patient=juniper, status="deceased", on=TODAY, by=practitioner)
    when = f"{TODAY.day} {TODAY:%B %Y}"
    assert left_sentence(dog).startswith(f"Juniper, a neutered hound cross, died on {when}, aged ")
    assert introduce(dog, TODAY, dog.visits.get(), fed).endswith("Last seen at 18.4 kg, BCS 5.")
    letter = letter_record(dog, by=practitioner, practice=PracticeProfile())
    assert letter["left"] == left_sentence(dog)
    assert letter["plan"]["state"] == "as it was fed last"
    assert (letter["next_recheck"], letter["to_agree"], letter["stops"], letter["cautions"]) == (
        None,
        [],
        [],
        [],
    )


def test_the_letter_about_it_asks_and_books_nothing(signed_in, juniper, practitioner):
    leave(patient=juniper, status="deceased", on=TODAY, by=practitioner)
    page = signed_in.get(reverse("patients:letter", args=[juniper.pk])).text
    assert "Next re-check" not in page
    assert "sign-off</h2>" not in page
    assert "There was no plan." in page


@pytest.mark.parametrize("status", LEFT)
def test_coming_back(juniper, fed, practitioner, status):
    dog = come_back(
        patient=gone(juniper, status, practitioner),
        reason="by mistake",
        next_recheck=TODAY + timedelta(days=9),
    )
    assert dog.is_fed
    assert (dog.left_on, dog.next_recheck) == (None, TODAY + timedelta(days=9))
    Plan.objects.get(pk=fed.pk).full_clean()
    assert [past.status for past in dog.history.all()] == ["active", status, "active"]


def test_a_death_is_noted_once_and_nothing_leaves_after_it(juniper, practitioner):
    gone(juniper, "deceased", practitioner)
    with pytest.raises(ValidationError, match="has died"):
        gone(juniper, "archived", practitioner)


def wrong(page, field, says):
    assert page.status_code == 200
    assert says in " ".join(page.context["form"].errors[field])


@pytest.mark.parametrize(("address", "typed", "field", "says"), [
    ("patient-deceased", {"on": ""}, "on", "required"),
    ("patient-deceased", {"on": TODAY + timedelta(days=1)}, "on", "future"),
    ("patient-deceased", {"on": TODAY - timedelta(days=11)}, "on", "still seen"),
    ("patient-archive", {"on": YESTERDAY, "reason": ""}, "reason", "required"),
    ("patient-archive", {"on": date(1999, 1, 1), "reason": "x"}, "on", "was born"),
])  # fmt: skip
def test_bad_days_are_told_beside_their_field(signed_in, juniper, address, typed, field, says):
    wrong(signed_in.post(reverse(f"patients:{address}", args=[juniper.pk]), typed), field, says)
    assert Patient.objects.get().is_fed


def test_the_day_of_a_death_is_asked_never_assumed(signed_in, juniper):
    page = signed_in.get(reverse("patients:patient-deceased", args=[juniper.pk]))
    assert page.context["form"]["on"].value() is None
    assert "We are sorry." in page.text


def test_through_the_pages(signed_in, juniper):
    task = Task.objects.create(owner=juniper.owner, patient=juniper, text="ask how it eats")
    typed = {"on": YESTERDAY, "reason": "moved away", "closed_tasks": [task.pk]}
    page = signed_in.post(reverse("patients:patient-archive", args=[juniper.pk]), typed, follow=True)
    assert "Juniper was archived." in page.text
    assert "Bring the record back" in page.text
    assert Task.objects.get().done
    signed_in.post(reverse("patients:patient-come-back", args=[juniper.pk]), {"reason": "moved back"})
    dog = Patient.objects.get()
    assert dog.is_fed
    assert (dog.history.first().history_change_reason, dog.history.first().history_user.username) == (
        "moved back", "robin",
    )  # fmt: skip


class TestAnotherOwner:
    def test_the_record_goes_along_and_what_was_said_stays(self, juniper, fed, practitioner):
        before = juniper.owner
        contact = Contact.objects.create(owner=before, patient=juniper, text="gives Juniper away")
        task = Task.objects.create(owner=before, patient=juniper, text="send the bill")
        dog = give_over(patient=juniper, to=cast.make_owner("Ansel Rye"), on=YESTERDAY, reason="rehomed")
        assert dog.owner.name == "Ansel Rye"
        assert dog.visits.count() == 1
        assert list(dog.plans.all()) == [fed]
        contact.refresh_from_db()
        task.refresh_from_db()
        assert (contact.owner, task.owner) == (before, before)
        when = f"{YESTERDAY.day} {YESTERDAY:%B %Y}"
        assert dog.history.first().history_change_reason == f"{when}: rehomed"

    def test_not_to_the_same_owner(self, juniper):
        with pytest.raises(ValidationError, match="belongs to Tilda Marrow already"):
            give_over(patient=juniper, to=juniper.owner, on=TODAY, reason="rehomed")

    def test_to_an_owner_on_file_who_is_looked_for(self, signed_in, juniper):
        ansel, url = cast.make_owner("Ansel Rye"), reverse("patients:patient-give-over", args=[juniper.pk])
        assert f'href="?to={ansel.pk}"' in signed_in.get(url, {"q": "ansel"}).text
        page = signed_in.post(f"{url}?to={ansel.pk}", {"on": YESTERDAY, "reason": "rehomed"}, follow=True)
        assert "Juniper belongs to Ansel Rye now." in page.text
        assert "Tilda Marrow" in page.text
        assert "Juniper" in signed_in.get(reverse("patients:owner-detail", args=[cast_owner().pk])).text

    def test_to_a_new_owner(self, signed_in, juniper):
        url = reverse("patients:patient-give-over", args=[juniper.pk])
        typed = {
            "on": YESTERDAY,
            "reason": "rehomed",
            "owner-name": "Bo Fennel",
            "owner-phone": "01 555 0188",
        }
        page = signed_in.post(url, typed | {"owner-email": "not one"})
        assert page.status_code == 200
        assert 'value="Bo Fennel"' in page.text
        signed_in.post(url, typed)
        assert Patient.objects.get().owner == Owner.objects.get(name="Bo Fennel")

    def test_without_an_owner_nothing_is_given(self, signed_in, juniper):
        url = reverse("patients:patient-give-over", args=[juniper.pk])
        wrong_page = signed_in.post(url, {"on": YESTERDAY, "reason": "rehomed"})
        assert wrong_page.context["owner_form"].errors["name"]
        assert Patient.objects.get().owner.name == "Tilda Marrow"


def cast_owner() -> Owner:
    return Owner.objects.get(name="Tilda Marrow")
