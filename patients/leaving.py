"""A dog that leaves the practice's care, comes back to it, or goes to another owner."""

from collections.abc import Iterable
from datetime import date

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.formats import date_format

from patients.contact_services import set_done
from patients.models import Owner, Patient, Task

LONGEST_REASON = 70  # what the history's line holds beside a day


@transaction.atomic
def leave(
    *,
    patient: Patient,
    status: str,
    on: date,
    reason: str = "",
    closed_tasks: Iterable[Task] = (),
    by: AbstractUser,
) -> Patient:
    """Archive a dog, or note its death. Its next re-check is taken off; the given tasks are closed.

    Plans and sheets stay as they are. Raises ValidationError for a dog that is not in care as it asks for.
    """
    patient = Patient.objects.select_for_update().get(pk=patient.pk)
    if patient.status == Patient.Status.DECEASED or patient.merged_into_id:
        raise ValidationError(patient.why_not_fed)
    patient.status, patient.left_on, patient.next_recheck = status, on, None
    patient._change_reason = reason
    patient.full_clean()
    patient.save()
    for task in closed_tasks:
        set_done(task=task, done=True, by=by)
    return patient


@transaction.atomic
def come_back(*, patient: Patient, reason: str, next_recheck: date | None = None) -> Patient:
    """Into the practice's care again; also where a death was noted for the wrong dog."""
    patient = Patient.objects.select_for_update().get(pk=patient.pk)
    if patient.merged_into_id:
        raise ValidationError(patient.why_not_fed)
    patient.status, patient.left_on, patient.next_recheck = Patient.Status.ACTIVE, None, next_recheck
    patient._change_reason = reason
    patient.full_clean()
    patient.save()
    return patient


@transaction.atomic
def give_over(*, patient: Patient, to: Owner, on: date, reason: str) -> Patient:
    """To another owner, on file or new. What was said with the owner before, and is to be done, stays there;
    sheets that were issued keep that owner's name.
    """
    patient = Patient.objects.select_for_update().get(pk=patient.pk)
    if to.pk is None:
        to.full_clean()
        to.save()
    if to.pk == patient.owner_id:
        raise ValidationError(f"{patient.name} belongs to {to.name} already: choose somebody else.")
    if to.merged_into_id or patient.merged_into_id:
        raise ValidationError("This record was merged into another one: open it again and choose there.")
    patient.owner = to
    patient._change_reason = f"{date_format(on, 'j F Y')}: {reason}"
    patient.full_clean()
    patient.save()
    return patient
