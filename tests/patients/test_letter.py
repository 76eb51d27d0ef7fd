"""The letter to the referring veterinarian: its record, and the PDF that says the same."""

import io
from collections.abc import Iterator
from datetime import date, timedelta

import outloud
import pdfplumber
import pikepdf
import pytest
from django.urls import reverse
from django.utils import timezone

from nutrients.models import Nutrient
from patients.letter_queries import letter_record
from patients.models import AgreedNumber, SignOff
from patients.sign_off_services import record_sign_off
from patients.views import letters
from recipes import printing
from tests import cast
from tests.patients.feeding import WHOLE_RECIPE, make_practice, make_whole_plan

pytestmark = pytest.mark.django_db

FOOT_POINTS = 24 / 25.4 * 72  # the bottom margin of sheet.css, where the foot of each page stands
SHORT_OF_IRON = {food: grams for food, grams in WHOLE_RECIPE.items() if "Iron" not in food}


@pytest.fixture
def plan(practitioner):
    """A dog with two weigh-ins, a heart condition, an agreed fat ceiling, and a recipe short of iron."""
    plan = make_whole_plan(practitioner, SHORT_OF_IRON)
    dog = plan.patient
    dog.veterinarian, dog.clinic = "Dr M. Sorrel", "Sallow Bridge"
    dog.next_recheck = date(2030, 5, 2)
    dog.save()
    cast.make_visit(
        dog, kind="recheck", date=timezone.localdate() - timedelta(days=29), weight_kg=19.0, bcs=6
    )
    for condition in ("mitral valve disease", "pancreatitis"):
        dog.conditions.create(name=condition)
    fat = AgreedNumber(nutrient=Nutrient.objects.get(key="fat"), per_1000_kcal=60, unit="g")
    agreed = SignOff(
        patient=dog, subject="pancreatitis, hyperlipidaemia", veterinarian="Dr M. Sorrel",
        clinic="Sallow Bridge", agreed_on=date(2026, 3, 3), agreed="Low fat.",
    )  # fmt: skip
    record_sign_off(sign_off=agreed, numbers=[fat], by=practitioner)
    return plan


def written(plan, by) -> dict:
    return letter_record(plan.patient, by=by, practice=make_practice(address="7 Ropewalk"))


def test_it_tells_the_findings_and_the_course(plan, practitioner):
    found = written(plan, practitioner)["findings"]
    assert ["Weight", "18.4 kg"] in found["facts"]
    assert ["Body condition score", "5 of 9"] in found["facts"]
    assert ["Muscle condition", "normal"] in found["facts"]
    # 19.0 to 18.4 kg: 0.6 kg, 0.6 / 19.0 = 3.2 %, over 28 days
    assert found["course"][-1]["change"] == "0.6 kg (3.2 %) less in 28 days"
    assert found["conditions"] == ["mitral valve disease", "pancreatitis"]


def test_it_tells_the_plan_the_recipe_and_the_profile(plan, practitioner):
    letter = written(plan, practitioner)
    assert letter["to"] == ["Dr M. Sorrel", "Sallow Bridge"]
    assert (letter["plan"]["kcal_per_day"], letter["plan"]["recipe"]) == ("990", "Turkey and barley")
    assert letter["plan"]["state"] == "a draft, not yet issued"
    names = " ".join([*letter["plan"]["foods"], *letter["plan"]["supplements"]])
    assert all(food in names for food in SHORT_OF_IRON)
    assert letter["adequacy"]["profile"] == "AAFCO adult maintenance"
    assert letter["next_recheck"] == "2030-05-02"


def test_it_tells_what_is_open_and_what_was_agreed(plan, practitioner):
    letter = written(plan, practitioner)
    assert any(point.startswith("Iron") and "Below minimum" in point for point in letter["adequacy"]["open"])
    assert [point.split(":")[0] for point in letter["to_agree"]] == ["heart disease (MMVD, DCM, CHF)"]
    assert letter["agreed"] == [
        "Agreed with Dr M. Sorrel, Sallow Bridge, on 3 March 2026: pancreatitis, hyperlipidaemia; "
        "Fat at most 60 g per 1000 kcal."
    ]
    [kept] = letter["held_against"]
    assert kept.startswith("Fat is within what Dr M. Sorrel set")
    assert letter["stops"] == []


def test_a_broken_number_stands_among_what_stops_the_plan_and_nowhere_else(plan, practitioner):
    AgreedNumber.objects.update(per_1000_kcal=25)
    letter = written(plan, practitioner)
    assert [reason[:12] for reason in letter["stops"]] == ["Fat is above"]
    assert letter["held_against"] == []


def test_a_dog_without_visit_and_plan_has_a_letter(practitioner):
    dog = cast.make_patient()
    dog.conditions.create(name="kidney disease")
    letter = letter_record(dog, by=practitioner, practice=make_practice())
    assert (letter["plan"], letter["adequacy"], letter["findings"]["facts"]) == (None, None, [])
    assert letter["to_agree"] == ["chronic kidney disease: kidney disease"]


