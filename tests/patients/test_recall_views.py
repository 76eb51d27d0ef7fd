"""The pages of corrections and of whom they touch."""

import pytest
from django.urls import reverse

from nutrients import own_foods
from nutrients.corrections import corrections
from nutrients.models import FoodValue
from patients.models import Recall, RecallCall
from patients.recall_services import look_into
from patients.templatetags.recalls import recalls_of
from tests.patients.recalls import chalks_calcium, issue, make_fed_plan, make_version, weaker_chalk

pytestmark = pytest.mark.django_db
LIST = reverse("patients:recall-list")
LOOK = reverse("patients:recall-look-into")
HTMX = {"HX-Request": "true"}


@pytest.fixture
def plan(practitioner):
    plan = make_fed_plan(make_version(practitioner))
    issue(plan, practitioner)
    return plan


@pytest.fixture
def recall(plan, practitioner):
    return look_into(correction=weaker_chalk(), by=practitioner)


@pytest.fixture
def call(recall):
    return recall.calls.get()


def said(call, **typed):
    return {f"call-{call.pk}-{name}": value for name, value in typed.items()}


def test_an_empty_list_says_what_belongs_there(signed_in):
    page = signed_in.get(LIST).content.decode()
    assert "No value, limit or cooking loss was corrected yet." in page


def test_the_list_says_old_new_who_and_why(signed_in, plan):
    weaker_chalk()
    page = signed_in.get(LIST).content.decode()
    assert "1 correction of values, limits and cooking losses; 1 not looked into yet." in page
    assert "Calcium in 100 g: " in page
    assert "<strong>8,000 mg</strong>" in page
    assert "misprint" in page
    assert "not on a page" in page
    assert "Who is touched?" in page


def test_a_change_on_a_page_says_by_whom(signed_in, practitioner):
    value = chalks_calcium()
    given = FoodValue(nutrient=value.nutrient, per_100g=39_000, kind="label", source="new label")
    own_foods.set_value(food=value.food, value=given, by=practitioner, reason="new label")
    page = signed_in.get(LIST).content.decode()
    assert "<td>robin</td>" in page
    assert "not on a page" not in page


def test_looking_into_one_shows_whom_it_touches(signed_in, plan):
    found = weaker_chalk()
    answer = signed_in.post(LOOK, {"kind": found.kind, "entry": found.entry}, follow=True)
    recall = Recall.objects.get()
    assert answer.redirect_chain == [(recall.get_absolute_url(), 302)]
    page = answer.content.decode()
    for words in (
        "Calcium carbonate powder was corrected on", "1 owner to call.", "Juniper", "01 555 0100", "sheet",
        "Turkey and rice", "Meets minimum", "Below minimum", "version 1, approved",
    ):  # fmt: skip
        assert words in page
    assert "1 to call" in signed_in.get(LIST).content.decode()


@pytest.mark.parametrize(
    "sent",
    [{}, {"kind": "limit", "entry": "x"}, {"kind": "food_value", "entry": "0"}, {"kind": "x", "entry": "1"}],
)
def test_a_correction_that_is_none(signed_in, sent):
    assert signed_in.post(LOOK, sent).status_code == 404


def test_a_correction_that_touches_nobody(signed_in, practitioner):
    weaker_chalk()
    recall = look_into(correction=corrections()[0], by=practitioner)
    page = signed_in.get(recall.get_absolute_url()).content.decode()
    assert "no dog is fed by an answer that changed" in page
    assert "looked into" in signed_in.get(LIST).content.decode()


def test_a_call_is_kept(signed_in, call):
    address = reverse("patients:recall-call", args=[call.pk])
    answer = signed_in.post(address, said(call, status="called", note="comes on Friday"))
    assert answer.headers["Location"] == call.recall.get_absolute_url()
    call.refresh_from_db()
    assert (call.status, call.note, call.by.username) == ("called", "comes on Friday", "robin")
    assert "every owner was told" in signed_in.get(call.recall.get_absolute_url()).content.decode()


