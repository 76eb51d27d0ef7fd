"""An owner of whom everything is kept that can be kept. Wholly invented."""

from datetime import date, timedelta
from uuid import uuid4

from django.utils import timezone

from patients.models import (
    Avoid,
    Condition,
    Contact,
    DietItem,
    GivenSupplement,
    HomeWeighIn,
    IntakeDraft,
    LabResult,
    Medicine,
    Owner,
    Patient,
    Photo,
    Recall,
    RecallCall,
    Sheet,
    SheetWithdrawal,
    SignOff,
    SignOffLetter,
    TabletCount,
    Task,
)
from patients.services import issue_sheet
from tests.patients import feeding

NAME, SECOND, DOG = "Ottoline Quist", "Benedikt Farrow", "Pumpernickel"
BEFORE = "Ottoline Vesterby"
TOLD = {"phone": "07 555 0199", "email": "ottoline@example.org", "address": "3 Saltmarsh Row"}
WORDS = (NAME, SECOND, BEFORE, "Ottoline", "Quist", "Vesterby", DOG, *TOLD.values())
TODAY = timezone.localdate()


def make_full_owner(by) -> Owner:
    """One dog with an issued sheet, and everything else once; each text names somebody."""
    plan = feeding.make_whole_plan(by, dog={"name": DOG, "microchip": "941000099887766"}, note=f"for {DOG}")
    dog = plan.patient
    owner = dog.owner
    for told in ({"name": BEFORE, **TOLD}, {"name": NAME, "second_name": SECOND}):
        for field, value in told.items():
            setattr(owner, field, value)
        owner.save()
    dog.refresh_from_db()
    dog.environment = f"on the sofa of {NAME}"
    dog.save()
    plan.refresh_from_db()
    sheet = issue_sheet(plan=plan, by=by, practice=feeding.make_practice(), acknowledged=True)
    _what_was_seen(dog)
    Contact.objects.create(owner=owner, patient=dog, text=f"{NAME} rang, =2+2", by=by)
    Task.objects.create(owner=owner, text="=HYPERLINK(1)", made_by=by)
    IntakeDraft.objects.create(person=by, key=uuid4(), typed={"owner-name": [NAME.upper()], "name": ["Rye"]})
    Photo.objects.create(patient=dog, jpeg=b"\xff\xd8photo of Pumpernickel")
    sign_off = SignOff.objects.create(
        patient=dog, subject="pancreatitis", veterinarian="Dr Ada Fen", clinic="Fen Vets", agreed_on=TODAY,
        agreed=f"{DOG} may have 20 g fat, told to Ms Quist", recorded_by=by,
    )  # fmt: skip
    SignOffLetter.objects.create(
        sign_off=sign_off, name=f"{DOG}.pdf", kind="application/pdf", size=8, content=b"%PDF- Quist"
    )
    recall = Recall.objects.create(
        kind="food_value", entry=1, entries=[1], what="barley, zinc", before={}, after={},
        corrected_at=timezone.now(), worked_out_at=timezone.now(),
        touched={"recipes": [], "plans": [touched(dog)], "sheets": []},
    )  # fmt: skip
    RecallCall.objects.create(recall=recall, patient=dog, sheet=sheet, note=f"left word with {SECOND}", by=by)
    SheetWithdrawal.objects.create(sheet=sheet, by=by, reason=f"{NAME} cooks for another dog")
    return owner


def touched(dog: Patient) -> dict:
    return {
        "pk": 1,
        "label": f"{dog.name}: Turkey",
        "note": "",
        "changes": [],
        "number": 1,
        "patient": dog.pk,
    }


def _what_was_seen(dog: Patient) -> None:
    visit = dog.visits.get()
    visit.notes = f"{NAME} is worried"
    visit.save()
    DietItem.objects.create(visit=visit, what="-cheese", kcal_per_day=None)
    TabletCount.objects.create(visit=visit, what="zinc", had=60, left=30)
    Condition.objects.create(patient=dog, name="pancreatitis")
    Avoid.objects.create(patient=dog, word="beef", reason=f"{DOG} itches")
    Medicine.objects.create(patient=dog, name="thyroid tablets")
    GivenSupplement.objects.create(patient=dog, name="fish oil")
    LabResult.objects.create(patient=dog, date=date(2026, 1, 2), what="ALT", value="<10")
    HomeWeighIn.objects.create(
        patient=dog, date=TODAY - timedelta(days=3), weight_kg=18.1, note=NAME
    ).delete()
    HomeWeighIn.objects.create(patient=dog, date=TODAY - timedelta(days=2), weight_kg=18.2, note=NAME)


def age_sheets(days: int) -> None:
    """Sheets as if issued so many days earlier: written anew, as an issued one is never changed."""
    for sheet in list(Sheet.objects.all()):
        RecallCall.objects.filter(sheet=sheet).update(sheet=None)
        Sheet.objects.filter(pk=sheet.pk).delete()
        sheet.issued_at -= timedelta(days=days)
        Sheet.objects.bulk_create([sheet])