def test_medicines_and_results_on_record_are_told_and_bring_up_their_cautions(signed_in, plan, practitioner):
    dog = plan.patient
    dog.medicines.create(name="insulin")
    dog.medicines.create(name="levothyroxine", ended_on=timezone.localdate() - timedelta(days=1))
    dog.lab_results.create(date=date(2026, 3, 3), what="creatinine", value="180", unit="µmol/L")
    letter = written(plan, practitioner)
    assert letter["findings"]["medicines"] == ["insulin"]
    assert letter["findings"]["results"] == ["creatinine 180 µmol/L, 3 March 2026"]
    assert "insulin and consistency: insulin" in letter["to_agree"]
    shown = signed_in.get(dog.get_absolute_url()).content.decode()
    assert "Kidney values on file" in shown
    assert "levothyroxine and calcium" not in shown.lower()


def test_the_owners_supplements_and_what_the_owner_tells_stand_in_it(signed_in, plan, practitioner):
    """With how much and for what; what nobody asked is not told."""
    dog = plan.patient
    dog.given_supplements.create(name="salmon oil", amount="one capsule", reason="for the coat")
    dog.given_supplements.create(name="turmeric")
    cast.make_visit(
        dog, kind="recheck", date=timezone.localdate(), vomiting=True, leftovers="much", water="more"
    )
    found = written(plan, practitioner)["findings"]
    assert found["supplements"] == ["salmon oil (one capsule, for the coat)", "turmeric"]
    assert found["owner_tells"] == [
        ["in the bowl", "much: a quarter or more"], ["vomiting", "yes"], ["water drunk", "more than usual"],
    ]  # fmt: skip
    assert "the dog vomits" in found["concerns"]
    shown = " ".join(signed_in.get(reverse("patients:letter", args=[dog.pk])).content.decode().split())
    assert "Supplements that the owner gives: salmon oil (one capsule, for the coat); turmeric." in shown
    assert "The owner tells: in the bowl much: a quarter or more; vomiting yes;" in shown


def test_a_weight_that_is_not_believed_is_told_as_such(plan, practitioner):
    cast.make_visit(plan.patient, kind="recheck", date=timezone.localdate(), weight_kg=40.6, left_out=True)
    letter = written(plan, practitioner)
    assert ["Weight", "40.6 kg (in doubt)"] in letter["findings"]["facts"]
    assert all(weighed["weight"] != "40.6 kg" for weighed in letter["findings"]["course"])


def told(value) -> Iterator[str]:
    """Every text that the record tells, in any depth."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key not in ("on", "seen_on", "next_recheck", "paper"):
                yield from told(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from told(inner)
    elif isinstance(value, str) and value:
        yield value


def close(text: str) -> str:
    """Without blanks, and without the case that begins a sentence."""
    return "".join(text.split()).casefold()


def pdf_of(client, plan) -> bytes:
    answer = client.get(reverse("patients:letter-pdf", args=[plan.patient.pk]))
    assert answer.status_code == 200
    assert answer["Content-Disposition"].startswith('attachment; filename="juniper-letter-')
    return answer.content


def test_the_pdf_says_what_the_record_says(signed_in, plan, practitioner, tmp_path):
    letter = written(plan, practitioner)
    printed = pdf_of(signed_in, plan)
    with pdfplumber.open(io.BytesIO(printed)) as document:
        pages = [page.crop((0, 0, page.width, page.height - FOOT_POINTS)) for page in document.pages]
        text = close(" ".join(page.extract_text() for page in pages))
        footed = [close(page.extract_text()) for page in document.pages]
    assert [said for said in told(letter) if close(said) not in text] == []
    assert "2may2030" in text
    assert all(f"page{number}of{len(footed)}" in page for number, page in enumerate(footed, start=1))
    path = tmp_path / "letter.pdf"
    path.write_bytes(printed)
    assert [each.message for each in outloud.check(str(path)).findings if each.severity == "error"] == []
    with pikepdf.open(path) as document:
        assert document.open_metadata()["pdfuaid:part"] == "1"
        assert str(document.docinfo.Title) == "Juniper: letter to the veterinarian"


def test_the_page_says_that_it_is_made_afresh(signed_in, plan):
    make_practice()
    shown = signed_in.get(reverse("patients:letter", args=[plan.patient.pk])).content.decode()
    assert "Made afresh" in shown
    assert "Agreed with Dr M. Sorrel" in shown
    assert (
        reverse("patients:letter", args=[plan.patient.pk])
        in signed_in.get(plan.patient.get_absolute_url()).content.decode()
    )


def test_without_the_libraries_of_the_pdf_it_says_so(signed_in, plan, monkeypatch):
    def missing(*_):
        raise printing.PdfUnavailable("The PDF needs Pango.")

    monkeypatch.setattr(letters, "printed", missing)
    answer = signed_in.get(reverse("patients:letter-pdf", args=[plan.patient.pk]), follow=True)
    assert "The PDF needs Pango." in answer.content.decode()


def test_only_signed_in_people_get_it(client, plan):
    assert client.get(reverse("patients:letter-pdf", args=[plan.patient.pk])).status_code == 302
