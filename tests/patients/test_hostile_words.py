"""Names and notes with HTML, emoji, right-to-left script or no blanks: the same on every page and PDF."""

import re

import pypdfium2
import pytest
from django.urls import reverse

from patients.models import Avoid, Condition, Medicine
from patients.services import issue_sheet
from tests.patients.feeding import make_practice, make_whole_plan

pytestmark = pytest.mark.django_db
NAME = '<b>Zoë</b> 🐕 שלום "&amp;" ' + "W" * 50
OWNER = "مريم <i>O</i> 🦴 " + "x" * 100


@pytest.fixture
def plan(practitioner):
    plan = make_whole_plan(practitioner, dog={"name": NAME, "breed": "<u>hound</u>"})
    dog = plan.patient
    dog.veterinarian, dog.clinic, dog.medical_notes = "Dr <b>V</b>", "<i>C</i>", "<script>alert(1)</script>"
    dog.save()
    dog.owner.name, dog.owner.address = OWNER, "<b>1</b>\nشارع"
    dog.owner.save()
    Condition.objects.create(patient=dog, name="<b>cond</b> 🐕")
    Medicine.objects.create(patient=dog, name="<i>m</i>", how_given="<b>h</b>")
    Avoid.objects.create(patient=dog, word="<b>w</b>", reason="<i>r</i>")
    return plan


def test_no_page_takes_them_for_html(signed_in, practitioner, plan):
    dog, practice = plan.patient, make_practice()
    sheet = issue_sheet(plan=plan, by=practitioner, practice=practice, acknowledged=True)
    pages = [
        reverse(f"patients:{name}", args=[dog.pk])
        for name in (
            "patient-detail", "patient-edit", "activity", "letter", "energy-page", "stage-edit", "visit-new",
            "plan-new", "patient-archive", "patient-deceased", "patient-give-over", "patient-merge-with",
            "home-weigh-ins-new", "photo-edit",
        )
    ]  # fmt: skip
    pages += [
        reverse(f"patients:{name}", args=[dog.owner_id])
        for name in ("owner-detail", "owner-edit", "owner-data")
    ]
    pages += [sheet.get_absolute_url(), plan.get_absolute_url(), "/", "/patients/", "/search/?q=zo"]
    for address in pages:
        text = signed_in.get(address).text
        assert not re.search(r"<b>(Zo|1|V|cond|h|w)<?|<i>(O|C|m|r)<|<u>hound|<script>alert", text), address
    assert "&lt;b&gt;Zoë&lt;/b&gt; 🐕 שלום &quot;&amp;amp;&quot;" in signed_in.get("/patients/").text


def test_no_pdf_loses_what_has_no_blanks(signed_in, practitioner, plan):
    sheet = issue_sheet(plan=plan, by=practitioner, practice=make_practice(), acknowledged=True)
    cards = [
        reverse("patients:card-pdf", args=[sheet.pk, card]) for card in ("fridge", "shopping", "supplements")
    ]
    letter = reverse("patients:letter-pdf", args=[plan.patient_id])
    for address in (reverse("patients:sheet-pdf", args=[sheet.pk]), *cards, letter):
        rights, words = [], ""
        for sheet_page in pypdfium2.PdfDocument(signed_in.get(address).getvalue()):
            text = sheet_page.get_textpage()
            boxes = (text.get_charbox(place) for place in range(text.count_chars()))
            rights += [right - sheet_page.get_width() for _, _, right, _ in boxes]
            words += text.get_text_range()
            text.close()
        assert max(rights) < 0, address
        assert words.count("W") >= 50, address
        assert "<b>Zoë</b>" in words, address
