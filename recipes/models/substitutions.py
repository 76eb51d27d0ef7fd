"""What may stand in for a food of a version, kept beside the version, which itself never changes."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from simple_history.models import HistoricalRecords

from nutrients.models import Food
from recipes.models.versions import RecipeVersion, When


class Substitution(models.Model):
    """`food` instead of `replaces`, wherever that stands in the version, in grams for the whole batch.

    Its `amounts` are those of other lines that change along with it. It may be offered to an owner once it
    is approved; it is judged as a recipe of its own.
    """

    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="substitutions")
    replaces = models.ForeignKey(Food, models.PROTECT, related_name="+")
    food = models.ForeignKey(Food, models.PROTECT, related_name="+")
    grams = models.FloatField(validators=[MinValueValidator(0.001), MaxValueValidator(100_000)])
    when = models.CharField(max_length=14, choices=When, default=When.IN_THE_POT)
    note = models.CharField(max_length=300, blank=True)
    created_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    approved_at = models.DateTimeField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["version", "replaces__name", "food__name"]
        constraints = [
            models.UniqueConstraint(
                fields=["version", "replaces", "food"], name="one_substitution_of_a_food_by_another"
            )
        ]
        permissions = [("approve_substitution", "Can approve a substitution")]

    def __str__(self) -> str:
        return f"{self.food} instead of {self.replaces}"

    @property
    def approved(self) -> bool:
        return self.approved_at is not None

    def clean(self) -> None:
        if self.food_id is not None and self.food_id == self.replaces_id:
            raise ValidationError({"food": "A food cannot stand in for itself: choose another."})


class SubstitutionAmount(models.Model):
    """The grams of another line of the version when the substitution is made; 0 leaves it out."""

    substitution = models.ForeignKey(Substitution, models.CASCADE, related_name="amounts")
    food = models.ForeignKey(Food, models.PROTECT, related_name="+")
    grams = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(100_000)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["substitution", "food"], name="one_amount_per_substitution_and_food"
            )
        ]

    def __str__(self) -> str:
        return f"{self.grams:g} g {self.food}"
