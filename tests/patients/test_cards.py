"""The parts of a sheet on paper of their own."""

import io

import pypdf
import pytest
from django.urls import reverse

from patients.models import Sheet
from patients.services import issue_sheet
from tests.patients.feeding import SUPPLEMENTS, WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture
def sheet(practitioner) -> Sheet:
    plan = make_whole_plan(practitioner, batch_days=7, frozen=True, extras_kcal=40, scale="0.1")
    return issue_sheet(plan=plan, by=practitioner, practice=make_practice(paper="letter"), acknowledged=True)


def card(sheet, name: str) -> str:
    return reverse("patients:card-pdf", args=[sheet.pk, name])


def read(answer) -> tuple[str, pypdf.PdfReader]:
    reader = pypdf.PdfReader(io.BytesIO(answer.content))
    return " ".join(" ".join(page.extract_text().split()) for page in reader.pages), reader


def test_the_page_for_the_fridge_is_one_page_and_holds_what_is_done_each_day(signed_in, sheet):
    text, reader = read(signed_in.get(card(sheet, "fridge")))
    assert len(reader.pages) == 1
    assert f"{sheet.record['feeding']['meal_g']:,} g at each of 2 meals a day" in text
    for moment in sheet.record["supplements"]:
        for dose in moment["doses"]:
            assert dose["food"] in text
            assert dose["amount"] in text
    assert "Good until" in text


def test_it_is_printed_on_the_practices_paper(signed_in, sheet):
    _, reader = read(signed_in.get(card(sheet, "fridge")))
    assert [round(float(side)) for side in reader.pages[0].mediabox[2:]] == [612, 792]  # 8.5 x 11 in at 72


def test_the_supplement_card_holds_every_supplement_and_the_months_powders(signed_in, sheet):
    text, _ = read(signed_in.get(card(sheet, "supplements")))
    assert all(name in text for name in SUPPLEMENTS)
    assert "Powders for a month" in text
    assert "When to add" in text


def test_the_shopping_list_holds_every_food(signed_in, sheet):
    text, _ = read(signed_in.get(card(sheet, "shopping")))
    assert all(name in text for name in WHOLE_RECIPE)


def test_a_card_is_always_the_same(signed_in, sheet):
    first, second = (signed_in.get(card(sheet, "fridge")).content for _ in range(2))
    assert first == second


def test_there_is_no_other_card(signed_in, sheet):
    assert signed_in.get(card(sheet, "poster")).status_code == 404


def test_an_expired_sheet_has_no_cards(signed_in, sheet, monkeypatch):
    monkeypatch.setattr(Sheet, "expired", True)
    assert signed_in.get(card(sheet, "fridge")).url == sheet.get_absolute_url()
