"""The pages on which a sign-off is recorded, read and withdrawn."""

import io
from datetime import timedelta

import pikepdf
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from nutrients.models import Nutrient
from patients.agreements import LITTLE_ENERGY
from patients.letter_files import MOST_BYTES
from patients.models import AgreedNumber, Patient, SignOff, SignOffLetter
from tests.patients.sign_offs import PANCREATITIS, TODAY, make_asking_plan, per_1000_kcal, record

pytestmark = pytest.mark.django_db


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


@pytest.fixture
def plan(practitioner):
    return make_asking_plan(practitioner)


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
        (picture().replace(b"IDAT", b"IDAT\0"), "no PDF, PNG or JPEG"),
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


def test_a_plans_page_tells_what_it_brings_and_what_was_agreed(signed_in, plan, practitioner):
    fat = per_1000_kcal(plan, "fat")
    shown = signed_in.get(plan.get_absolute_url()).content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert f"This plan brings per 1000 kcal: Fat {fat:.1f} g." in shown
    assert "subject=pancreatitis%2C%20hyperlipidaemia" in shown
    record(plan.patient, practitioner, numbers=[("fat", "at_most", 25, "g")])
    shown = signed_in.get(plan.get_absolute_url()).content.decode()
    assert "Agreed with Dr M. Sorrel, Sallow Bridge" in shown
    assert f"{fat:.1f} g of at most 25 g per 1000 kcal" in shown


@pytest.mark.parametrize("status", ["archived", "deceased"])
def test_nothing_is_recorded_for_a_dog_that_is_not_in_care(signed_in, plan, status):
    Patient.objects.filter(pk=plan.patient_id).update(status=status)
    for answer in (signed_in.get(page(plan)), signed_in.post(page(plan), typed())):
        assert answer.url == plan.patient.get_absolute_url()
    assert not SignOff.objects.exists()
