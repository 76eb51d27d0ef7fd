"""What a dog is to be fed, and the take-home sheets that were issued."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from nutrients.models import Food, Profile
from patients.energy import HEAVIEST_KG
from patients.models.dogs import LARGEST_COOKER_LITRES, SMALLEST_COOKER_LITRES, Patient
from recipes.models import RecipeVersion


class Plan(models.Model):
    class Goal(models.TextChoices):
        HOLD = "hold", "hold weight"
        LOSE = "lose", "lose weight"
        GAIN = "gain", "gain weight"
        GROW = "grow", "grow"

    class Serve(models.TextChoices):
        COLD = "cold", "cold from the fridge"
        REWARMED = "rewarmed", "re-warmed"

    class Scale(models.TextChoices):
        NONE = "none", "no scale: measures in cups and spoons"
        GRAM = "1", "whole grams"
        TENTH = "0.1", "tenths of a gram"
        HUNDREDTH = "0.01", "hundredths of a gram"

    class State(models.TextChoices):
        DRAFT = "draft"
        ISSUED = "issued"
        ENDED = "ended"

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="plans")
    recipe_version = models.ForeignKey(RecipeVersion, models.PROTECT, related_name="+")
    goal = models.CharField(max_length=6, choices=Goal, default=Goal.HOLD)
    target_kg = models.FloatField(
        "target weight (kg)", validators=[MinValueValidator(0.2), MaxValueValidator(HEAVIEST_KG)]
    )
    method = models.CharField("how the energy was chosen", max_length=120)
    factor = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0.1), MaxValueValidator(10)]
    )
    energy_reason = models.CharField("why outside the published range", max_length=300, blank=True)
    kcal_per_day = models.FloatField(validators=[MinValueValidator(20), MaxValueValidator(15_000)])
    extras_kcal = models.FloatField("extras (kcal a day)", default=0, validators=[MinValueValidator(0)])
    recipe_share = models.FloatField(default=1, validators=[MinValueValidator(0.01), MaxValueValidator(1)])
    other_food = models.ForeignKey(
        Food, models.PROTECT, null=True, blank=True, related_name="+", verbose_name="food beside it"
    )
    meal_split = models.JSONField("meals' shares (%)", default=list, blank=True)
    meals_per_day = models.PositiveSmallIntegerField(
        default=2, validators=[MinValueValidator(1), MaxValueValidator(6)]
    )
    batch_days = models.PositiveSmallIntegerField(
        default=4, validators=[MinValueValidator(1), MaxValueValidator(31)]
    )
    serve = models.CharField(max_length=10, choices=Serve, default=Serve.REWARMED)
    frozen = models.BooleanField("part of the batch is frozen", default=False)
    vessel_litres = models.FloatField(
        "pot or slow cooker (litres)",
        null=True,
        blank=True,
        validators=[MinValueValidator(SMALLEST_COOKER_LITRES), MaxValueValidator(LARGEST_COOKER_LITRES)],
    )
    batches_a_month = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(31)]
    )
    scale = models.CharField("the owner's scale shows", max_length=4, choices=Scale, blank=True)
    profile = models.ForeignKey(Profile, models.PROTECT, related_name="+")
    state = models.CharField(max_length=8, choices=State, default=State.DRAFT)
    note = models.CharField("why this plan", max_length=300, blank=True)
    supersedes = models.ForeignKey("self", models.SET_NULL, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["-created_at"]

    def __str__(self) -> str:
        return f"{self.patient}: {self.recipe_version}"

    def get_absolute_url(self) -> str:
        return reverse("patients:plan-detail", args=[self.pk])

    def clean(self) -> None:
        if self.patient_id and self.patient.why_not_fed:
            raise ValidationError(self.patient.why_not_fed)


class Sheet(models.Model):
    """A take-home sheet as issued. Its record and PDF never change."""

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="sheets")
    patient = models.ForeignKey(Patient, models.PROTECT, related_name="sheets")
    number = models.PositiveIntegerField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    issued_at = models.DateTimeField(default=timezone.now)
    expires_on = models.DateField()
    record = models.JSONField()
    pdf = models.BinaryField()
    sha256 = models.CharField(max_length=64)

    class Meta:
        verbose_name_plural = "take-home sheets"
        ordering = ["-issued_at"]
        constraints = [
            models.UniqueConstraint(fields=["patient", "number"], name="sheets_numbered_per_patient")
        ]
        permissions = [("issue_sheet", "Can issue a take-home sheet")]

    def __str__(self) -> str:
        return f"{self.patient}, sheet {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("patients:sheet-detail", args=[self.pk])

    @property
    def expired(self) -> bool:
        return timezone.localdate() > self.expires_on

    @property
    def withdrawn(self) -> bool:
        return hasattr(self, "withdrawal")

    @property
    def in_use(self) -> bool:
        """May still be cooked by."""
        return not (self.expired or self.withdrawn)
