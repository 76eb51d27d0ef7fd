"""A sheet is issued anew, withdrawn, and sent as a draft, through the pages."""

from email import message_from_bytes, policy

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from patients import pdf
from patients.models import Plan, Sheet, SheetWithdrawal, Task
from patients.services import draft_of, issue_sheet
from patients.watch_queries import expired_sheets
from patients.withdrawing import withdraw
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def drawn(monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda record: f"%PDF {record['number']}".encode())


@pytest.fixture
def sheet(practitioner) -> Sheet:
    return issue_sheet(plan=make_whole_plan(practitioner), by=practitioner, practice=make_practice())


def address(name: str, sheet) -> str:
    return reverse(f"patients:sheet-{name}", args=[sheet.pk])


def test_a_new_sheet_asks_why_and_tells_what_has_changed(signed_in, sheet):
    plan = draft_of(Plan.objects.get())
    plan.kcal_per_day = 700
    plan.save()
    url = reverse("patients:sheet-issue", args=[plan.pk])
    answer = signed_in.post(url, {"reason": ""})
    assert (answer.status_code, "Say why a new sheet is issued" in answer.content.decode()) == (200, True)
    answer = signed_in.post(url, {"reason": "Juniper has lost weight"}, follow=True)
    html = answer.content.decode()
    assert "In place of sheet 1: what has changed" in html
    assert "Juniper has lost weight" in html
    assert "Energy a day: 700 kcal. It was" in html


def test_the_first_sheet_asks_for_no_reason(signed_in, practitioner):
    make_practice()
    html = signed_in.get(make_whole_plan(practitioner).get_absolute_url()).content.decode()
    assert "Why a new sheet" not in html


def test_a_withdrawn_sheet_is_marked_everywhere_and_the_owner_is_told(signed_in, sheet):
    answer = signed_in.post(address("withdraw", sheet), {"reason": "wrong iodine"}, follow=True)
    html = answer.content.decode()
    assert "This sheet was withdrawn on" in html
    assert "wrong iodine" in html
    assert "Download the PDF" not in html
    assert "Withdraw this sheet" not in html
    [task] = Task.objects.all()
    assert task.text == "Tell Tilda Marrow that Juniper's sheet 1 must not be used any more"
    assert task.due == timezone.localdate()
    today = reverse("practice:today")
    for url in (sheet.plan.get_absolute_url(), sheet.patient.get_absolute_url(), today):
        assert '<span class="tag never">withdrawn</span>' in signed_in.get(url).content.decode()
    [plan] = expired_sheets(timezone.localdate())
    assert plan.withdrawn_on is not None
    assert "the sheet was withdrawn on" in signed_in.get(today).content.decode()
    listed = signed_in.get(reverse("patients:patient-list"), {"waits": "sheet"}).content.decode()
    assert "Juniper" in listed


def test_its_pdf_is_for_the_file_only_and_its_cards_and_letter_are_gone(signed_in, sheet, practitioner):
    withdraw(sheet=sheet, reason="wrong", by=practitioner)
    assert signed_in.get(address("pdf", sheet)).status_code == 302
    assert signed_in.get(address("pdf", sheet) + "?expired=1").content == b"%PDF 1"
    assert signed_in.get(address("letter", sheet)).status_code == 302
    assert signed_in.get(reverse("patients:card-pdf", args=[sheet.pk, "fridge"])).status_code == 302


def test_a_sheet_is_withdrawn_once_and_with_a_reason(signed_in, sheet, practitioner):
    answer = signed_in.post(address("withdraw", sheet), {"reason": " "})
    assert (answer.status_code, "Say why" in answer.content.decode()) == (200, True)
    assert not SheetWithdrawal.objects.exists()
    withdraw(sheet=sheet, reason="wrong", by=practitioner)
    with pytest.raises(ValidationError, match="withdrawn already"):
        withdraw(sheet=sheet, reason="wrong again", by=practitioner)
    assert Task.objects.count() == 1


def test_only_a_practitioner_withdraws(client, staff, sheet):
    client.force_login(staff)
    assert client.get(address("withdraw", sheet)).status_code == 403
    assert "Withdraw this sheet" not in client.get(sheet.get_absolute_url()).content.decode()


def test_the_letter_is_a_file_with_the_very_pdf(signed_in, sheet):
    sheet.patient.owner.email = "tilda@example.org"
    sheet.patient.owner.save()
    answer = signed_in.get(address("letter", sheet))
    assert answer["Content-Disposition"] == 'attachment; filename="juniper-sheet-1.eml"'
    message = message_from_bytes(answer.content, policy=policy.default)
    [attached] = message.iter_attachments()
    assert (message["To"], attached.get_content()) == ("tilda@example.org", b"%PDF 1")
