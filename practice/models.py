"""The practice's own particulars."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from simple_history.models import HistoricalRecords

MOST_GOOD_DAYS = 365  # common practice, no source: no dog stays the same for longer
MOST_KEPT_YEARS = 50  # common practice, no source: longer is a typing error


def _kept_years(what: str) -> models.PositiveSmallIntegerField:
    """For how long records are kept of an owner whose data are erased; None: not decided yet, 0: not kept."""
    return models.PositiveSmallIntegerField(
        f"{what} (years)", null=True, blank=True, validators=[MaxValueValidator(MOST_KEPT_YEARS)]
    )


def _good_days(of: str, days: int) -> models.PositiveSmallIntegerField:
    """For how long a take-home sheet is good; the first values are common practice, no source."""
    return models.PositiveSmallIntegerField(
        f"days a sheet is good for {of}",
        default=days,
        validators=[MinValueValidator(1), MaxValueValidator(MOST_GOOD_DAYS)],
    )


class PracticeProfile(models.Model):
    class Paper(models.TextChoices):
        A4 = "A4"
        LETTER = "letter", "US Letter"

    class Accent(models.TextChoices):
        """Of the headings and lines on paper; dark enough to be read on white, told apart by nothing else."""

        LEAF = "leaf"
        SEA = "sea"
        PLUM = "plum"
        BRICK = "brick"
        SLATE = "slate"

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
    accent = models.CharField("colour on paper", max_length=5, choices=Accent, default=Accent.LEAF)
    logo = models.CharField(max_length=80, blank=True, editable=False)  # the name of a stored picture
    puppy_days = _good_days("growing, pregnant and nursing dogs", 14)
    loss_days = _good_days("dogs that lose weight", 28)
    adult_days = _good_days("all other dogs", 182)
    sheets_kept_years = _kept_years("take-home sheets")
    sign_offs_kept_years = _kept_years("veterinarians' sign-offs")
    recall_calls_kept_years = _kept_years("recall calls")
    history = HistoricalRecords()

    class Meta:
        permissions = [("administer", "Can change the practice's settings and people")]

    def __str__(self) -> str:
        return self.name
