"""What a veterinarian agreed to: it opens the gate, is held against, withdrawn and kept."""

from dataclasses import replace

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from nutrients.models import Food, FoodValue
from patients import pdf
from patients.agreements import LITTLE_ENERGY, newly_broken
from patients.models import SignOff
from patients.services import gate_of, issue_sheet, work_out
from patients.sign_off_services import withdraw_sign_off
from tests import cast
from tests.patients.feeding import TURKEY, WHOLE_RECIPE, make_practice, make_whole_plan
from tests.patients.sign_offs import TODAY, make_asking_plan, per_1000_kcal, record

pytestmark = pytest.mark.django_db


@pytest.fixture
def plan(practitioner):
    return make_asking_plan(practitioner)


def conditions(plan):
    return gate_of(plan, work_out(plan))


def test_a_sign_off_on_file_opens_the_gate_for_its_caution_alone(plan, practitioner):
    plan.patient.conditions.create(name="mitral valve disease")
    assert len(conditions(plan).sign_off_for) == 2
    record(plan.patient, practitioner)
    [left] = conditions(plan).sign_off_for
    assert left.startswith("heart disease")


@pytest.mark.parametrize(("days_ago", "old"), [(365, False), (366, True)])
def test_an_agreement_older_than_a_year_stands_and_says_so(plan, practitioner, signed_in, days_ago, old):
    record(plan.patient, practitioner, days_ago=days_ago)
    assert conditions(plan).sign_off_for == ()
    for name, pk in (("patient-detail", plan.patient.pk), ("plan-detail", plan.pk)):
        said = signed_in.get(reverse(f"patients:{name}", args=[pk])).content.decode()
        assert ("Agreed more than a year ago" in said) is old


def test_another_dogs_sign_off_opens_nothing(plan, practitioner):
    record(cast.make_patient(name="Pepper"), practitioner)
    assert len(conditions(plan).sign_off_for) == 1


def test_a_withdrawn_sign_off_opens_nothing_and_is_kept(plan, practitioner):
    sign_off = record(plan.patient, practitioner)
    withdraw_sign_off(sign_off=sign_off, by=practitioner, reason="A new attack.")
    assert len(conditions(plan).sign_off_for) == 1
    kept = SignOff.objects.get()
    assert (kept.withdrawn_reason, kept.withdrawn_by) == ("A new attack.", practitioner)
    with pytest.raises(ValidationError, match="withdrawn already"):
        withdraw_sign_off(sign_off=sign_off, by=practitioner, reason="Again.")


def test_a_blocked_caution_is_never_opened(plan, practitioner):
    with pytest.raises(ValidationError, match="must never be fed"):
        record(plan.patient, practitioner, subject="macadamia nuts")
    SignOff.objects.bulk_create([  # even were there one
        SignOff(
            patient=plan.patient, subject="onion (fresh, cooked, dried, powder)", veterinarian="Dr X",
            clinic="Y", agreed_on=TODAY, agreed="z", recorded_by=practitioner,
        )
    ])  # fmt: skip
    Food.objects.filter(name="Green beans, raw").update(name="Onion powder, with green beans")
    assert any("onion" in reason for reason in conditions(plan).refusals)


def test_fat_above_the_veterinarians_ceiling_is_refused(plan, practitioner):
    fat = per_1000_kcal(plan, "fat")
    record(plan.patient, practitioner, numbers=[("fat", "at_most", 25, "g")])
    assert fat > 25
    [reason] = conditions(plan).refusals
    assert reason == f"Fat is above what Dr M. Sorrel set: {fat:.1f} g of at most 25 g per 1000 kcal."


def test_fat_within_the_ceiling_passes(plan, practitioner):
    record(plan.patient, practitioner, numbers=[("fat", "at_most", per_1000_kcal(plan, "fat") + 0.01, "g")])
    assert conditions(plan).refusals == ()
    assert conditions(plan).sign_off_for == ()


def test_a_number_that_cannot_be_confirmed_is_asked_about(plan, practitioner):
    FoodValue.objects.filter(food__name="Pumpkin, raw", nutrient__key="sodium").delete()
    record(plan.patient, practitioner, numbers=[("sodium", "at_most", 5, "g")])
    [asked] = conditions(plan).sign_off_for
    assert asked.startswith("Sodium cannot be confirmed against what Dr M. Sorrel set")
    assert asked.endswith("no value in Pumpkin, raw.")


def plan_short_of_phosphorus(by):
    """Below the minimum of 1.00 g per 1000 kcal (AAFCO, adults): no phosphate, little in the meat."""
    amounts = {food: grams for food, grams in WHOLE_RECIPE.items() if "phosphate" not in food}
    FoodValue.objects.filter(food__name=TURKEY, nutrient__key="phosphorus").update(per_100g=0.06)
    return make_whole_plan(by, amounts)


