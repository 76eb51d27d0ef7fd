"""A take-home sheet in the language of its owner."""

import io

import pikepdf
import pypdf
import pytest
from django.urls import reverse

from nutrients.templatetags.amounts import amount, figures
from patients.models import Owner, Plan, Sheet
from patients.owner_language import told_in
from patients.pdf import render_card
from patients.services import issue_sheet
from patients.templatetags.sheets import day
from tests.cast import make_patient, make_plan, make_visit
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


def issued(by, language: str, units: str = "metric"):
    plan = make_whole_plan(by, batch_days=7, frozen=True)
    owner = plan.patient.owner
    owner.language, owner.units = language, units
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
    del record["language"], record["units"], record["in_english"]
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


def test_ounces_and_fahrenheit_come_first_for_an_owner_who_uses_them(practitioner):
    sheet = issued(practitioner, "en", "us")
    text = text_of(bytes(sheet.pdf))
    grams = sheet.record["feeding"]["meal_g"]
    assert sheet.record["units"] == "us"
    left = grams / 28.34952 - 16  # NIST SP 811: 1 oz = 28.34952 g; 16 oz are a pound
    assert f"1 lb {left:.1f} oz ({grams} g) at each meal" in text
    assert "165 °F (74 °C)" in text
    assert "40.6 lb" in text  # 18.4 / 0.4535924
    powder = next(line for moment in sheet.record["supplements"] for line in moment["doses"])
    assert powder["amount"].endswith(" g")


def test_a_step_that_nobody_translated_stays_and_the_sheet_says_so(practitioner):
    sheet = issued(practitioner, "de")  # its recipe is invented by this test: no catalogue has its title
    assert sheet.record["in_english"].startswith("Einige Namen und Kochschritte")
    assert sheet.record["in_english"] in text_of(bytes(sheet.pdf))


def test_an_english_sheet_has_nothing_to_say_of_it(practitioner):
    assert issued(practitioner, "en").record["in_english"] == ""


@pytest.fixture
def owner_page(signed_in):
    owner = make_patient().owner
    return owner, reverse("patients:owner-edit", args=[owner.pk])


def test_the_owners_form_asks_the_language_and_the_units(signed_in, owner_page):
    owner, page = owner_page
    signed_in.post(page, {"name": owner.name, "language": "es", "units": "us"})
    owner.refresh_from_db()
    assert (owner.language, owner.units) == ("es", "us")
    shown = signed_in.get(reverse("patients:owner-detail", args=[owner.pk])).text
    assert "Take-home sheets: in Español, with ounces, pounds, °F." in " ".join(shown.split())


def test_a_form_without_them_changes_neither_and_a_wrong_one_is_told(signed_in, owner_page):
    owner, page = owner_page
    Owner.objects.filter(pk=owner.pk).update(language="de", units="us")
    signed_in.post(page, {"name": owner.name})
    owner.refresh_from_db()
    assert (owner.language, owner.units) == ("de", "us")
    answer = signed_in.post(page, {"name": owner.name, "language": "tlh", "units": "stone"})
    assert (answer.status_code, "stone is not one of the available choices" in answer.text) == (200, True)


def test_a_preview_is_in_the_owners_words_and_nothing_is_kept(signed_in, practitioner):
    make_practice()
    plan = make_whole_plan(practitioner, batch_days=7, frozen=True)
    Owner.objects.filter(pk=plan.patient.owner_id).update(language="de")
    assert "The sheet will be in <strong>Deutsch</strong>" in signed_in.get(plan.get_absolute_url()).text
    answer = signed_in.get(reverse("patients:sheet-preview", args=[plan.pk]))
    assert "Eine Vorschau. Dieses Blatt ist nicht ausgestellt" in text_of(answer.content)
    plan.refresh_from_db()
    assert (plan.state, Sheet.objects.count()) == (Plan.State.DRAFT, 0)


def test_a_preview_that_could_not_be_issued_says_why(signed_in, practitioner):
    make_practice()
    plan = make_whole_plan(practitioner, batch_days=7)  # three days past the fridge, and not frozen
    answer = signed_in.get(reverse("patients:sheet-preview", args=[plan.pk]), follow=True)
    assert "Cooked food keeps 4 days in the fridge" in answer.text


def test_the_paper_of_a_shared_pot_is_in_the_first_owners_words(signed_in, practitioner):
    make_practice()
    first = make_whole_plan(practitioner, batch_days=3)
    other = make_patient(first.patient.owner, name="Sorrel")
    make_visit(other)
    second = make_plan(other, first.recipe_version, batch_days=3)
    Owner.objects.filter(pk=first.patient.owner_id).update(language="es", units="us")
    answer = signed_in.get(reverse("patients:pot-pdf", args=[first.pk]), {"with": second.pk})
    text = text_of(answer.content)
    assert f"Una olla para {first.patient.name} y Sorrel" in text
    assert " oz (" in text
