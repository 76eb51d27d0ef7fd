"""What the veterinarian gave, what the owner gives beside it, and what a laboratory found."""

from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from patients.models.dogs import Patient


class Medicine(models.Model):
    """A medicine as prescribed: written down here, never dosed. Without `ended_on` it is still given."""

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="medicines")
    name = models.CharField(max_length=120)
    how_given = models.CharField("as prescribed", max_length=120, blank=True)
    reason = models.CharField("for what", max_length=120, blank=True)
    started_on = models.DateField("since", null=True, blank=True)
    ended_on = models.DateField("until", null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def is_given(self, on) -> bool:
        return self.ended_on is None or self.ended_on >= on

    def clean(self) -> None:
        if self.started_on and self.ended_on and self.ended_on < self.started_on:
            raise ValidationError({"ended_on": "This day lies before the first one: check both."})


class GivenSupplement(models.Model):
    """A supplement that the owner gives of their own accord, in the owner's words."""

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="given_supplements")
    name = models.CharField(max_length=120)
    amount = models.CharField("how much a day", max_length=80, blank=True)
    reason = models.CharField("for what", max_length=120, blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name_plural = "supplements given"
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    @property
    def told(self) -> str:
        """Such as `fish oil (one capsule, for the coat)`."""
        more = ", ".join(
            filter(None, (self.amount, self.reason and f"for {self.reason.removeprefix('for ')}"))
        )
        return f"{self.name} ({more})" if more else self.name


class LabResult(models.Model):
    """One result as the laboratory reported it. `mark` is the laboratory's own, never worked out here."""

    class Mark(models.TextChoices):
        BELOW = "below", "below its range"
        WITHIN = "within", "within its range"
        ABOVE = "above", "above its range"

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="lab_results")
    date = models.DateField()
    what = models.CharField(max_length=60)
    value = models.CharField(max_length=40)
    unit = models.CharField(max_length=20, blank=True)
    normal_range = models.CharField("the laboratory's range", max_length=40, blank=True)
    mark = models.CharField("the laboratory says", max_length=6, choices=Mark, blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name_plural = "laboratory results"
        ordering = ["-date", "what", "pk"]

    def __str__(self) -> str:
        return f"{self.what} {self.value} {self.unit}".strip()

    @property
    def told(self) -> str:
        """Such as `creatinine 180 µmol/L, above its range, 3 May 2026`."""
        mark = f", {self.get_mark_display()}" if self.mark else ""
        return f"{self}{mark}, {self.date.day} {self.date:%B %Y}"

    def clean(self) -> None:
        if self.date and self.date > timezone.localdate():
            raise ValidationError({"date": "This day lies in the future: enter the day of the sample."})
