"""Writes of a dog's record: all of it is checked and saved together, or nothing is."""

from collections.abc import Iterable

from django.core.exceptions import ValidationError
from django.db import transaction

from patients.models import Avoid, Condition, DietItem, Owner, Patient, Visit


@transaction.atomic
def admit(
    *,
    owner: Owner,
    patient: Patient,
    conditions: Iterable[Condition],
    avoids: Iterable[Avoid],
    visit: Visit,
    diet_items: Iterable[DietItem],
) -> Patient:
    """Take a dog on: its owner (new or on file), its record and its first visit.

    Raises ValidationError when any of them is not in order, or the dog is on record already; nothing is
    written then.
    """
    if Patient.objects.filter(owner__name=owner.name, name=patient.name, born=patient.born).exists():
        raise ValidationError(f"{patient.name} of {owner.name}, with this birth date, is on record already.")
    if owner.pk is None:
        _save(owner)
    patient.owner = owner
    amend(patient=patient, conditions=conditions, avoids=avoids)
    visit.patient, visit.kind = patient, Visit.Kind.INTAKE
    record_visit(visit=visit, diet_items=diet_items)
    return patient


@transaction.atomic
def amend(*, patient: Patient, conditions: Iterable[Condition], avoids: Iterable[Avoid]) -> Patient:
    """Save the record of a dog; its conditions and foods to avoid are replaced by the given ones."""
    _save(patient)
    patient.conditions.all().delete()
    patient.avoids.all().delete()
    for entry in (*conditions, *avoids):
        entry.patient = patient
        _save(entry)
    return patient


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
