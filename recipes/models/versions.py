"""Recipes, their versions, ingredients and kitchen steps.

An approved version never changes: editing makes the next version.
"""

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from nutrients.models import Food, Method, Profile
from recipes import states
from recipes.models.freezing import Freezing


class When(models.TextChoices):
    """When an ingredient or a supplement goes in, in kitchen order."""

    IN_THE_POT = "in_the_pot", "in the pot"
    LATE = "late", "late"
    OFF_THE_HEAT = "off_the_heat", "off the heat"
    COOLED_BATCH = "cooled_batch", "cooled batch"
    IN_THE_BOWL = "in_the_bowl", "in the bowl"


class Told(models.Model):
    """What a recipe's history says beside who, when and why: the move of states.MOVES, and its version."""

    move = models.CharField(max_length=10, blank=True, default="")
    version_number = models.PositiveIntegerField(null=True)

    class Meta:
        abstract = True


class Recipe(models.Model):
    """brought_back_at: when it was last retired no more; what was approved before is approved no more."""

    class State(models.TextChoices):
        DRAFT = states.DRAFT, "draft"
        IN_REVIEW = states.IN_REVIEW, "in review"
        APPROVED = states.APPROVED, "approved"
        RETIRED = states.RETIRED, "retired"

    title = models.CharField(max_length=120, unique=True)
    purpose = models.CharField(max_length=300, blank=True)
    tags = models.CharField(max_length=200, blank=True, help_text="Words, separated by commas.")
    profile = models.ForeignKey(
        Profile, models.PROTECT, related_name="+", help_text="The profile it is meant to meet."
    )
    state = models.CharField(max_length=10, choices=State, default=State.DRAFT)
    brought_back_at = models.DateTimeField(null=True, blank=True, editable=False)
    history = HistoricalRecords(bases=[Told], history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["title"]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("recipes:recipe-detail", args=[self.pk])

    def latest(self) -> "RecipeVersion | None":
        return self.versions.order_by("-number").first()


class RecipeVersion(Freezing):
    recipe = models.ForeignKey(Recipe, models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField(default=1)
    author = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    note = models.CharField("what changed", max_length=300, blank=True)
    method = models.CharField(max_length=30, choices=Method, default=Method.SIMMERED_KEPT)
    vessel = models.CharField(max_length=80, blank=True, help_text="Such as: 6-litre slow cooker.")
    cooked_weight_g = models.FloatField(
        "cooked weight, weighed (g)",
        null=True,
        blank=True,
        validators=[MinValueValidator(1)],
        help_text="Of the whole batch as written, before supplements. Leave empty when it was never weighed.",
    )
    added_water_g = models.FloatField("water added (g)", default=0, validators=[MinValueValidator(0)])
    created_at = models.DateTimeField(auto_now_add=True)
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    approved_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["recipe", "-number"]
        constraints = [
            models.UniqueConstraint(fields=["recipe", "number"], name="one_version_number_per_recipe")
        ]
        permissions = [("approve_recipeversion", "Can approve a recipe version")]

    def __str__(self) -> str:
        return f"{self.recipe.title}, version {self.number}"

    @property
    def approved(self) -> bool:
        return self.approved_at is not None

    @property
    def in_use(self) -> bool:
        """May a plan be made with it: approved, and the recipe not retired since."""
        if not self.approved or self.recipe.state == Recipe.State.RETIRED:
            return False
        return self.recipe.brought_back_at is None or self.recipe.brought_back_at < self.approved_at

    def versions_touched(self) -> models.QuerySet:
        return RecipeVersion.objects.filter(pk=self.pk)


class Line(Freezing):
    """Something that stands in a version: moved to another one it changes both."""

    class Meta:
        abstract = True

    def versions_touched(self) -> models.QuerySet:
        before = type(self).objects.filter(pk=self.pk).values("version")
        return RecipeVersion.objects.filter(models.Q(pk=self.version_id) | models.Q(pk__in=before))


class Ingredient(Line):
    """A food or a supplement in a version, in grams of the edible part."""

    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="ingredients")
    food = models.ForeignKey(Food, models.PROTECT, related_name="+")
    grams = models.FloatField(validators=[MinValueValidator(0.001), MaxValueValidator(100_000)])
    when = models.CharField(max_length=14, choices=When, default=When.IN_THE_POT)
    step_g = models.FloatField(
        "rounding step (g)",
        default=5,
        validators=[MinValueValidator(0.1)],
        help_text="For foods; supplements use their dose step.",
    )
    position = models.PositiveSmallIntegerField(default=0)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(grams__gt=0), name="ingredient_weighs_something"),
            models.UniqueConstraint(fields=["version", "food", "when"], name="one_line_per_food_and_moment"),
        ]

    def __str__(self) -> str:
        return f"{self.grams:g} g {self.food}"


class KitchenStep(Line):
    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="kitchen_steps")
    position = models.PositiveSmallIntegerField(default=0)
    text = models.TextField()
    minutes = models.PositiveIntegerField(null=True, blank=True)
    temperature_c = models.FloatField(
        "temperature to reach inside (°C)",
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(250)],
    )

    class Meta:
        ordering = ["position", "pk"]

    def __str__(self) -> str:
        return self.text[:60]
