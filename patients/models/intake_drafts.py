"""An intake that was begun: kept as it was typed, until the dog is taken on or the draft thrown away."""

from django.conf import settings
from django.db import models

from patients.models.dogs import Patient


class IntakeDraftQuerySet(models.QuerySet):
    def unfinished(self) -> "IntakeDraftQuerySet":
        return self.filter(patient__isnull=True)


class IntakeDraft(models.Model):
    """typed: field -> what was sent for it. photo: made small already.

    Once the dog is taken on only `patient` is left: what a slow browser still sends finds it finished.
    """

    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, related_name="+")
    key = models.UUIDField()
    typed = models.JSONField(default=dict)
    photo = models.BinaryField(null=True)
    kept_at = models.DateTimeField(auto_now=True)
    patient = models.ForeignKey(Patient, models.CASCADE, null=True, blank=True, related_name="+")
    objects = IntakeDraftQuerySet.as_manager()

    class Meta:
        ordering = ["-kept_at"]
        constraints = [models.UniqueConstraint(fields=["person", "key"], name="one_intake_draft_a_key")]

    def __str__(self) -> str:
        return f"intake of {self.dog or 'a dog without a name'}"

    @property
    def dog(self) -> str:
        return self._first("name")

    @property
    def owner(self) -> str:
        return self._first("owner-name")

    def _first(self, field: str) -> str:
        return next(iter(self.typed.get(field, [])), "").strip()
