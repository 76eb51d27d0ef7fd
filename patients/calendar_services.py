"""Secret addresses of the calendar: made, withdrawn, and what a calendar program finds there."""

import hashlib
import secrets
from datetime import timedelta

from django.contrib.auth.models import AbstractUser
from django.db.models import F, Max, OuterRef, Subquery
from django.utils import timezone
from django.utils.crypto import salted_hmac

from patients.calendar_file import Recheck, calendar_file
from patients.models import CalendarAddress, Patient

SECRET_BYTES = 32
DAYS_BACK = 90  # common practice, no source: what is longer overdue stands on Today, not in a calendar


def _checksum(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def make_address(*, person: AbstractUser) -> str:
    """The secret of a new address. Nobody can read it again: only its checksum is kept."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    CalendarAddress.objects.create(person=person, sha256=_checksum(secret))
    return secret


def withdraw_address(*, address: CalendarAddress) -> None:
    if address.withdrawn_at is None:
        address.withdrawn_at = timezone.now()
        address.save()


def address_of(secret: str) -> CalendarAddress | None:
    """The address of a secret, unless it was withdrawn or its person may no longer see the dogs."""
    standing = CalendarAddress.objects.filter(withdrawn_at__isnull=True).select_related("person")
    address = standing.filter(sha256=_checksum(secret)).first()
    return address if address and address.person.has_perm("patients.view_patient") else None


def note_asked(*, address: CalendarAddress) -> None:
    CalendarAddress.objects.filter(pk=address.pk).update(asked_at=timezone.now())


def rechecks_file(practice_name: str) -> bytes:
    """The next re-check of every dog that is fed now."""
    name = f"Re-checks, {practice_name}" if practice_name else "Re-checks"
    return calendar_file(_rechecks(), name, _practice_id())


def _rechecks() -> list[Recheck]:
    changes = Patient.history.filter(id=OuterRef("pk"))
    changed = changes.order_by().values("id").annotate(at=Max("history_date")).values("at")
    since = timezone.localdate() - timedelta(days=DAYS_BACK)
    due = (
        Patient.objects.fed()
        .filter(next_recheck__gte=since)
        .annotate(changed=Subquery(changed), called=F("owner__name"))
    )
    return [
        Recheck(
            key=f"recheck-{dog.pk}",
            day=dog.next_recheck,
            dog=dog.name,
            owner=dog.called,
            changed_at=dog.changed or timezone.now(),
        )
        for dog in due.order_by("next_recheck", "name", "pk")
    ]


def _practice_id() -> str:
    """Tells this practice's entries from those of others, and says nothing about it."""
    return salted_hmac("patients.calendar", "practice").hexdigest()[:20]
