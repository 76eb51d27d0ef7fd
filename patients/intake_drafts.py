"""Unfinished intakes: kept as typed, shown again, and closed when the dog is taken on."""

from collections.abc import Iterable
from uuid import UUID, uuid4

from django.contrib.auth.models import AbstractUser
from django.db import transaction
from django.db.models import QuerySet
from django.http import QueryDict

from patients import intake
from patients.models import IntakeDraft, Owner, Patient

NOT_TYPED = {"csrfmiddlewaretoken", "draft", "photo", "go_on", "add", "work_out"}


def key_of(text: str) -> UUID:
    """The draft's key as it was sent; a new one when it is none."""
    try:
        return UUID(text)
    except ValueError:
        return uuid4()


def typed_of(data: QueryDict) -> dict[str, list[str]]:
    """All that was sent for the fields, to be stored as JSON: without NUL, which PostgreSQL refuses."""
    return {
        name.replace("\0", ""): [value.replace("\0", "") for value in values]
        for name, values in data.lists()
        if name not in NOT_TYPED
    }


def data_of(draft: IntakeDraft) -> QueryDict:
    """What was typed, as a form is given it."""
    data = QueryDict(mutable=True)
    for name, values in draft.typed.items():
        data.setlist(name, values)
    return data


@transaction.atomic
def keep_draft(
    *, person: AbstractUser, key: UUID, typed: dict[str, list[str]], photo: bytes | None = None
) -> IntakeDraft:
    """Keep what a person typed, in place of what was kept under the key; a finished draft stays finished."""
    draft, _ = IntakeDraft.objects.get_or_create(person=person, key=key)
    if draft.patient_id is None:
        draft.typed = typed
        draft.photo = photo or draft.photo
        draft.save()
    return draft


@transaction.atomic
def take_on(*, draft: IntakeDraft, **parts) -> Patient:
    """Make the records of a draft (`parts`: as `intake.admit` takes them) and close it.

    Raises ValidationError as `intake.admit` does; nothing is written then.
    """
    patient = intake.admit(**parts)
    if draft.photo:
        intake.save_photo(patient=patient, jpeg=bytes(draft.photo))
    draft.patient, draft.typed, draft.photo = patient, {}, None
    draft.save()
    return patient


def drafts_about(owner: Owner, told: Iterable[str]) -> QuerySet:
    """Unfinished ones for an owner on file, or with what an owner told: name, phone or e-mail."""
    told = {value.casefold() for value in told}
    found = []
    for draft in IntakeDraft.objects.unfinished():
        values = {field: "".join(typed).strip().casefold() for field, typed in draft.typed.items()}
        typed = {value for field, value in values.items() if field.startswith("owner-")}
        if values.get("owner-on_file") == str(owner.pk) or typed & told:
            found.append(draft.pk)
    return IntakeDraft.objects.filter(pk__in=found)


def throw_away(*, person: AbstractUser, key: UUID) -> None:
    IntakeDraft.objects.unfinished().filter(person=person, key=key).delete()