def test_a_call_is_kept_in_place(signed_in, call):
    address = reverse("patients:recall-call", args=[call.pk])
    answer = signed_in.post(address, said(call, status="called", note="told"), headers=HTMX)
    row = answer.content.decode()
    assert "patients/_recall_call.html" in [template.name for template in answer.templates]
    assert "<html" not in row
    assert f'id="call-{call.pk}"' in row
    assert ">called<" in row
    assert "Kept." in row


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_what_cannot_be_kept_is_told_and_stays_typed(signed_in, call, headers):
    address = reverse("patients:recall-call", args=[call.pk])
    answer = signed_in.post(address, said(call, status="called", note="long " * 80), headers=headers)
    assert answer.status_code == 200
    page = answer.content.decode()
    assert "at most 300 characters" in page
    assert "long long" in page
    assert "Kept." not in page
    call.refresh_from_db()
    assert (call.status, call.note) == ("to_call", "")


def test_a_new_sheet_shows_by_itself(signed_in, call, plan, practitioner):
    sheet = issue(plan, practitioner, days_ago=0)
    page = signed_in.get(call.recall.get_absolute_url()).content.decode()
    assert "new sheet issued" in page
    assert sheet.get_absolute_url() in page
    assert "every owner was told or has a new sheet" in page


def test_today_lists_calls_and_corrections(signed_in, plan, practitioner):
    weaker_chalk()
    today = reverse("practice:today")
    page = signed_in.get(today).content.decode()
    assert "Recall calls" not in page
    assert "not looked into" in page
    look_into(correction=corrections()[0], by=practitioner)
    page = signed_in.get(today).content.decode()
    assert "Recall calls" in page
    assert "1 call to make" in page
    assert "not looked into" not in page


def test_a_viewer_reads_and_changes_nothing(client, viewer, call):
    client.force_login(viewer)
    page = client.get(call.recall.get_absolute_url()).content.decode()
    assert "to call" in page
    assert "Work it out again" not in page
    assert "<select" not in page
    assert client.post(reverse("patients:recall-call", args=[call.pk]), {}).status_code == 403
    assert client.post(LOOK, {"kind": call.recall.kind, "entry": call.recall.entry}).status_code == 403


def test_staff_may_look_into_one_and_call(client, staff, call):
    client.force_login(staff)
    sent = {"kind": call.recall.kind, "entry": call.recall.entry}
    assert client.post(LOOK, sent).status_code == 302
    address = reverse("patients:recall-call", args=[call.pk])
    client.post(address, said(call, status="called", note=""))
    assert RecallCall.objects.get().status == "called"


def test_a_page_of_calls_asks_as_often_for_many(signed_in, practitioner, django_assert_max_num_queries):
    version = make_version(practitioner)
    for number in range(12):
        issue(make_fed_plan(version, name=f"Dog {number}"), practitioner)
    recall = look_into(correction=weaker_chalk(), by=practitioner)
    with django_assert_max_num_queries(10):
        page = signed_in.get(recall.get_absolute_url()).content.decode()
    assert "12 owners to call" in page


def test_the_dogs_page_says_it_until_the_owner_was_told(signed_in, call):
    address = call.patient.get_absolute_url()
    assert "Calcium carbonate powder was corrected" in signed_in.get(address).content.decode()
    RecallCall.objects.update(status=RecallCall.Status.CALLED)
    assert "was corrected" not in signed_in.get(address).content.decode()


def test_a_sheet_is_known_not_to_hold_also_when_the_owner_was_told(call):
    assert recalls_of(call.sheet) == [call.recall]
    RecallCall.objects.update(status=RecallCall.Status.CALLED)
    assert recalls_of(call.sheet) == [call.recall]
    RecallCall.objects.all().delete()
    assert recalls_of(call.sheet) == []
