"""What a veterinarian agreed to: recorded, held against, withdrawn and kept."""

import io
from datetime import timedelta

import pikepdf
import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from nutrients.models import Food, FoodValue, Nutrient
from patients.agreements import LITTLE_ENERGY
from patients.letter_files import MOST_BYTES
from patients.models import AgreedNumber, SignOff, SignOffLetter
from patients.services import gate_of, work_out
from patients.sign_off_services import record_sign_off, withdraw_sign_off
from tests import cast
from tests.patients.feeding import TURKEY, WHOLE_RECIPE, make_whole_plan

pytestmark = pytest.mark.django_db

PANCREATITIS = "pancreatitis, hyperlipidaemia"
TODAY = timezone.localdate()


def pdf_bytes() -> bytes:
    document = pikepdf.new()
    document.add_blank_page()
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


def picture(kind: str = "PNG") -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (4, 4), "white").save(written, kind)
    return written.getvalue()


def record(patient, by, subject=PANCREATITIS, numbers=(), days_ago=3, **particulars) -> SignOff:
    about = {
        "veterinarian": "Dr M. Sorrel",
        "clinic": "Sallow Bridge",
        "agreed_on": TODAY - timedelta(days=days_ago),
        "agreed": "Low fat, and a check in six weeks.",
    }
    rows = [
        AgreedNumber(nutrient=Nutrient.objects.get(key=key), bound=bound, per_1000_kcal=value, unit=unit)
        for key, bound, value, unit in numbers
    ]
    sign_off = SignOff(patient=patient, subject=subject, **(about | particulars))
    return record_sign_off(sign_off=sign_off, numbers=rows, by=by)


@pytest.fixture
def plan(practitioner):
    """A dog with pancreatitis on its record and a recipe that is otherwise ready to be issued."""
    plan = make_whole_plan(practitioner)
    plan.patient.conditions.create(name="pancreatitis last winter")
    return plan


def conditions(plan):
    return gate_of(plan, work_out(plan))


def per_1000_kcal(plan, nutrient: str) -> float:
    """By another route than the judgement: the total over the energy of protein, fat and nfe at 4/9/4."""
    totals = work_out(plan).batch.analysis.composition.totals
    return totals[nutrient] * 1000 / (4 * totals["protein"] + 9 * totals["fat"] + 4 * totals["nfe"])


def test_a_sign_off_on_file_opens_the_gate_for_its_caution_alone(plan, practitioner):
    plan.patient.conditions.create(name="mitral valve disease")
    assert len(conditions(plan).sign_off_for) == 2
    record(plan.patient, practitioner)
    [left] = conditions(plan).sign_off_for
    assert left.startswith("heart disease")


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


# Pages


def page(plan, subject: str = PANCREATITIS) -> str:
    return reverse("patients:sign-off-new", args=[plan.patient.pk], query={"subject": subject})


def typed(**changes) -> dict:
    numbers = {"numbers-TOTAL_FORMS": 2, "numbers-INITIAL_FORMS": 1}
    rows = {
        "numbers-0-nutrient": Nutrient.objects.get(key="fat").pk, "numbers-0-bound": "at_most",
        "numbers-0-per_1000_kcal": "", "numbers-1-nutrient": "", "numbers-1-bound": "at_most",
        "numbers-1-per_1000_kcal": "",
    }  # fmt: skip
    about = {
        "veterinarian": "Dr M. Sorrel", "clinic": "Sallow Bridge", "agreed_on": TODAY.isoformat(),
        "agreed": "Low fat.",
    }  # fmt: skip
    return about | numbers | rows | changes


def test_it_is_recorded_with_a_number_and_a_letter(signed_in, plan, practitioner):
    letter = SimpleUploadedFile("scan.exe", pdf_bytes(), content_type="text/html")
    answer = signed_in.post(page(plan), typed(**{"numbers-0-per_1000_kcal": "25", "letter": letter}))
    assert answer.status_code == 302
    sign_off = SignOff.objects.get()
    assert [str(number) for number in sign_off.numbers.all()] == ["Fat at most 25 g"]
    assert (sign_off.recorded_by, sign_off.letter.kind) == (practitioner, "application/pdf")
    shown = signed_in.get(plan.patient.get_absolute_url()).content.decode()
    assert "Dr M. Sorrel, Sallow Bridge" in shown
    assert "Fat is above what Dr M. Sorrel set" in shown


