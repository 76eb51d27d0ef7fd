"""A dog's record: what stays the same from visit to visit."""

from datetime import date

from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from nutrients.models import Food
from patients.energy import HEAVIEST_KG
from patients.life_stage import STAGES
from patients.models.owners import Owner

SMALLEST_COOKER_LITRES, LARGEST_COOKER_LITRES = 0.5, 30.0  # common practice, no source: what kitchens have
MICROCHIP = RegexValidator(
    r"^[0-9A-Z]{9,15}$", "A microchip has 15 digits; older ones 9 or 10 digits or letters: check the number."
)


class PatientQuerySet(models.QuerySet):
    def fed(self) -> "PatientQuerySet":
        """Dogs in the practice's care: neither archived nor deceased."""
        return self.kept().filter(status=Patient.Status.ACTIVE)

    def kept(self) -> "PatientQuerySet":
        """Without records that were merged into others."""
        return self.filter(merged_into__isnull=True)


class Patient(models.Model):
    class Status(models.TextChoices):
        ACTIVE = "active"
        ARCHIVED = "archived"
        DECEASED = "deceased"

    class Sex(models.TextChoices):
        FEMALE = "female"
        MALE = "male"

    class AdultWeightFrom(models.TextChoices):
        BREED = "breed", "the breed's usual weight"
        PARENTS = "parents", "its parents' weights"
        YOUNG = "young", "its weight when young"
        OTHER = "other", "something else"

    class Freezer(models.TextChoices):
        NONE = "none", "none"
        LITTLE = "little", "a drawer: about a week of food"
        MUCH = "much", "more than a drawer"

    class Likes(models.TextChoices):
        COLD = "cold", "cold from the fridge"
        REWARMED = "rewarmed", "re-warmed"
        EITHER = "either", "either way"

    owner = models.ForeignKey(Owner, models.PROTECT, related_name="patients")
    name = models.CharField(max_length=80)
    breed = models.CharField(max_length=80)
    sex = models.CharField(max_length=6, choices=Sex)
    neutered = models.BooleanField(default=False)
    neutered_on = models.DateField("neutered when", null=True, blank=True)
    born = models.DateField("born on")
    born_is_estimate = models.BooleanField("birth date is an estimate", default=False)
    expected_adult_kg = models.FloatField(
        "expected adult weight (kg)",
        null=True,
        blank=True,
        validators=[MinValueValidator(0.5), MaxValueValidator(HEAVIEST_KG)],
        help_text="For puppies. Unknown is treated as a large breed.",
    )
    expected_adult_from = models.CharField("expected from", max_length=8, choices=AdultWeightFrom, blank=True)
    microchip = models.CharField(max_length=15, blank=True, validators=[MICROCHIP])
    environment = models.TextField("where and with whom it lives", blank=True)
    owner_goals = models.TextField("what the owner wants", blank=True)
    cooker_litres = models.FloatField(
        "slow cooker (litres)",
        null=True,
        blank=True,
        validators=[MinValueValidator(SMALLEST_COOKER_LITRES), MaxValueValidator(LARGEST_COOKER_LITRES)],
    )
    has_oven = models.BooleanField("oven", null=True, blank=True)
    has_pan = models.BooleanField("large pan or pot", null=True, blank=True)
    freezer = models.CharField("freezer space", max_length=8, choices=Freezer, blank=True)
    weighs_in_grams = models.BooleanField("can weigh in grams", null=True, blank=True)
    likes_food = models.CharField("likes its food", max_length=10, choices=Likes, blank=True)
    veterinarian = models.CharField("referring veterinarian", max_length=120, blank=True)
    clinic = models.CharField(max_length=120, blank=True)
    diet_history = models.TextField(blank=True, help_text="What the dog eats now, with amounts.")
    medical_notes = models.TextField(blank=True)
    next_recheck = models.DateField("next re-check", null=True, blank=True)
    gentle_loss = models.BooleanField("a slower loss is wanted", default=False)
    status = models.CharField(max_length=8, choices=Status, default=Status.ACTIVE)
    left_on = models.DateField("archived or died on", null=True, blank=True)
    mated_on = models.DateField(null=True, blank=True)
    whelped_on = models.DateField(null=True, blank=True)
    litter = models.PositiveSmallIntegerField("puppies nursing", null=True, blank=True)
    stage_by_hand = models.CharField("life stage", max_length=10, choices=list(STAGES.items()), blank=True)
    stage_reason = models.CharField("why it is set by hand", max_length=200, blank=True)
    merged_into = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="merged")
    history = HistoricalRecords()

    objects = PatientQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        permissions = [("merge_patient", "Can merge two records of one dog or owner")]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("patients:patient-detail", args=[self.pk])

    @property
    def is_fed(self) -> bool:
        """In the practice's care, as `fed` picks them."""
        return self.status == self.Status.ACTIVE and self.merged_into_id is None

    @property
    def last_day(self) -> date | None:
        """Of a dog that died."""
        return self.left_on if self.status == self.Status.DECEASED else None

    @property
    def why_not_fed(self) -> str:
        """Why nothing new is planned, issued or recorded for the dog, and what to do; empty while in care."""
        if self.is_fed:
            return ""
        if self.merged_into_id:
            return f"This record of {self.name} was merged into another one: open {self.name}'s page again."
        if self.status == self.Status.DECEASED:
            return f"{self.name} has died: the record is there to be read, and nothing new is made in it."
        return f"{self.name} is not in our care now: bring the record back first, on {self.name}'s page."


class Condition(models.Model):
    patient = models.ForeignKey(Patient, models.CASCADE, related_name="conditions")
    name = models.CharField(max_length=120)
    history = HistoricalRecords()

    def __str__(self) -> str:
        return self.name


class Avoid(models.Model):
    """A food, or every food whose name or group holds a word, that this dog must not get."""

    class Kind(models.TextChoices):
        ALLERGY = "allergy", "allergy"
        INTOLERANCE = "intolerance", "intolerance"
        DISLIKE = "dislike", "dislike"
        ORDER = "order", "veterinarian's order"

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="avoids")
    food = models.ForeignKey(Food, models.CASCADE, null=True, blank=True, related_name="+")
    word = models.CharField(max_length=60, blank=True)
    kind = models.CharField("why", max_length=12, choices=Kind, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name = "food to avoid"
        verbose_name_plural = "foods to avoid"
        constraints = [
            models.CheckConstraint(
                condition=models.Q(food__isnull=False) | ~models.Q(word=""), name="avoid_names_something"
            )
        ]

    def __str__(self) -> str:
        return self.food.name if self.food else self.word

    @property
    def why(self) -> str:
        """The kind and the reason together, such as `allergy: itching`."""
        return ": ".join(part for part in (self.get_kind_display(), self.reason) if part)
