"""What was handed out of an owner's data, and who asked for its erasure and confirmed it.

Both outlive the owner's record: they hold its number and no name.
"""

from datetime import timedelta

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

DAYS_TO_CONFIRM = 14


class OwnerExport(models.Model):
    """sha256: of the file that was handed out, which is not kept."""

    owner_number = models.PositiveBigIntegerField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return f"data of owner {self.owner_number}, {self.made_at:%Y-%m-%d}"


class ErasureRequestQuerySet(models.QuerySet):
    def done(self) -> "ErasureRequestQuerySet":
        return self.filter(confirmed_at__isnull=False)

    def open(self) -> "ErasureRequestQuerySet":
        """Neither done nor withdrawn, and not too old to be confirmed."""
        since = timezone.now() - timedelta(days=DAYS_TO_CONFIRM)
        return self.filter(confirmed_at=None, withdrawn_at=None, asked_at__gt=since)


class ErasureRequest(models.Model):
    """Once it is done: told, what went and what stayed, as lines of what, goes, stays and why; kept_sheets,
    the numbers of those records of sheets that are kept and belong to dogs of somebody else by now.
    """

    owner_number = models.PositiveBigIntegerField()
    reason = models.TextField("why", max_length=1000)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    confirmed_at = models.DateTimeField(null=True, blank=True)
    told = models.JSONField(default=list, blank=True)
    kept_sheets = models.JSONField(default=list, blank=True)
    objects = ErasureRequestQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(confirmed_by=None) | ~Q(confirmed_by=F("asked_by")),
                name="erasure_confirmed_by_another_person",
            ),
            models.CheckConstraint(
                condition=Q(confirmed_at=None) | Q(withdrawn_at=None),
                name="erasure_either_done_or_withdrawn",
            ),
        ]
        permissions = [("confirm_erasurerequest", "Can confirm the erasure of an owner's data")]

    def __str__(self) -> str:
        return f"erasure of owner {self.owner_number}, asked {self.asked_at:%Y-%m-%d}"

    @property
    def good_until(self):
        return self.asked_at + timedelta(days=DAYS_TO_CONFIRM)

    @property
    def is_open(self) -> bool:
        """As `open` picks them."""
        return not (self.confirmed_at or self.withdrawn_at) and timezone.now() < self.good_until
