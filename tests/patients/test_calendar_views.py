"""The secret addresses of the calendar: made, shown once, asked for without a sign-in, withdrawn."""

import hashlib
import re
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar

from patients.models import CalendarAddress
from practice.models import PracticeProfile
from tests import cast

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()
PAGE = "/patients/calendar/"


def make_address(client) -> str:
    """The path that the page shows."""
    page = client.post(PAGE).content.decode()
    return re.search(r'value="http://testserver(/patients/calendar/[^"]+)"', page)[1]


def entries(path: str) -> dict:
    calendar = Calendar.from_ical(Client().get(path).content)
    return {str(event["summary"]): event for event in calendar.walk("VEVENT")}


def test_the_address_is_shown_once_and_only_its_checksum_is_kept(signed_in):
    path = make_address(signed_in)
    secret = path.split("/")[3]
    assert len(secret) >= 43  # 32 random bytes in base 64
    kept = CalendarAddress.objects.values().get()
    assert kept["sha256"] == hashlib.sha256(secret.encode()).hexdigest()
    assert secret not in str(kept)
    page = signed_in.get(PAGE).content.decode()
    assert secret not in page
    assert "1 address in use" in page


def test_no_two_addresses_are_alike(signed_in):
    assert make_address(signed_in) != make_address(signed_in)


def test_a_calendar_program_needs_no_sign_in(signed_in):
    PracticeProfile.objects.create(name="Quillmarsh Canine Nutrition")
    dog = cast.make_patient(next_recheck=TODAY + timedelta(days=9), medical_notes="pancreatitis")
    cast.make_patient(name="Moss", next_recheck=None)
    cast.make_patient(name="Tansy", next_recheck=TODAY, status="deceased")
    path = make_address(signed_in)
    answer = Client().get(path)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert b"pancreatitis" not in answer.content
    assert dog.breed.encode() not in answer.content
    [(summary, event)] = entries(path).items()
    assert summary == "Re-check: Juniper (Tilda Marrow)"
    assert event.decoded("dtstart") == TODAY + timedelta(days=9)


def test_a_moved_recheck_moves_its_entry(signed_in):
    dog = cast.make_patient(next_recheck=TODAY + timedelta(days=9))
    path = make_address(signed_in)
    [before] = entries(path).values()
    dog.next_recheck = TODAY + timedelta(days=16)
    dog.save()
    [after] = entries(path).values()
    assert before["uid"] == after["uid"]
    assert after.decoded("dtstart") == TODAY + timedelta(days=16)
    assert after.decoded("dtstamp") >= before.decoded("dtstamp")


def test_what_has_not_changed_is_the_same_file(signed_in):
    cast.make_patient(next_recheck=TODAY)
    path = make_address(signed_in)
    assert Client().get(path).content == Client().get(path).content


def test_nothing_on_the_way_keeps_the_file(signed_in):
    answer = Client().get(make_address(signed_in))
    kept = answer["Cache-Control"]
    assert "no-store" in kept
    assert "private" in kept
    assert "public" not in kept
    assert "no-store" in signed_in.post(PAGE)["Cache-Control"]


def test_head_answers_as_get_without_the_file(signed_in):
    path = make_address(signed_in)
    head, whole = Client().head(path), Client().get(path)
    assert head.status_code == 200
    assert head.content == b""
    assert head["Content-Type"] == whole["Content-Type"]
    assert head["Content-Length"] == whole["Content-Length"]


def test_a_calendar_is_only_read(signed_in):
    path = make_address(signed_in)
    for method in ("post", "put", "delete"):
        assert getattr(Client(), method)(path).status_code == 405


def test_an_unknown_address_is_not_found(signed_in):
    make_address(signed_in)
    checksum = CalendarAddress.objects.get().sha256
    for secret in ("x", "a" * 43, checksum):
        assert Client().get(reverse("patients:calendar-file", args=[secret])).status_code == 404


def test_a_withdrawn_address_is_not_found(signed_in):
    first, second = make_address(signed_in), make_address(signed_in)
    older = CalendarAddress.objects.order_by("pk").first()
    signed_in.post(reverse("patients:calendar-withdraw", args=[older.pk]))
    assert Client().get(first).status_code == 404
    assert Client().get(second).status_code == 200
    assert "1 address in use" in signed_in.get(PAGE).content.decode()


@pytest.mark.parametrize("lost", ["person", "role"])
def test_who_may_no_longer_see_the_dogs_has_no_calendar(signed_in, practitioner, lost):
    path = make_address(signed_in)
    if lost == "person":
        practitioner.is_active = False
        practitioner.save()
    else:
        practitioner.groups.clear()
    assert Client().get(path).status_code == 404


def test_a_person_sees_and_withdraws_only_their_own(signed_in, client, staff):
    path = make_address(signed_in)
    client.force_login(staff)
    assert "no address yet" in client.get(PAGE).content.decode()
    address = CalendarAddress.objects.get()
    assert client.post(reverse("patients:calendar-withdraw", args=[address.pk])).status_code == 404
    assert Client().get(path).status_code == 200


def test_when_it_was_asked_for_last_is_kept(signed_in):
    path = make_address(signed_in)
    assert "not asked for yet" in signed_in.get(PAGE).content.decode()
    Client().get(path)
    assert "last asked for on" in signed_in.get(PAGE).content.decode()


def test_the_file_takes_as_many_queries_for_many_dogs(signed_in, django_assert_max_num_queries):
    for number in range(6):
        cast.make_patient(name=f"Dog {number}", next_recheck=TODAY)
    path = make_address(signed_in)
    with django_assert_max_num_queries(8):
        Client().get(path)
