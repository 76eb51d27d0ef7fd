"""A sheet is issued only when it may be, and then never changes."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from nutrients.models import Food, FoodValue, Profile
from patients import pdf
from patients.models import Plan, Sheet
from patients.services import draft_of, gate_of, issue_sheet, unaltered, work_out
from patients.sheet.answers import SignOff
from recipes import printing
from recipes.models import Ingredient, Recipe
from tests import cast
from tests.patients.feeding import TURKEY, WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def drawn(monkeypatch):
    """Drawing takes a second and is tested in test_pdf; here the bytes only have to be kept."""
    monkeypatch.setattr(pdf, "render", lambda record: f"%PDF {record['number']}".encode())


def issue(plan: Plan, by, **conditions) -> Sheet:
    return issue_sheet(plan=plan, by=by, practice=make_practice(), **conditions)


def without(*foods: str) -> dict[str, float]:
    return {name: grams for name, grams in WHOLE_RECIPE.items() if name not in foods}


def refused(plan: Plan, by, **conditions) -> str:
    with pytest.raises(ValidationError) as reasons:
        issue(plan, by, **conditions)
    assert not Sheet.objects.exists()
    assert Plan.objects.get(pk=plan.pk).state == Plan.State.DRAFT
    return " ".join(reasons.value.messages)


def test_a_sheet_is_issued(practitioner):
    plan = make_whole_plan(practitioner)
    sheet = issue(plan, practitioner)
    assert (sheet.number, sheet.patient, sheet.issued_by) == (1, plan.patient, practitioner)
    assert bytes(Sheet.objects.get().pdf) == b"%PDF 1"
    assert unaltered(sheet)
    assert Plan.objects.get().state == Plan.State.ISSUED


def test_the_next_sheet_has_the_next_number_and_ends_the_plan_before(practitioner):
    first = make_whole_plan(practitioner)
    issue(first, practitioner)
    second = draft_of(Plan.objects.get())
    second.save()
    assert second.supersedes == first
    with pytest.raises(ValidationError, match="Say why a new sheet is issued"):
        issue(second, practitioner, reason=" ")
    sheet = issue(second, practitioner, reason="the first one was wet")
    assert sheet.number == 2
    assert sheet.record["reissue"] == {"replaces": 1, "reason": "the first one was wet", "changes": []}
    assert Plan.objects.get(pk=first.pk).state == Plan.State.ENDED


def test_numbers_run_per_dog(practitioner):
    issue(make_whole_plan(practitioner), practitioner)
    other = make_whole_plan_of_another(practitioner)
    assert issue(other, practitioner).number == 1


def make_whole_plan_of_another(by) -> Plan:
    Recipe.objects.update(title="Turkey and barley, the first")
    return make_whole_plan(by, dog={"name": "Pepper"})


@pytest.mark.parametrize(("goal", "days"), [("hold", 182), ("lose", 28), ("gain", 182)])
def test_a_sheet_expires(practitioner, goal, days):
    target = {"hold": 18.4, "lose": 18.0, "gain": 19.0}[goal]
    sheet = issue(make_whole_plan(practitioner, goal=goal, target_kg=target), practitioner, acknowledged=True)
    assert sheet.expires_on == timezone.localdate() + timedelta(days=days)


def test_a_missing_recheck_is_booked_and_one_ahead_is_kept(practitioner):
    plan = make_whole_plan(practitioner)
    issue(plan, practitioner)
    plan.patient.refresh_from_db()
    assert plan.patient.next_recheck == timezone.localdate() + timedelta(days=28)
    soon = timezone.localdate() + timedelta(days=3)
    type(plan.patient).objects.update(next_recheck=soon)
    again = issue(plan, practitioner, reason="again")
    assert again.record["next_recheck"] == soon.isoformat()


def test_an_unapproved_version_is_refused(practitioner):
    plan = make_whole_plan(practitioner)
    type(plan.recipe_version).objects.update(approved_at=None)
    assert "not approved" in refused(plan, practitioner)


def test_a_retired_recipe_is_refused(practitioner):
    plan = make_whole_plan(practitioner)
    Recipe.objects.update(state=Recipe.State.RETIRED)
    assert "not approved" in refused(plan, practitioner)


def test_a_blocked_caution_cannot_be_passed(practitioner):
    plan = make_whole_plan(practitioner)
    onion = Food.objects.create(name="Onion powder", group="vegetable", state="dried", source="test")
    cast.slip_in(Ingredient, version=plan.recipe_version, food=onion, grams=5)
    vet = SignOff("Dr M. Sorrel", "Sallow Bridge", date.today(), ())
    assert "must not be fed" in refused(plan, practitioner, acknowledged=True, sign_off=vet)


def test_a_problem_is_refused(practitioner):
    plan = make_whole_plan(practitioner)
    Plan.objects.update(extras_kcal=500)
    assert "10 % of the day" in refused(plan, practitioner)


def test_calcium_below_the_minimum_is_refused_whatever_is_ticked(practitioner):
    plan = make_whole_plan(practitioner, without("Calcium carbonate powder"))
    assert "Calcium is below the minimum" in refused(plan, practitioner, acknowledged=True)


def test_another_nutrient_below_needs_the_tick_and_is_recorded(practitioner):
    plan = make_whole_plan(practitioner, without("Iron chelate tablet, 18 mg iron"))
    assert "tick" in refused(plan, practitioner)
    record = issue(plan, practitioner, acknowledged=True).record
    assert any(sentence.startswith("Iron is below the minimum") for sentence in record["accepted"])


def test_unconfirmed_calcium_needs_the_veterinarian_and_is_recorded(practitioner):
    plan = make_whole_plan(practitioner, without("Calcium carbonate powder"))
    FoodValue.objects.filter(food__name=TURKEY, nutrient__key="calcium").delete()
    assert "veterinarian" in refused(plan, practitioner, acknowledged=True)
    covers = gate_of(plan, work_out(plan)).sign_off_for
    vet = SignOff("Dr M. Sorrel", "Sallow Bridge", date(2026, 11, 2), covers)
    record = issue(plan, practitioner, acknowledged=True, sign_off=vet).record
    assert any(text.startswith("Calcium cannot be confirmed") for text in record["sign_off"]["covers"])


def test_a_condition_needs_the_veterinarian(practitioner):
    plan = make_whole_plan(practitioner)
    plan.patient.conditions.create(name="chronic kidney disease")
    assert "veterinarian" in refused(plan, practitioner, acknowledged=True)
    covers = gate_of(plan, work_out(plan)).sign_off_for
    vet = SignOff("Dr M. Sorrel", "Sallow Bridge", date(2026, 11, 2), covers)
    record = issue(plan, practitioner, acknowledged=True, sign_off=vet).record
    assert record["sign_off"]["veterinarian"] == "Dr M. Sorrel"
    assert record["sign_off"]["on"] == "2026-11-02"
    assert "chronic kidney disease" in record["sign_off"]["covers"][0]


def test_a_puppy_needs_the_veterinarian_and_gets_two_weeks(practitioner):
    growth = Profile.objects.get(key="aafco-growth")
    born = timezone.localdate() - timedelta(days=200)
    dog = {"born": born, "expected_adult_kg": 20}
    amounts = WHOLE_RECIPE | {
        "Calcium carbonate powder": 7,
        "Dicalcium phosphate powder": 12,
        "Salt, plain": 2,
        "Iron chelate tablet, 18 mg iron": 0.45,
    }
    plan = make_whole_plan(practitioner, amounts, dog, profile=growth, goal="grow", kcal_per_day=1300)
    conditions = gate_of(plan, work_out(plan))
    assert conditions.refusals == ()
    assert "puppies" in conditions.sign_off_for[0]
    vet = SignOff("Dr I. Harebell", "Nether Sallow", date.today(), conditions.sign_off_for)
    sheet = issue(plan, practitioner, acknowledged=True, sign_off=vet)
    assert sheet.expires_on == timezone.localdate() + timedelta(days=14)


def test_a_dog_that_was_never_weighed_is_refused(practitioner):
    plan = make_whole_plan(practitioner)
    plan.patient.visits.all().delete()
    assert "never weighed" in refused(plan, practitioner)


def test_an_ended_plan_is_refused(practitioner):
    plan = make_whole_plan(practitioner)
    Plan.objects.update(state=Plan.State.ENDED)
    with pytest.raises(ValidationError, match="has ended"):
        issue(plan, practitioner)


def test_nothing_is_left_behind_when_drawing_fails(practitioner, monkeypatch):
    def fails(record):
        raise printing.PdfUnavailable("no Pango")

    plan = make_whole_plan(practitioner)
    monkeypatch.setattr(pdf, "render", fails)
    with pytest.raises(printing.PdfUnavailable):
        issue(plan, practitioner)
    assert not Sheet.objects.exists()
    assert Plan.objects.get().state == Plan.State.DRAFT


def test_later_changes_do_not_reach_a_sheet(practitioner):
    plan = make_whole_plan(practitioner)
    issue(plan, practitioner)
    before = Sheet.objects.get().record
    Ingredient.objects.filter(food__name=TURKEY).update(grams=1)
    FoodValue.objects.filter(food__name=TURKEY).update(per_100g=0.1)
    type(plan.patient).objects.update(name="Another")
    Recipe.objects.update(title="Another")
    assert Sheet.objects.get().record == before


def test_the_database_refuses_to_change_a_sheet(practitioner):
    sheet = issue(make_whole_plan(practitioner), practitioner)
    sheet.pdf = b"another"
    for change in (sheet.save, lambda: Sheet.objects.update(number=9), lambda: bulk(sheet)):
        with pytest.raises(IntegrityError, match="never changes"), transaction.atomic():
            change()
    kept = Sheet.objects.get()
    assert (bytes(kept.pdf), kept.number) == (b"%PDF 1", 1)


def bulk(sheet: Sheet) -> None:
    Sheet.objects.bulk_update([sheet], ["pdf"])


def test_altered_bytes_are_noticed(practitioner):
    sheet = issue(make_whole_plan(practitioner), practitioner)
    sheet.pdf = b"%PDF 2"
    assert not unaltered(sheet)
