"""The pages of an owner's data, by role."""

import pytest
from django.urls import reverse

from patients.erasure_requests import ask, confirm
from patients.models import ErasureRequest, Owner, OwnerExport, Sheet
from tests import cast
from tests.patients import feeding
from tests.patients.owners_data import make_full_owner

pytestmark = pytest.mark.django_db


@pytest.fixture
def owner():
    return cast.make_owner()


@pytest.fixture
def practice():
    return feeding.make_practice(sheets_kept_years=5, sign_offs_kept_years=5, recall_calls_kept_years=0)


def data(owner) -> str:
    return reverse("patients:owner-data", args=[owner.pk])


def test_it_is_linked_from_the_owners_page(signed_in, owner):
    assert data(owner) in signed_in.get(f"/patients/owners/{owner.pk}/").content.decode()


def test_a_practitioner_hands_out_the_folder(signed_in, owner, practice):
    answer = signed_in.post(reverse("patients:owner-export", args=[owner.pk]))
    assert answer["Content-Type"] == "application/zip"
    assert answer["Content-Disposition"].startswith('attachment; filename="tilda-marrow-')
    assert b"".join(answer.streaming_content).startswith(b"PK")
    assert "Handed out so far" in signed_in.get(data(owner)).content.decode()


@pytest.mark.parametrize("role", ["viewer", "staff"])
def test_others_do_not_hand_it_out(client, owner, practice, role):
    client.force_login(cast.make_user(role))
    assert client.get(data(owner)).status_code == 200
    assert client.post(reverse("patients:owner-export", args=[owner.pk])).status_code == 403
    assert not OwnerExport.objects.exists()


def test_staff_ask_and_a_practitioner_confirms(client, staff, practitioner, owner, practice):
    client.force_login(staff)
    asked = client.post(reverse("patients:erasure-ask", args=[owner.pk]), {"reason": "Tilda wrote on 3 May"})
    assert asked.url == data(owner)
    request = ErasureRequest.objects.get()
    to_confirm = reverse("patients:erasure-confirm", args=[request.pk])
    assert to_confirm not in client.get(data(owner)).content.decode()
    assert client.post(to_confirm, {"read": "on"}).status_code == 403
    client.force_login(practitioner)
    assert to_confirm in client.get(data(owner)).content.decode()
    unread = client.post(to_confirm, {})
    assert unread.status_code == 200
    assert "Read the list, and tick this." in unread.content.decode()
    assert Owner.objects.exists()
    done = client.post(to_confirm, {"read": "on"}, follow=True).content.decode()
    assert not Owner.objects.exists()
    assert "confirmed by robin" in done
    assert "[taken out] wrote on 3 May" in done
    assert client.post(to_confirm, {"read": "on"}).status_code == 404


def test_of_an_erased_owner_the_page_says_so(signed_in, staff, practitioner, practice):
    kept = make_full_owner(practitioner)
    request = ask(owner=kept, reason="letter", by=staff, practice=practice)
    confirm(request=request, by=practitioner, practice=practice)
    page = signed_in.get(data(kept)).content.decode()
    assert "It was erased on" in page
    assert "Ask for it" not in page
    sheet = Sheet.objects.get()
    for address in (
        f"/patients/owners/{kept.pk}/",
        f"/patients/{sheet.patient_id}/",
        sheet.get_absolute_url(),
        "/",
    ):
        assert signed_in.get(address).status_code == 200, address
    assert signed_in.get(f"/patients/sheets/{sheet.pk}/pdf/?expired=1").content == sheet.pdf


def test_a_practitioner_who_asked_is_refused_in_words(signed_in, practitioner, owner, practice):
    request = ask(owner=owner, reason="letter", by=practitioner, practice=practice)
    to_confirm = reverse("patients:erasure-confirm", args=[request.pk])
    assert to_confirm not in signed_in.get(data(owner)).content.decode()
    answer = signed_in.post(to_confirm, {"read": "on"})
    assert answer.status_code == 200
    assert Owner.objects.exists()


def test_a_request_is_withdrawn(signed_in, staff, owner, practice):
    request = ask(owner=owner, reason="letter", by=staff, practice=practice)
    withdraw = reverse("patients:erasure-withdraw", args=[request.pk])
    assert "was withdrawn" in signed_in.post(withdraw, follow=True).content.decode()
    assert "open no longer" in signed_in.post(withdraw, follow=True).content.decode()
    confirmed = signed_in.post(reverse("patients:erasure-confirm", args=[request.pk]), {"read": "on"})
    assert confirmed.status_code == 200
    assert Owner.objects.exists()


def test_without_the_setting_nothing_can_be_asked(signed_in, owner):
    page = signed_in.get(data(owner)).content.decode()
    assert f"{reverse('practice:settings')}#keeping" in page
    answer = signed_in.post(reverse("patients:erasure-ask", args=[owner.pk]), {"reason": "letter"})
    assert answer.status_code == 200
    assert not ErasureRequest.objects.exists()


def test_a_reason_is_asked_for(signed_in, owner, practice):
    answer = signed_in.post(reverse("patients:erasure-ask", args=[owner.pk]), {"reason": " "})
    assert answer.status_code == 200
    assert 'id="id_reason_error"' in answer.content.decode()


def test_a_viewer_sees_and_changes_nothing(client, viewer, staff, owner, practice):
    request = ask(owner=owner, reason="letter", by=staff, practice=practice)
    client.force_login(viewer)
    page = client.get(data(owner)).content.decode()
    assert "<button" not in page.partition('id="erase"')[2].partition("</section>")[0]
    for name, pk in (
        ("erasure-ask", owner.pk),
        ("erasure-withdraw", request.pk),
        ("erasure-confirm", request.pk),
    ):
        assert client.post(reverse(f"patients:{name}", args=[pk])).status_code == 403
    assert client.post(reverse("patients:erasure-overdue")).status_code == 403


def test_the_list_tells_what_is_over_its_time(signed_in, practice):
    page = signed_in.get(reverse("patients:erasure-list")).content.decode()
    assert "Nothing that was kept is over its time." in page
    assert signed_in.post(reverse("patients:erasure-overdue")).status_code == 302
