"""Sheets of the demo's dogs, with everything on them that a sheet can say."""

import html
import re
from datetime import date

from django.contrib.auth import get_user_model
from django.template.loader import render_to_string

from patients.models import Patient, Sheet
from patients.owner_language import told_as_written
from patients.pdf import CARDS
from patients.services import issue_sheet
from patients.sheet.answers import SignOff
from practice.demo import load_demo
from practice.models import PracticeProfile
from recipes.models import RecipeVersion
from tests import cast

PLANS = (
    ("Juniper", "Turkey, barley and pumpkin", {
        "kcal_per_day": 640, "target_kg": 15.3, "goal": "lose", "batch_days": 7, "frozen": True,
        "serve": "rewarmed", "extras_kcal": 60, "vessel_litres": 5, "scale": "0.1", "batches_a_month": 4,
    }),
    ("Pepper", "Cod and rice", {"kcal_per_day": 420, "target_kg": 8, "batch_days": 4, "serve": "cold"}),
    ("Otto", "Chicken and oats for growing dogs", {
        "kcal_per_day": 1900, "target_kg": 20, "goal": "grow", "batch_days": 3, "frozen": True, "scale": "1",
    }),
    ("Bramble", "Turkey, barley and pumpkin", {
        "kcal_per_day": 1100, "target_kg": 19, "batch_days": 7, "frozen": True, "scale": "none",
    }),
)  # fmt: skip
AGREED = SignOff("Dr M. Sorrel", "Sallow Bridge", date(2026, 3, 2), ())


def issue_all(language: str, units: str) -> list[Sheet]:
    """A sheet for every dog of the demo, its owner reading this language and weighing in these units."""
    if not Patient.objects.exists():
        load_demo(today=date.today())
    by = get_user_model().objects.get(username="robin")
    return [_issued(by, language, units, *plan) for plan in PLANS]


def _issued(by, language: str, units: str, dog: str, title: str, choices: dict) -> Sheet:
    patient = Patient.objects.select_related("owner").get(name=dog)
    patient.owner.language, patient.owner.units = language, units
    patient.owner.save()
    plan = cast.make_plan(patient, RecipeVersion.objects.get(recipe__title=title), **choices)
    practice = PracticeProfile.objects.get()
    return issue_sheet(plan=plan, by=by, practice=practice, acknowledged=True, sign_off=AGREED, reason="Neu")


def told(sheet: Sheet) -> str:
    """Everything the sheet and its cards say, pictures too, as one text."""
    return " ".join(pieces(sheet))


def pieces(sheet: Sheet) -> list[str]:
    """The same, each stretch of text between two tags for itself."""
    pages = [("patients/sheet_print.html", {})]
    pages += [
        ("patients/card_print.html", {"card_template": f"patients/_card_{card}.html"}) for card in CARDS
    ]
    with told_as_written(sheet.record):
        drawn = [render_to_string(page, {"sheet": sheet.record, **more}) for page, more in pages]
    found = (html.unescape(text) for page in drawn for text in re.findall(r">([^<]+)", page))
    return [" ".join(text.split()) for text in found]
