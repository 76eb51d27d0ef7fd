"""Corrections whose consequences were looked into, and the owners who are told."""

from django.conf import settings
from django.db import models
from django.db.models import OuterRef, Q, Subquery
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from patients.models.dogs import Patient


class Recall(models.Model):
    """What a correction touches, as it was worked out.

    `entry` is the correction's first entry in its history, `entries` are all. `touched` holds recipes, plans
    and sheets with the answers that changed (patients.recall_queries.Touched).
    """

    class Kind(models.TextChoices):
        FOOD_VALUE = "food_value", "food value"
        LIMIT = "limit", "limit"
        RETENTION = "retention", "retention factor"

    kind = models.CharField(max_length=12, choices=Kind)
    entry = models.PositiveIntegerField()
    entries = models.JSONField()
    what = models.CharField(max_length=300)
    reason = models.TextField(blank=True)
    before = models.JSONField()
    after = models.JSONField()
    corrected_at = models.DateTimeField()
    corrected_by = models.CharField(max_length=160, blank=True)
    touched = models.JSONField()
    worked_out_at = models.DateTimeField()
    created_at = models.DateTimeField(auto_now_add=True)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["-corrected_at"]
        constraints = [models.UniqueConstraint(fields=["kind", "entry"], name="one_recall_per_correction")]

    def __str__(self) -> str:
        return self.what

    def get_absolute_url(self) -> str:
        return reverse("patients:recall-detail", args=[self.pk])


class RecallCallQuerySet(models.QuerySet):
    def with_new_sheet(self) -> "RecallCallQuerySet":
        """Each says as `new_sheet` which sheet the dog got after the recall was worked out, if any."""
        from patients.models import Sheet

        later = Sheet.objects.filter(
            plan__patient=OuterRef("patient"), issued_at__gt=OuterRef("recall__created_at")
        )
        return self.annotate(new_sheet=Subquery(later.order_by("-issued_at").values("pk")[:1]))

    def to_make(self) -> "RecallCallQuerySet":
        """Owners who were not reached and whose dog has no new sheet.

        An archived dog may still eat by a sheet that is good; of one that died nobody is reminded.
        """
        waiting = Q(status=RecallCall.Status.TO_CALL, new_sheet__isnull=True, patient__merged_into=None)
        by_the_sheet = Q(sheet__expires_on__gte=timezone.localdate(), patient__status=Patient.Status.ARCHIVED)
        eats = Q(patient__status=Patient.Status.ACTIVE) | by_the_sheet
        return self.with_new_sheet().filter(waiting & eats)


class RecallCall(models.Model):
    """An owner who is to be told. `sheet` is the one that no longer holds, when the dog has one."""

    class Status(models.TextChoices):
        TO_CALL = "to_call", "to call"
        CALLED = "called", "called"

    recall = models.ForeignKey(Recall, models.CASCADE, related_name="calls")
    patient = models.ForeignKey("patients.Patient", models.PROTECT, related_name="recall_calls")
    sheet = models.ForeignKey("patients.Sheet", models.PROTECT, null=True, blank=True, related_name="+")
    status = models.CharField(max_length=10, choices=Status, default=Status.TO_CALL)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")
    at = models.DateTimeField(null=True, blank=True)
    history = HistoricalRecords()
    objects = RecallCallQuerySet.as_manager()

    class Meta:
        ordering = ["patient__name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["recall", "patient"], name="one_call_per_dog_and_recall")
        ]

    def __str__(self) -> str:
        return f"{self.patient}: {self.recall}"

    @property
    def is_waiting(self) -> bool:
        """Of one read `with_new_sheet`: as `to_make` picks them."""
        dog, sheet = self.patient, self.sheet
        by_the_sheet = dog.status == Patient.Status.ARCHIVED and sheet is not None and not sheet.expired
        eats = dog.merged_into_id is None and (dog.is_fed or by_the_sheet)
        return self.status == self.Status.TO_CALL and not self.new_sheet and eats
