"""One person asks for an erasure, another one confirms it."""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date

from django.contrib.auth.models import AbstractUser
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from patients.erasure import Line, Subject, erase, lines_of, undecided
from patients.models import ErasureRequest, Owner
from patients.personal_words import without

UNDECIDED = "Say first, in the practice's settings, for how many years each kind of record is kept."


def open_request(owner: Owner) -> ErasureRequest | None:
    requests = ErasureRequest.objects.open().select_related("asked_by")
    return requests.filter(owner_number=owner.pk).first()


@transaction.atomic
def ask(*, owner: Owner, reason: str, by: AbstractUser, practice) -> ErasureRequest:
    """Raises ValidationError for an owner who was erased, while another request is open, and until the
    practice has said what it keeps.
    """
    Owner.objects.select_for_update().get(pk=owner.pk)
    if undecided(practice):
        raise ValidationError(UNDECIDED)
    if ErasureRequest.objects.done().filter(owner_number=owner.pk).exists():
        raise ValidationError("This was erased already: what is left is kept for its time.")
    if open_request(owner):
        raise ValidationError("This was asked already and waits for a second person.")
    request = ErasureRequest(owner_number=owner.pk, reason=reason, asked_by=by)
    request.full_clean()
    request.save()
    return request


@transaction.atomic
def withdraw(*, request: ErasureRequest, by: AbstractUser) -> ErasureRequest:
    request = _locked(request)
    request.withdrawn_by, request.withdrawn_at = by, timezone.now()
    request.save()
    return request


@transaction.atomic
def confirm(*, request: ErasureRequest, by: AbstractUser, practice) -> ErasureRequest:
    """Erase, all or nothing. Raises ValidationError for the person who asked, and when it is too late."""
    request = _locked(request)
    if by.pk == request.asked_by_id:
        raise ValidationError("You asked for this erasure: somebody else has to confirm it.")
    if undecided(practice):
        raise ValidationError(UNDECIDED)
    owner = Owner.objects.select_for_update().get(pk=request.owner_number)
    subject = Subject(owner, practice, timezone.localdate())
    words, lines = subject.words(), lines_of(subject)
    kept = list(subject.kept_sheets_of_others())
    erase(subject)
    request.confirmed_by, request.confirmed_at = by, timezone.now()
    request.told, request.kept_sheets = [asdict(line) for line in lines], kept
    request.save()
    _take_names_out_of_requests(owner.pk, words)
    request.refresh_from_db()
    return request


def over_their_time(practice, on: date) -> list[tuple[Subject, list[Line]]]:
    """Of erased owners, what was kept and is to be kept no longer."""
    if undecided(practice):
        return []
    found = [(subject, lines_of(subject)) for subject in _erased(practice, on)]
    return [(subject, lines) for subject, lines in found if not subject.is_kept or _goes(lines)]


@transaction.atomic
def erase_what_is_over(*, practice, on: date) -> int:
    """How many erased owners something was taken away of."""
    found = over_their_time(practice, on)
    for subject, _ in found:
        erase(subject)
    return len(found)


def _erased(practice, on: date) -> Iterable[Subject]:
    done = ErasureRequest.objects.done()
    sheets = {}
    for number, kept in done.values_list("owner_number", "kept_sheets"):
        sheets.setdefault(number, []).extend(kept)
    for owner in Owner.objects.filter(pk__in=sheets):
        yield Subject(owner, practice, on, sheets[owner.pk])


def _goes(lines: list[Line]) -> int:
    return sum(line.goes for line in lines)


def _locked(request: ErasureRequest) -> ErasureRequest:
    request = ErasureRequest.objects.select_for_update().get(pk=request.pk)
    if not request.is_open:
        raise ValidationError("This request is open no longer: it was done, withdrawn or is too old.")
    return request


def _take_names_out_of_requests(owner_number: int, words: set[str]) -> None:
    for request in ErasureRequest.objects.filter(owner_number=owner_number):
        request.reason = without(request.reason, words)
        request.save(update_fields=["reason"])
