"""Issuing a sheet, reading it, and its PDF byte for byte."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from patients import pdf
from patients.models import Sheet
from patients.services import issue_sheet
from recipes import printing
from tests.patients.feeding import TURKEY, WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def drawn(monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda record: f"%PDF {record['number']}".encode())


@pytest.fixture
def sheet(practitioner) -> Sheet:
    return issue_sheet(plan=make_whole_plan(practitioner), by=practitioner, practice=make_practice())


def issue(plan) -> str:
    return reverse("patients:sheet-issue", args=[plan.pk])


def printed(sheet) -> str:
    return reverse("patients:sheet-pdf", args=[sheet.pk])


def stored_with(sheet, **differences) -> Sheet:
    """Another row like the sheet's; a row that stands cannot be changed."""
    fields = ("plan", "patient", "issued_by", "expires_on", "record", "pdf", "sha256")
    same = {name: getattr(sheet, name) for name in fields}
    return Sheet.objects.create(number=2, **(same | differences))


def test_a_sheet_is_issued_and_shown(signed_in, practitioner):
    make_practice()
    answer = signed_in.post(issue(make_whole_plan(practitioner)), follow=True)
    assert answer.redirect_chain[0][0].startswith(Sheet.objects.get().get_absolute_url())
    assert "Sheet 1 was issued." in answer.content.decode()


def test_the_thermometer_comes_before_the_pot_leaves_the_heat_and_the_powders_after(signed_in, sheet):
    page = signed_in.get(sheet.get_absolute_url()).content.decode()
    places = [
        page.index(words) for words in ("Before it leaves the heat", "Let it cool until", "Stir in what")
    ]
    assert places == sorted(places)
    assert page.count("Stir in what belongs in the cooled batch") == 1


def test_only_a_practitioner_issues(client, staff, practitioner):
    plan = make_whole_plan(practitioner)
    client.force_login(staff)
    assert client.post(issue(plan)).status_code == 403
    assert not Sheet.objects.exists()


def test_issuing_is_asked_by_post(signed_in, practitioner):
    assert signed_in.get(issue(make_whole_plan(practitioner))).status_code == 405


def test_what_is_open_must_be_ticked(signed_in, practitioner):
    amounts = {name: grams for name, grams in WHOLE_RECIPE.items() if not name.startswith("Iron")}
    plan = make_whole_plan(practitioner, amounts)
    answer = signed_in.post(issue(plan))
    assert answer.status_code == 200
    assert "acknowledged" in answer.context["form"].errors
    assert "Iron is below the minimum" in answer.content.decode()
    assert not Sheet.objects.exists()
    signed_in.post(issue(plan), {"acknowledged": "on"})
    assert Sheet.objects.get().record["accepted"][0].startswith("Iron is below")


def test_a_sign_off_is_asked_for_and_recorded(signed_in, practitioner):
    plan = make_whole_plan(practitioner, dog={"veterinarian": "Dr M. Sorrel", "clinic": "Sallow Bridge"})
    plan.patient.conditions.create(name="diabetes mellitus")
    assert "Dr M. Sorrel" in signed_in.get(plan.get_absolute_url()).content.decode()
    typed = {
        "acknowledged": "on",
        "veterinarian": "Dr I. Harebell",
        "clinic": "",
        "signed_off_on": "2026-01-05",
    }
    answer = signed_in.post(issue(plan), typed)
    assert list(answer.context["form"].errors) == ["clinic"]
    assert 'value="Dr I. Harebell"' in answer.content.decode()
    signed_in.post(issue(plan), typed | {"clinic": "Nether Sallow"})
    agreed = Sheet.objects.get().record["sign_off"]
    assert (agreed["veterinarian"], agreed["clinic"], agreed["on"]) == (
        "Dr I. Harebell",
        "Nether Sallow",
        "2026-01-05",
    )


def test_a_sign_off_in_the_future_is_refused(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    plan.patient.conditions.create(name="diabetes mellitus")
    tomorrow = timezone.localdate() + timedelta(days=1)
    typed = {"acknowledged": "on", "veterinarian": "V", "clinic": "C", "signed_off_on": tomorrow.isoformat()}
    assert "signed_off_on" in signed_in.post(issue(plan), typed).context["form"].errors


def test_a_refused_plan_says_why(signed_in, practitioner):
    plan = make_whole_plan(practitioner)
    type(plan.recipe_version).objects.update(approved_at=None)
    answer = signed_in.post(issue(plan), {"acknowledged": "on"})
    assert answer.status_code == 200
    assert "not approved" in answer.content.decode()
    assert not Sheet.objects.exists()


def test_missing_libraries_are_told(signed_in, practitioner, monkeypatch):
    def missing(record):
        raise printing.PdfUnavailable("The PDF needs Pango, which is not installed on this computer.")

    monkeypatch.setattr(pdf, "render", missing)
    answer = signed_in.post(issue(make_whole_plan(practitioner)))
    assert "needs Pango" in answer.content.decode()
    assert not Sheet.objects.exists()


def test_the_page_shows_the_record_not_the_recipe(signed_in, sheet):
    sheet.plan.recipe_version.ingredients.all().delete()
    type(sheet.patient).objects.update(name="Another")
    page = signed_in.get(sheet.get_absolute_url()).content.decode()
    assert TURKEY in page
    assert "Juniper, take-home sheet 1" in page
    assert sheet.sha256 in page
    assert "expired on" not in page


def test_the_pdf_is_the_stored_one(signed_in, sheet):
    answer = signed_in.get(printed(sheet))
    assert answer.content == b"%PDF 1"
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'attachment; filename="juniper-sheet-1.pdf"'


def test_an_expired_sheet_says_so_before_it_is_handed_out(signed_in, sheet):
    sheet = stored_with(sheet, expires_on=timezone.localdate() - timedelta(days=1))
    assert signed_in.get(printed(sheet)).url == sheet.get_absolute_url()
    page = signed_in.get(sheet.get_absolute_url()).content.decode()
    assert "This sheet expired on" in page
    assert f"{printed(sheet)}?expired=1" in page
    assert signed_in.get(printed(sheet) + "?expired=1").content == b"%PDF 1"


def test_a_sheet_is_good_on_its_last_day(sheet):
    sheet.expires_on = timezone.localdate()
    assert not sheet.expired
    sheet.expires_on = date(2000, 1, 1)
    assert sheet.expired


def test_altered_bytes_are_not_handed_out(signed_in, sheet):
    altered = stored_with(sheet, pdf=b"%PDF 9")
    answer = signed_in.get(printed(altered), follow=True)
    assert answer["Content-Type"].startswith("text/html")
    assert "not the one that was issued" in answer.content.decode()


def test_a_viewer_reads_and_downloads(client, viewer, sheet):
    client.force_login(viewer)
    assert client.get(sheet.get_absolute_url()).status_code == 200
    assert client.get(printed(sheet)).status_code == 200
