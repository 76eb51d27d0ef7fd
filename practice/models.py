"""The practice's own particulars."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from simple_history.models import HistoricalRecords

MOST_KEPT_YEARS = 50  # common practice, no source: longer is a typing error


def _kept_years(what: str) -> models.PositiveSmallIntegerField:
    """For how long records are kept of an owner whose data are erased; None: not decided yet, 0: not kept."""
    return models.PositiveSmallIntegerField(
        f"{what} (years)", null=True, blank=True, validators=[MaxValueValidator(MOST_KEPT_YEARS)]
    )


class PracticeProfile(models.Model):
    class Paper(models.TextChoices):
        A4 = "A4"
        LETTER = "letter", "US Letter"

    name = models.CharField(max_length=120)
    address = models.TextField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    currency = models.CharField(
        max_length=8, blank=True, help_text="Such as EUR or $: stands behind the costs on shopping lists."
    )
    paper = models.CharField(max_length=6, choices=Paper, default=Paper.A4)
    recheck_days = models.PositiveSmallIntegerField(
        "days to the next re-check", default=28, validators=[MinValueValidator(1), MaxValueValidator(365)]
    )
    sheets_kept_years = _kept_years("take-home sheets")
    sign_offs_kept_years = _kept_years("veterinarians' sign-offs")
    recall_calls_kept_years = _kept_years("recall calls")
    history = HistoricalRecords()

    class Meta:
        permissions = [("administer", "Can change the practice's settings and people")]

    def __str__(self) -> str:
        return self.name
