"""A sheet is withdrawn: it is marked as not to be used, and a task says to tell the owner."""

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from patients.contact_services import add_task
from patients.models import Sheet, SheetWithdrawal, Task

LONGEST_REASON = SheetWithdrawal._meta.get_field("reason").max_length


@transaction.atomic
def withdraw(*, sheet: Sheet, reason: str, by: AbstractUser) -> SheetWithdrawal:
    """Once and for all. Raises ValidationError without a reason, and for one that is withdrawn already."""
    if SheetWithdrawal.objects.filter(sheet=sheet).exists():
        raise ValidationError("This sheet is withdrawn already.")
    withdrawal = SheetWithdrawal(sheet=sheet, by=by, reason=reason)
    withdrawal.full_clean()
    withdrawal.save()
    dog = sheet.patient
    text = f"Tell {dog.owner} that {dog}'s sheet {sheet.number} must not be used any more"
    longest = Task._meta.get_field("text").max_length
    task = Task(owner=dog.owner, patient=dog, text=text[:longest], due=timezone.localdate())
    add_task(task=task, by=by)
    return withdrawal
