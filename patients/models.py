"""Owners, dogs, visits, feeding plans and the take-home sheets that were issued."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from simple_history.models import HistoricalRecords

from nutrients.models import Certainty, Food, Profile
from patients.energy import HEAVIEST_KG
from patients.recall_models import Recall, RecallCall  # noqa: F401 - models of this app
from recipes.models import RecipeVersion


class Owner(models.Model):
    name = models.CharField(max_length=120)
    email = models.EmailField(blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Patient(models.Model):
    class Sex(models.TextChoices):
        FEMALE = "female"
        MALE = "male"

    owner = models.ForeignKey(Owner, models.PROTECT, related_name="patients")
    name = models.CharField(max_length=80)
    breed = models.CharField(max_length=80)
    sex = models.CharField(max_length=6, choices=Sex)
    neutered = models.BooleanField(default=False)
    born = models.DateField("born on")
    born_is_estimate = models.BooleanField("birth date is an estimate", default=False)
    expected_adult_kg = models.FloatField(
        "expected adult weight (kg)",
        null=True,
        blank=True,
        validators=[MinValueValidator(0.5), MaxValueValidator(HEAVIEST_KG)],
        help_text="For puppies. Unknown is treated as a large breed.",
    )
    veterinarian = models.CharField("referring veterinarian", max_length=120, blank=True)
    clinic = models.CharField(max_length=120, blank=True)
    diet_history = models.TextField(blank=True, help_text="What the dog eats now, with amounts.")
    medical_notes = models.TextField(blank=True)
    next_recheck = models.DateField("next re-check", null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("patients:patient-detail", args=[self.pk])


class Condition(models.Model):
    patient = models.ForeignKey(Patient, models.CASCADE, related_name="conditions")
    name = models.CharField(max_length=120)

    def __str__(self) -> str:
        return self.name


class Avoid(models.Model):
    """A food, or every food whose name or group holds a word, that this dog must not get."""

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="avoids")
    food = models.ForeignKey(Food, models.CASCADE, null=True, blank=True, related_name="+")
    word = models.CharField(max_length=60, blank=True)
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(food__isnull=False) | ~models.Q(word=""), name="avoid_names_something"
            )
        ]

    def __str__(self) -> str:
        return self.food.name if self.food else self.word


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

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="visits")
    date = models.DateField(default=timezone.localdate)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.RECHECK)
    weight_kg = models.FloatField(validators=[MinValueValidator(0.2), MaxValueValidator(HEAVIEST_KG)])
    bcs = models.PositiveSmallIntegerField(
        "body condition score", validators=[MinValueValidator(1), MaxValueValidator(9)]
    )
    mcs = models.CharField("muscle condition", max_length=10, choices=Muscle, default=Muscle.NORMAL)
    activity = models.CharField(max_length=10, choices=Activity, default=Activity.MODERATE)
    appetite = models.CharField(max_length=6, choices=Appetite, default=Appetite.GOOD)
    faecal_score = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(7)],
        help_text="1 hard to 7 watery.",
    )
    notes = models.TextField(blank=True)
    history = HistoricalRecords()

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


class DietItem(models.Model):
    """One thing the dog ate at the time of a visit. An empty energy is unknown."""

    visit = models.ForeignKey(Visit, models.CASCADE, related_name="diet_items")
    what = models.CharField(max_length=200)
    kcal_per_day = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    is_extra = models.BooleanField("treat, topper, chew or pill wrapper", default=False)

    def __str__(self) -> str:
        return self.what


class EnergyFactor(models.Model):
    """A published rule for daily energy. See `patients.energy` for the equations."""

    class Unit(models.TextChoices):
        RER = "x RER", "x RER"
        MBW = "kcal per kg^0.75", "kcal per kg^0.75"
        OTHER = "other", "see the formula"

    key = models.SlugField(unique=True)
    rule = models.CharField(max_length=80)
    label = models.CharField(max_length=120)
    formula = models.CharField(max_length=160)
    low = models.FloatField(null=True, blank=True)
    usual = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=20, choices=Unit)
    from_months = models.PositiveSmallIntegerField(null=True, blank=True, help_text="The youngest age.")
    until_months = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="The age from which it no longer holds."
    )
    choosable = models.BooleanField(default=False, help_text="Offered when a plan is made.")
    order = models.PositiveSmallIntegerField(default=0)
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["order"]

    def __str__(self) -> str:
        return self.label


class Plan(models.Model):
    class Goal(models.TextChoices):
        HOLD = "hold", "hold weight"
        LOSE = "lose", "lose weight"
        GAIN = "gain", "gain weight"
        GROW = "grow", "grow"

    class Serve(models.TextChoices):
        COLD = "cold", "cold from the fridge"
        REWARMED = "rewarmed", "re-warmed"

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
    kcal_per_day = models.FloatField(validators=[MinValueValidator(20), MaxValueValidator(15_000)])
    extras_kcal = models.FloatField("extras (kcal a day)", default=0, validators=[MinValueValidator(0)])
    recipe_share = models.FloatField(default=1, validators=[MinValueValidator(0.01), MaxValueValidator(1)])
    meals_per_day = models.PositiveSmallIntegerField(
        default=2, validators=[MinValueValidator(1), MaxValueValidator(6)]
    )
    batch_days = models.PositiveSmallIntegerField(
        default=4, validators=[MinValueValidator(1), MaxValueValidator(31)]
    )
    serve = models.CharField(max_length=10, choices=Serve, default=Serve.REWARMED)
    frozen = models.BooleanField("part of the batch is frozen", default=False)
    profile = models.ForeignKey(Profile, models.PROTECT, related_name="+")
    state = models.CharField(max_length=8, choices=State, default=State.DRAFT)
    supersedes = models.ForeignKey("self", models.SET_NULL, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["-created_at"]

    def __str__(self) -> str:
        return f"{self.patient}: {self.recipe_version}"

    def get_absolute_url(self) -> str:
        return reverse("patients:plan-detail", args=[self.pk])


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
