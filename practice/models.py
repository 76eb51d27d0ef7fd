"""The practice's own particulars."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from simple_history.models import HistoricalRecords


class PracticeProfile(models.Model):
    class Paper(models.TextChoices):
        A4 = "A4"
        LETTER = "letter", "US Letter"

    name = models.CharField(max_length=120)
    address = models.TextField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    paper = models.CharField(max_length=6, choices=Paper, default=Paper.A4)
    recheck_days = models.PositiveSmallIntegerField(
        "days to the next re-check", default=28, validators=[MinValueValidator(1), MaxValueValidator(365)]
    )
    history = HistoricalRecords()

    class Meta:
        permissions = [("administer", "Can change the practice's settings and people")]

    def __str__(self) -> str:
        return self.name
