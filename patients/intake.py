"""Writes of a dog's record: all of it is checked and saved together, or nothing is."""

from collections.abc import Iterable

from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.forms import model_to_dict
from django.utils import timezone

from patients.models import (
    Avoid,
    Condition,
    DietItem,
    GivenSupplement,
    LabResult,
    Medicine,
    Owner,
    Patient,
    Photo,
    Visit,
)


@transaction.atomic
def admit(
    *,
    owner: Owner,
    patient: Patient,
    conditions: Iterable[Condition],
    avoids: Iterable[Avoid],
    visit: Visit,
    diet_items: Iterable[DietItem],
    **clinical,
) -> Patient:
    """Take a dog on: its owner (new or on file), its record and its first visit. clinical: as for `amend`.

    Raises ValidationError when any of them is not in order, or the dog is on record already; nothing is
    written then.
    """
    if Patient.objects.kept().filter(owner__name=owner.name, name=patient.name, born=patient.born).exists():
        raise ValidationError(f"{patient.name} of {owner.name}, with this birth date, is on record already.")
    if owner.pk is None:
        _save(owner)
    patient.owner = owner
    amend(patient=patient, conditions=conditions, avoids=avoids, **clinical)
    visit.patient, visit.kind = patient, Visit.Kind.INTAKE
    record_visit(visit=visit, diet_items=diet_items)
    return patient


@transaction.atomic
def amend(
    *,
    patient: Patient,
    conditions: Iterable[Condition],
    avoids: Iterable[Avoid],
    medicines: Iterable[Medicine] = (),
    given_supplements: Iterable[GivenSupplement] = (),
    lab_results: Iterable[LabResult] = (),
) -> Patient:
    """Save the record of a dog; its conditions, foods to avoid, medicines, supplements given and laboratory
    results are replaced by the given ones. One that is the same as before is left untouched.
    """
    _save(patient)
    for kept, entries in (
        (patient.conditions, conditions),
        (patient.avoids, avoids),
        (patient.medicines, medicines),
        (patient.given_supplements, given_supplements),
        (patient.lab_results, lab_results),
    ):
        _replace(patient, kept.all(), list(entries))
    return patient


def _replace(patient: Patient, kept: models.QuerySet, entries: list[models.Model]) -> None:
    gone = list(kept)
    for entry in entries:
        same = next((old for old in gone if _values(old) == _values(entry)), None)
        if same:
            gone.remove(same)
        else:
            entry.patient = patient
            _save(entry)
    for old in gone:
        old.delete()


def _values(entry: models.Model) -> dict:
    return model_to_dict(entry, exclude=("id", "patient"))


def save_photo(*, patient: Patient, jpeg: bytes) -> Photo:
    """Keep the dog's photo, in place of the one before. jpeg: as `patients.photos.small_jpeg` makes it."""
    return Photo.objects.update_or_create(
        patient=patient, defaults={"jpeg": jpeg, "saved_at": timezone.now()}
    )[0]


@transaction.atomic
def record_visit(*, visit: Visit, diet_items: Iterable[DietItem]) -> Visit:
    """Save a visit; what the dog ate at the time is replaced by the given items."""
    _save(visit)
    visit.diet_items.all().delete()
    for item in diet_items:
        item.visit = visit
        _save(item)
    return visit


def _save(record) -> None:
    record.full_clean()
    record.save()
