"""The people whose dogs they are."""

from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from nutrients.language import ENGLISH, LANGUAGES
from nutrients.owner_units import METRIC, UNITS


class OwnerQuerySet(models.QuerySet):
    def kept(self) -> "OwnerQuerySet":
        """Without records that were merged into others."""
        return self.filter(merged_into__isnull=True)


class Owner(models.Model):
    """consented_on: the day on which the owner agreed that these records are kept; None: not yet.

    language, units: those of the take-home sheets.
    """

    class Reach(models.TextChoices):
        PHONE = "phone", "by phone"
        MESSAGE = "message", "by text message"
        EMAIL = "email", "by e-mail"
        POST = "post", "by post"

    name = models.CharField(max_length=120)
    second_name = models.CharField("second person", max_length=120, blank=True)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    second_phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    reach = models.CharField("best reached", max_length=8, choices=Reach, blank=True)
    reach_note = models.CharField("when to reach", max_length=120, blank=True)
    consented_on = models.DateField("agreed to the records on", null=True, blank=True)
    language = models.CharField("language of the sheets", max_length=2, choices=LANGUAGES, default=ENGLISH)
    units = models.CharField("weighs and measures in", max_length=6, choices=UNITS, default=METRIC)
    merged_into = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="merged")
    history = HistoricalRecords()
    objects = OwnerQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        if self.consented_on and self.consented_on > timezone.localdate():
            raise ValidationError({"consented_on": "This day lies in the future."})
