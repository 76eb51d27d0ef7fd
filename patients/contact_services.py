"""Writes of the contact log and the tasks of an owner."""

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from patients.models import Contact, Task


@transaction.atomic
def keep_contact(*, contact: Contact, by: AbstractUser) -> Contact:
    contact.by = by
    contact.full_clean()
    contact.save()
    return contact


@transaction.atomic
def mend_contact(*, contact: Contact, by: AbstractUser) -> Contact:
    """What was noted is mended by who noted it; its history keeps what it said before.

    Raises ValidationError for anybody else.
    """
    if not is_own(contact, by):
        raise ValidationError("Only who noted this contact can mend it: add one of your own.")
    contact.full_clean()
    contact.save()
    return contact


def is_own(contact: Contact, person: AbstractUser) -> bool:
    return contact.by_id is not None and contact.by_id == person.pk


@transaction.atomic
def add_task(*, task: Task, by: AbstractUser) -> Task:
    task.made_by = by
    task.full_clean()
    task.save()
    return task


@transaction.atomic
def set_done(*, task: Task, done: bool, by: AbstractUser) -> Task:
    """Done by a person now, or to be done after all; what is as asked for stays as it is."""
    if task.done != done:
        task.done_by, task.done_at = (by, timezone.now()) if done else (None, None)
        task.save()
    return task
