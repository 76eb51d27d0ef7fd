"""A take-home sheet in the language of its owner."""

import io

import pikepdf
import pypdf
import pytest
from django.urls import reverse

from nutrients.templatetags.amounts import amount, figures
from patients.owner_language import told_in
from patients.pdf import render_card
from patients.services import issue_sheet
from patients.templatetags.sheets import day
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


def issued(by, language: str):
    plan = make_whole_plan(by, batch_days=7, frozen=True)
    owner = plan.patient.owner
    owner.language = language
    owner.full_clean()
    owner.save()
    return issue_sheet(plan=plan, by=by, practice=make_practice(), acknowledged=True)


def text_of(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


@pytest.mark.parametrize(
    ("language", "heading"),
    [
        ("en", "Watch, and call the veterinarian"),
        ("de", "Beobachten und die Tierarztpraxis anrufen"),
        ("es", "Observe y llame al veterinario"),
    ],
)
def test_the_sheet_is_issued_in_the_owners_language_and_says_which_that_is(practitioner, language, heading):
    sheet = issued(practitioner, language)
    assert sheet.record["language"] == language
    assert heading in text_of(bytes(sheet.pdf))
    with pikepdf.open(io.BytesIO(bytes(sheet.pdf))) as document:
        assert str(document.Root.Lang) == language


def test_a_card_keeps_the_records_language_whatever_the_owner_speaks_later(practitioner):
    sheet = issued(practitioner, "de")
    owner = sheet.patient.owner
    owner.language = "es"
    owner.save()
    assert "Aufbewahren und Aufwärmen" in text_of(render_card(sheet.record, "fridge"))


def test_a_record_from_before_there_were_languages_is_english(practitioner):
    record = issued(practitioner, "en").record
    del record["language"]
    assert "Keep and warm" in text_of(render_card(record, "fridge"))


def test_the_page_shows_the_sheet_in_its_language_and_everything_else_in_english(signed_in, practitioner):
    sheet = issued(practitioner, "de")
    page = signed_in.get(reverse("patients:sheet-detail", args=[sheet.pk])).content.decode()
    assert 'lang="de"' in page
    assert "Beobachten und die Tierarztpraxis anrufen" in page
    assert "Download the PDF" in page


def test_numbers_and_days_of_a_sheet_have_the_languages_own_form():

    with told_in("de"):
        said = (amount(1234.5, 1), figures(7.0, 3), figures(0.25, 3), day("2026-03-01"))
    assert said == ("1.234,5", "7", "0,25", "1. März 2026")  # common practice, no source
