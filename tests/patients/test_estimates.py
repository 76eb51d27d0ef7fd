"""What rests on an estimate or holds a discontinued food, on a plan's page and on the take-home sheet."""

import json

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from nutrients.models import Food, FoodValue
from patients import pdf
from patients.models import Sheet
from patients.services import issue_sheet, work_out
from tests.patients.feeding import TURKEY, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db
TAG = '<span class="tag guess">estimate</span>'
LIVER = "Beef liver, raw"


@pytest.fixture(autouse=True)
def drawn(monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda record: f"%PDF {record['number']}".encode())


@pytest.fixture
def plan(practitioner):
    return make_whole_plan(practitioner)


@pytest.fixture
def guessed():
    """The zinc and the iron of the liver, and the zinc of the turkey."""
    pairs = [(LIVER, "zinc"), (LIVER, "iron"), (TURKEY, "zinc")]
    for food, nutrient in pairs:
        value = FoodValue.objects.filter(food__name=food, nutrient__key=nutrient)
        assert value.update(kind=FoodValue.Kind.ESTIMATE) == 1
    return pairs


def issued(plan, by) -> Sheet:
    return issue_sheet(plan=plan, by=by, practice=make_practice())


def test_a_plan_marks_the_rows_that_rest_on_an_estimate(signed_in, plan, guessed):
    response = signed_in.get(plan.get_absolute_url())
    found = response.context["found"]
    for groups in (found.groups, found.groups_for_dog):
        marked = {row.key: row.estimated for _, rows in groups for row in rows if row.estimated}
        assert marked == {"zinc": (TURKEY, LIVER), "iron": (LIVER,)}
    assert response.content.decode().count(TAG) == 4  # both nutrients in both tables; neither is open


def test_an_open_nutrient_of_a_plan_is_marked_in_the_short_list_too(signed_in, practitioner):
    plan = make_whole_plan(practitioner, amounts={TURKEY: 500})
    FoodValue.objects.filter(food__name=TURKEY, nutrient__key="calcium").update(kind="estimate")
    page = signed_in.get(plan.get_absolute_url()).content.decode()
    short = page[page.index('<ul class="open-nutrients">') :]
    assert (
        short[: short.index("</ul>")].count(TAG) == 2
    )  # calcium is too little, and with it the Ca : P ratio


def test_nothing_is_marked_without_an_estimate(signed_in, plan):
    assert TAG not in signed_in.get(plan.get_absolute_url()).content.decode()


def test_a_sheet_says_in_small_print_what_was_estimated(signed_in, practitioner, plan, guessed):
    sheet = issued(plan, practitioner)
    # in the order of the profile's minerals: iron before zinc
    assert sheet.record["adequacy"]["estimated"] == [
        {"foods": [LIVER], "nutrients": ["Iron"]},
        {"foods": [TURKEY, LIVER], "nutrients": ["Zinc"]},
    ]
    said = f"Estimated, not measured: Iron in {LIVER}; Zinc in {TURKEY}, {LIVER}."
    assert said in signed_in.get(sheet.get_absolute_url()).content.decode()
    assert said in render_to_string("patients/sheet_print.html", {"sheet": sheet.record, "setting": "roomy"})


def test_a_sheet_without_estimates_says_nothing_of_them(signed_in, practitioner, plan):
    sheet = issued(plan, practitioner)
    assert sheet.record["adequacy"]["estimated"] == []
    assert "Estimated, not measured" not in signed_in.get(sheet.get_absolute_url()).content.decode()


def test_a_sheet_that_was_issued_before_estimates_were_marked_reads_as_it_did(
    signed_in, practitioner, plan, guessed
):
    sheet = issued(plan, practitioner)
    record = json.loads(json.dumps(sheet.record))
    del record["adequacy"]["estimated"]
    for _, rows in record["adequacy"]["groups"]:
        for row in rows:
            del row["estimated"]
    same = {name: getattr(sheet, name) for name in ("plan", "patient", "issued_by", "expires_on", "pdf")}
    older = Sheet.objects.create(number=2, record=record, sha256=sheet.sha256, **same)
    page = signed_in.get(older.get_absolute_url())
    assert page.status_code == 200
    assert "Estimated, not measured" not in page.content.decode()
    assert TAG not in page.content.decode()


def test_a_discontinued_food_is_a_warning_of_the_plan_and_of_its_preview(signed_in, plan):
    said = f"{TURKEY} is discontinued: choose another."
    assert said not in work_out(plan).warnings
    Food.objects.filter(name=TURKEY).update(discontinued=True)
    assert said in work_out(plan).warnings
    assert not work_out(plan).problems
    assert said in signed_in.get(plan.get_absolute_url()).content.decode()
    typed = {
        "recipe_version": plan.recipe_version.pk, "profile": plan.profile.pk, "goal": "hold",
        "target_kg": "18.4", "target_kg_unit": "kg", "energy": "by-hand", "kcal_per_day": "990",
        "extras_kcal": "0", "recipe_share": "100", "meals_per_day": "2", "batch_days": "3", "serve": "cold",
    }  # fmt: skip
    preview = signed_in.post(reverse("patients:plan-preview", args=[plan.patient.pk]), typed)
    assert said in preview.content.decode()