def test_the_letter_is_handed_out_to_be_saved(signed_in, plan):
    content = picture("JPEG")
    signed_in.post(page(plan), typed(letter=SimpleUploadedFile("x.jpg", content)))
    answer = signed_in.get(reverse("patients:sign-off-letter", args=[SignOff.objects.get().pk]))
    assert answer.content == content
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    day = f"{TODAY:%Y-%m-%d}"
    assert answer["Content-Disposition"] == f'attachment; filename="juniper-sign-off-{day}.jpg"'


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"<html><script>alert(1)</script>", "no PDF, PNG or JPEG"),
        (b"%PDF-1.7 but nothing more", "damaged"),
        (b"GIF89a" + b"\0" * 40, "no PDF, PNG or JPEG"),
        (b"\x89PNG\r\n\x1a\n<svg onload=x>", "no PDF, PNG or JPEG"),
        (b"%PDF-" + b"\0" * MOST_BYTES, "at most 10.0"),
    ],
)
def test_a_file_that_is_not_what_it_says_is_refused_beside_its_field(signed_in, plan, content, said):
    answer = signed_in.post(page(plan), typed(letter=SimpleUploadedFile("letter.pdf", content)))
    assert answer.status_code == 200
    assert said in " ".join(answer.context["form"].errors["letter"])
    assert "Low fat." in answer.content.decode()
    assert not SignOff.objects.exists()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"veterinarian": ""}, "Enter the veterinarian who agreed."),
        ({"agreed": ""}, "Enter what was agreed"),
        ({"agreed_on": (TODAY + timedelta(days=1)).isoformat()}, "lies in the future"),
        ({"numbers-1-per_1000_kcal": "3"}, "Choose the nutrient."),
        ({"numbers-0-per_1000_kcal": "-1"}, "Enter 0 or more."),
        ({"numbers-0-per_1000_kcal": "much"}, "Enter a number in figures"),
    ],
)
def test_what_is_missing_is_said_and_nothing_typed_is_lost(signed_in, plan, changes, said):
    answer = signed_in.post(page(plan), typed(**changes))
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert "Sallow Bridge" in answer.content.decode()
    assert not SignOff.objects.exists()


def test_a_number_is_typed_in_the_unit_of_the_profile_and_a_slip_of_the_unit_is_noticed(signed_in, plan):
    phosphorus = {"numbers-0-nutrient": Nutrient.objects.get(key="phosphorus").pk}
    answer = signed_in.post(page(plan), typed(**phosphorus, **{"numbers-0-per_1000_kcal": "0.0009"}))
    assert "adult dogs need 1 g per 1000 kcal" in answer.content.decode()  # AAFCO adult: 1.00 g
    signed_in.post(page(plan), typed(**phosphorus, **{"numbers-0-per_1000_kcal": "0.9"}))
    [number] = AgreedNumber.objects.all()
    assert (number.per_1000_kcal, number.unit, number.factor) == (0.9, "g", 0.001)


def test_the_least_must_not_lie_above_the_most(signed_in, plan):
    fat = Nutrient.objects.get(key="fat").pk
    answer = signed_in.post(
        page(plan),
        typed(**{
            "numbers-0-per_1000_kcal": "25", "numbers-1-nutrient": fat, "numbers-1-bound": "at_least",
            "numbers-1-per_1000_kcal": "30",
        }),
    )  # fmt: skip
    assert "The least lies above the most" in answer.content.decode()


@pytest.mark.parametrize(("kcal", "taken"), [("440", True), ("300", False), ("500", False)])
def test_the_energy_that_is_agreed_lies_between_half_and_four_fifths_of_rer(signed_in, plan, kcal, taken):
    # BCS 5 at 18.4 kg is ideal: RER 621.9 kcal, half 311, four fifths 497.5
    signed_in.post(page(plan, LITTLE_ENERGY), typed(**{"lowest_kcal": kcal, "numbers-0-nutrient": ""}))
    assert SignOff.objects.exists() == taken


def test_only_a_caution_that_can_be_agreed_has_a_page(signed_in, plan):
    assert signed_in.get(page(plan, "macadamia nuts")).status_code == 404
    assert signed_in.get(page(plan, "no such thing")).status_code == 404


def test_it_is_withdrawn_with_a_reason(signed_in, plan, practitioner):
    sign_off = record(plan.patient, practitioner)
    there = reverse("patients:sign-off-withdraw", args=[sign_off.pk])
    assert signed_in.post(there, {"reason": " "}).status_code == 200
    assert signed_in.post(there, {"reason": "A new attack."}).status_code == 302
    shown = signed_in.get(plan.patient.get_absolute_url()).content.decode()
    assert "A new attack." in shown
    assert signed_in.get(there).status_code == 404


def test_who_may_do_what(client, plan, practitioner, staff, viewer):
    sign_off = record(plan.patient, practitioner)
    SignOffLetter.objects.create(sign_off=sign_off, name="x", kind="image/png", size=1, content=picture())
    letter = reverse("patients:sign-off-letter", args=[sign_off.pk])
    withdraw = reverse("patients:sign-off-withdraw", args=[sign_off.pk])
    assert client.get(letter).status_code == 302  # to the sign-in
    for user in (staff, viewer):
        client.force_login(user)
        assert client.get(letter).status_code == 200
        assert client.post(page(plan), typed()).status_code == 403
        assert client.post(withdraw, {"reason": "x"}).status_code == 403
        assert "Record a" not in client.get(plan.patient.get_absolute_url()).content.decode()
