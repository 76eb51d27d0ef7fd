"""Records and withdraws a veterinarian's sign-off. None is ever changed or deleted."""

from collections.abc import Iterable

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from patients.models import AgreedNumber, Patient, SignOff, SignOffLetter
from patients.sign_off_queries import can_be_agreed


@transaction.atomic
def record_sign_off(
    *, sign_off: SignOff, by: AbstractUser, numbers: Iterable[AgreedNumber] = (), letter=None
) -> SignOff:
    """Keep a sign-off with the numbers set and its letter (name, kind, content); one that stands for the same
    caution is withdrawn as replaced, so that it does not come back when this one is withdrawn.

    Raises ValidationError for a dog that is not in care, for a caution that nobody can open, and for one that
    is older than what stands.
    """
    patient = Patient.objects.select_for_update().get(pk=sign_off.patient_id)
    if patient.why_not_fed:
        raise ValidationError(patient.why_not_fed)
    if not can_be_agreed(sign_off.subject):
        raise ValidationError("No sign-off can be recorded for this: what must never be fed stays so.")
    for earlier in sign_off.patient.sign_offs.standing().filter(subject=sign_off.subject):
        if earlier.agreed_on > sign_off.agreed_on:
            raise ValidationError("A later sign-off was recorded meanwhile: look at that one first.")
        on = sign_off.agreed_on
        _withdraw(earlier, by, f"Replaced by the sign-off of {on.day} {on:%B %Y}.")
    sign_off.recorded_by = by
    sign_off.full_clean()
    sign_off.save()
    for number in numbers:
        number.sign_off = sign_off
        number.full_clean()
        number.save()
    if letter:
        SignOffLetter.objects.create(
            sign_off=sign_off,
            name=letter.name,
            kind=letter.kind,
            size=len(letter.content),
            content=letter.content,
        )
    return sign_off


@transaction.atomic
def withdraw_sign_off(*, sign_off: SignOff, by: AbstractUser, reason: str) -> None:
    """It no longer holds, and is kept with the reason. Raises ValidationError when that was done already."""
    sign_off = SignOff.objects.select_for_update().get(pk=sign_off.pk)
    if sign_off.withdrawn_at:
        raise ValidationError("This sign-off was withdrawn already.")
    _withdraw(sign_off, by, reason)


def _withdraw(sign_off: SignOff, by: AbstractUser, reason: str) -> None:
    sign_off.withdrawn_at, sign_off.withdrawn_by, sign_off.withdrawn_reason = timezone.now(), by, reason
    sign_off.full_clean(validate_constraints=False)
    sign_off.save()
