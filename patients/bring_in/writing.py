"""Writes what a file brings, all or nothing, with a first state in every history."""

from django.contrib.auth.models import AbstractUser
from django.db import transaction
from simple_history.utils import bulk_create_with_history

from patients.bring_in.lines import weigh_in_note
from patients.bring_in.matching import BroughtWeight, Found
from patients.bring_in.records import DogRecord, OwnerRecord
from patients.models import Condition, HomeWeighIn, Owner, Patient

REASON = "brought in from a file"
AT_ONCE = 500


@transaction.atomic
def write(found: Found, by: AbstractUser) -> None:
    owners = _create(Owner, [_owner(owner) for owner in found.owners], by)
    for record, owner in zip(found.owners, owners, strict=True):
        record.pk = owner.pk
    dogs = _create(Patient, [_dog(dog) for dog in found.dogs], by)
    for record, dog in zip(found.dogs, dogs, strict=True):
        record.pk = dog.pk
    conditions = [
        Condition(patient_id=dog.pk, name=name)
        for dog in found.dogs
        for name in dog.values.get("conditions", ())
    ]
    _create(Condition, conditions, by)
    _create(HomeWeighIn, [_weigh_in(brought) for brought in found.weigh_ins], by)


def _create(model: type, records: list, by: AbstractUser) -> list:
    return bulk_create_with_history(
        records, model, batch_size=AT_ONCE, default_user=by, default_change_reason=REASON
    )


def _owner(record: OwnerRecord) -> Owner:
    values = dict(record.values)
    return Owner(name=values.pop("owner"), **values)


def _dog(record: DogRecord) -> Patient:
    values = {key: value for key, value in record.values.items() if key != "conditions"}
    return Patient(owner_id=record.owner.pk, **values)


def _weigh_in(brought: BroughtWeight) -> HomeWeighIn:
    values = brought.values
    return HomeWeighIn(
        patient_id=brought.dog.pk,
        date=values["date"],
        weight_kg=values["weight"],
        note=weigh_in_note(values),
    )
