"""What was found when a dog was seen, and what it ate then."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from patients.energy import HEAVIEST_KG, HIGHEST_KCAL
from patients.models.dogs import Patient

MINUTES_OF_A_DAY = 24 * 60
MOST_FED_PERCENT = 400.0  # common practice, no source: more of a plan is a typing error


class VisitQuerySet(models.QuerySet):
    def counted(self) -> "VisitQuerySet":
        """Those whose weight is believed."""
        return self.filter(left_out=False)


class Visit(models.Model):
    class Kind(models.TextChoices):
        INTAKE = "intake"
        RECHECK = "recheck", "re-check"
        WEIGH_IN = "weigh_in", "weigh-in"

    class Muscle(models.TextChoices):
        NORMAL = "normal"
        MILD = "mild", "mild loss"
        MODERATE = "moderate", "moderate loss"
        SEVERE = "severe", "severe loss"

    class Activity(models.TextChoices):
        LOW = "low", "low: under 1 hour a day, on the leash"
        MODERATE = "moderate", "moderate: 1-3 hours a day"
        HIGH = "high", "high: 3-6 hours a day, or working"

    class Appetite(models.TextChoices):
        GOOD = "good"
        FAIR = "fair"
        POOR = "poor"

    class Leftovers(models.TextChoices):
        NONE = "none", "none: the bowl is licked clean"
        SOME = "some", "some: less than a quarter"
        MUCH = "much", "much: a quarter or more"

    class Liveliness(models.TextChoices):
        LIVELY = "lively", "livelier than before"
        USUAL = "usual", "as usual"
        TIRED = "tired", "tired"

    class Coat(models.TextChoices):
        GLOSSY = "glossy", "glossy"
        USUAL = "usual", "as usual"
        DULL = "dull", "dull or scurfy"

    class Water(models.TextChoices):
        LESS = "less", "less than usual"
        USUAL = "usual", "as usual"
        MORE = "more", "more than usual"

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="visits")
    date = models.DateField(default=timezone.localdate)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.RECHECK)
    weight_kg = models.FloatField(validators=[MinValueValidator(0.2), MaxValueValidator(HEAVIEST_KG)])
    bcs = models.PositiveSmallIntegerField(
        "body condition score", validators=[MinValueValidator(1), MaxValueValidator(9)]
    )
    mcs = models.CharField("muscle condition", max_length=10, choices=Muscle, default=Muscle.NORMAL)
    activity = models.CharField(max_length=10, choices=Activity, default=Activity.MODERATE)
    activity_minutes = models.PositiveSmallIntegerField(
        "minutes of activity a day",
        null=True,
        blank=True,
        validators=[MaxValueValidator(MINUTES_OF_A_DAY)],
    )
    activity_kind = models.CharField("kind of activity", max_length=120, blank=True)
    appetite = models.CharField(max_length=6, choices=Appetite, default=Appetite.GOOD)
    faecal_score = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(7)],
        help_text="1 hard to 7 watery.",
    )
    left_out = models.BooleanField("weight left out of the curve", default=False)
    leftovers = models.CharField("left in the bowl", max_length=4, choices=Leftovers, blank=True)
    liveliness = models.CharField("energy", max_length=6, choices=Liveliness, blank=True)
    coat = models.CharField(max_length=6, choices=Coat, blank=True)
    water = models.CharField("water drunk", max_length=5, choices=Water, blank=True)
    vomiting = models.BooleanField("vomiting since last time", null=True, blank=True)
    fed_kcal = models.FloatField(
        "really fed (kcal a day)",
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(HIGHEST_KCAL)],
    )
    fed_percent = models.FloatField(
        "really fed (% of the plan)",
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(MOST_FED_PERCENT)],
    )
    questions = models.TextField("questions of the owner", blank=True)
    notes = models.TextField(blank=True)
    history = HistoricalRecords()
    objects = VisitQuerySet.as_manager()

    class Meta:
        ordering = ["-date", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["patient", "date", "kind"], name="one_visit_of_a_kind_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.patient}, {self.date}"

    def clean(self) -> None:
        if not self.date:
            return
        if self.date > timezone.localdate():
            raise ValidationError({"date": "This date lies in the future: enter the day the dog was seen."})
        if self.patient_id and self.patient.born and self.date < self.patient.born:
            born = self.patient.born
            raise ValidationError(
                {"date": f"{self.patient.name} was born on {born.day} {born:%B %Y}: check both dates."}
            )