def test_the_veterinarians_least_phosphorus_takes_the_minimums_place(practitioner):
    plan = plan_short_of_phosphorus(practitioner)
    plan.patient.conditions.create(name="kidney disease, stage 3")
    assert any(reason.startswith("Phosphorus is below") for reason in conditions(plan).refusals)
    kidney = "chronic kidney disease"
    record(plan.patient, practitioner, kidney, [("phosphorus", "at_most", 1.3, "g")])
    assert any(reason.startswith("Phosphorus is below") for reason in conditions(plan).refusals)
    record(plan.patient, practitioner, kidney, [("phosphorus", "at_least", 0.4, "g")])
    found = conditions(plan)
    assert not any(reason.startswith("Phosphorus") for reason in found.refusals)
    [told] = [sentence for sentence in found.to_acknowledge if sentence.startswith("Phosphorus")]
    assert "Phosphorus at least 0.4 g per 1000 kcal" in told


def test_never_for_a_dog_that_nurses(practitioner):
    plan = plan_short_of_phosphorus(practitioner)
    plan.patient.conditions.create(name="lactating")
    record(plan.patient, practitioner, "pregnancy and lactation", [("phosphorus", "at_least", 0.4, "g")])
    assert any(reason.startswith("Phosphorus is below") for reason in conditions(plan).refusals)


def test_a_new_sign_off_replaces_the_one_before_and_does_not_bring_it_back(plan, practitioner):
    first = record(plan.patient, practitioner, days_ago=9)
    second = record(plan.patient, practitioner, days_ago=2)
    first.refresh_from_db()
    assert first.withdrawn_reason.startswith("Replaced by the sign-off of")
    withdraw_sign_off(sign_off=second, by=practitioner, reason="No longer.")
    assert not plan.patient.sign_offs.standing().exists()


def test_an_older_one_does_not_replace_a_newer(plan, practitioner):
    record(plan.patient, practitioner, days_ago=2)
    with pytest.raises(ValidationError, match="later sign-off"):
        record(plan.patient, practitioner, days_ago=9)


def test_less_energy_needs_the_veterinarian(practitioner):
    # 18.4 kg: RER 70 x 18.4^0.75 = 70 x 8.8841 = 621.9 kcal, x 0.8 = 497.5 kcal
    plan = make_whole_plan(practitioner, kcal_per_day=450)
    [(field, message)] = [found for found in work_out(plan).problems if found[0] == "kcal_per_day"]
    assert "498 kcal" in message
    record(plan.patient, practitioner, LITTLE_ENERGY, lowest_kcal=440)
    assert "kcal_per_day" not in [field for field, _ in work_out(plan).problems]
    plan.kcal_per_day = 430
    assert "the 440 kcal that its veterinarian agreed to" in dict(work_out(plan).problems)["kcal_per_day"]


def test_no_sheet_on_less_energy_once_the_sign_off_is_withdrawn(practitioner):
    plan = make_whole_plan(practitioner, kcal_per_day=450)
    sign_off = record(plan.patient, practitioner, LITTLE_ENERGY, lowest_kcal=440)
    assert not any("0.8 x RER" in refusal for refusal in conditions(plan).refusals)
    withdraw_sign_off(sign_off=sign_off, by=practitioner, reason="It loses too fast.")
    assert any("0.8 x RER" in refusal for refusal in conditions(plan).refusals)
    with pytest.raises(ValidationError, match="0.8 x RER"):
        issue_sheet(plan=plan, by=practitioner, practice=make_practice())


def test_the_sheet_names_who_agreed(plan, practitioner, monkeypatch):
    monkeypatch.setattr(pdf, "render", lambda record: b"%PDF")
    record(plan.patient, practitioner, numbers=[("fat", "at_most", 60, "g")])
    sheet = issue_sheet(plan=plan, by=practitioner, practice=make_practice())
    [sentence] = sheet.record["agreed"]
    assert sentence.startswith("Agreed with Dr M. Sorrel, Sallow Bridge, on ")
    assert sentence.endswith(": pancreatitis, hyperlipidaemia; Fat at most 60 g per 1000 kcal.")


def test_a_swap_that_breaks_a_number_is_not_offered(plan, practitioner):
    record(plan.patient, practitioner, numbers=[("fat", "at_most", 60, "g")])
    workings = work_out(plan)
    lean, [agreement] = workings.batch.analysis, workings.dog.agreements
    fatter = replace(lean, composition=lean.composition._replace(totals=lean.composition.totals * 3))
    assert newly_broken([agreement], lean, lean) == []
    [sentence] = newly_broken([agreement], lean, fatter)
    assert sentence.startswith("Fat is above what Dr M. Sorrel set")
