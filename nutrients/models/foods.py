"""Nutrients, foods and their composition, supplements.

A nutrient that a food has no value for has no row: unknown is not zero.
"""

import math
from functools import reduce

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Value
from django.db.models.functions import Concat, Lower, Replace
from django.urls import reverse
from simple_history.models import HistoricalRecords

from nutrients.food_words import PLAIN
from nutrients.models.history import WholeHistory

SEARCHED = Lower(Concat(Value(" "), "name", Value(" "), "group", Value(" "), "state"))


class Heat(models.TextChoices):
    STABLE = "stable", "heat-stable"
    SENSITIVE = "sensitive", "heat-sensitive"


class Nutrient(models.Model):
    key = models.SlugField(unique=True)
    name = models.CharField(max_length=80)
    unit = models.CharField(max_length=12)
    group = models.CharField(max_length=40)
    order = models.PositiveSmallIntegerField()
    decimals = models.PositiveSmallIntegerField(default=1)
    derived = models.BooleanField(default=False, help_text="Worked out from others; never stored for a food.")
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["order"]

    def __str__(self) -> str:
        return self.name


class Food(models.Model):
    class State(models.TextChoices):
        RAW = "raw"
        COOKED = "cooked"
        DRIED = "dried"
        CANNED = "canned"
        AS_SOLD = "as sold"

    name = models.CharField(max_length=200, unique=True)
    group = models.CharField(max_length=40)
    state = models.CharField(max_length=10, choices=State)
    retention_group = models.CharField(
        max_length=40, blank=True, help_text="Row of the retention table; blank when no factor fits."
    )
    source = models.CharField(max_length=200)
    source_ref = models.CharField(max_length=40, blank=True, help_text="NDB number for USDA foods.")
    refuse_percent = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(99)]
    )
    note = models.TextField(blank=True)
    own = models.BooleanField(default=False, help_text="Entered by the practice.")
    discontinued = models.BooleanField(default=False, help_text="No longer bought: kept, not offered.")
    search_text = models.GeneratedField(  # as `nutrients.food_words.plain` writes it; the database keeps it
        expression=reduce(lambda text, pair: Replace(text, *map(Value, pair)), PLAIN.items(), SEARCHED),
        output_field=models.TextField(),
        db_persist=True,
    )
    history = HistoricalRecords(
        excluded_fields=["search_text"], history_change_reason_field=models.TextField(null=True)
    )

    class Meta:
        ordering = ["name"]
        indexes = [
            # With the text, so that a search that goes through the list in this order reads the index alone.
            models.Index(fields=["discontinued", "name", "search_text"], name="foods_as_listed"),
            models.Index(fields=["group"], name="food_groups"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("nutrients:food-detail", args=[self.pk])


class Synonym(models.Model):
    """A word that people search by, and what foods are called here: courgette, zucchini. Holds both ways."""

    word = models.CharField(max_length=60)
    called = models.CharField(max_length=60)
    source = models.CharField(max_length=300)

    class Meta:
        ordering = ["word"]
        constraints = [models.UniqueConstraint(fields=["word", "called"], name="one_synonym")]

    def __str__(self) -> str:
        return f"{self.word} = {self.called}"


class FoodValue(models.Model):
    """What 100 g of a food hold of a nutrient, in the nutrient's unit.

    A bound (guaranteed analysis) is no value: its `per_100g` is empty and it counts nowhere. `low` and `high`
    are a bound's minimum and maximum, and the range of an estimate.
    """

    class Kind(models.TextChoices):
        PUBLISHED = "published"
        LABEL = "label"
        LABORATORY = "laboratory"
        ESTIMATE = "estimate"
        BOUND = "bound"

    food = models.ForeignKey(Food, models.CASCADE, related_name="values")
    nutrient = models.ForeignKey(Nutrient, models.PROTECT, related_name="+")
    per_100g = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    low = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    high = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    kind = models.CharField(max_length=12, choices=Kind)
    source = models.CharField(max_length=300)
    history = WholeHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["nutrient__order"]
        constraints = [
            models.UniqueConstraint(fields=["food", "nutrient"], name="one_value_per_food_and_nutrient"),
            models.CheckConstraint(
                condition=models.Q(kind="bound", per_100g__isnull=True)
                | (~models.Q(kind="bound") & models.Q(per_100g__gte=0)),
                name="food_value_not_negative_and_a_bound_no_value",
            ),
        ]
        indexes = [models.Index(fields=["nutrient", "food", "per_100g"], name="amounts_of_a_nutrient")]
        permissions = [("correct_foodvalue", "Can change a published value, with a reason")]

    def __str__(self) -> str:
        return f"{self.food}: {self.nutrient}"

    def clean(self) -> None:
        known = [amount for amount in (self.low, self.per_100g, self.high) if amount is not None]
        if not all(map(math.isfinite, known)):
            raise ValidationError("An amount must be a number that is known.")
        if self.kind == self.Kind.BOUND:
            if self.per_100g is not None:
                raise ValidationError({"per_100g": "A bound is no value: give its minimum or maximum only."})
            if self.low is None and self.high is None:
                raise ValidationError({"low": "A bound needs a minimum or a maximum."})
        elif self.per_100g is None:
            raise ValidationError({"per_100g": "Enter the amount in 100 g."})
        if known != sorted(known):
            raise ValidationError(
                {"low": "The range goes from a lower to a higher amount, with the value between."}
            )


class Measure(models.Model):
    """A household measure, such as `1 cup, cooked = 158 g` of the edible part."""

    food = models.ForeignKey(Food, models.CASCADE, related_name="measures")
    amount = models.FloatField(validators=[MinValueValidator(0.001)])
    label = models.CharField(max_length=120)
    grams = models.FloatField(validators=[MinValueValidator(0.001)])

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.amount:g} {self.label} = {self.grams:g} g"


class Supplement(models.Model):
    """A product with a dose unit. Its food row carries the composition."""

    food = models.OneToOneField(Food, models.CASCADE, related_name="supplement")
    form = models.CharField(max_length=80, help_text="What it is made of, as the label says.")
    dose_unit = models.CharField(max_length=30, help_text="tablet, capsule, drop, g, ml ...")
    grams_per_dose_unit = models.FloatField(validators=[MinValueValidator(0.0001)])
    smallest_step = models.FloatField(
        validators=[MinValueValidator(0.001)],
        help_text="Smallest practical part of a dose unit, such as 0.5.",
    )
    heat = models.CharField(max_length=10, choices=Heat)
    heat_reason = models.CharField(max_length=200, blank=True)
    label_text = models.TextField(help_text="What the label declares, in its own words.")
    declares_all = models.BooleanField(
        default=False, help_text="The label declares everything in it: what it does not name is zero."
    )
    assay = models.CharField(max_length=200, blank=True)
    lot = models.CharField(max_length=60, blank=True)
    expiry = models.DateField(null=True, blank=True)
    history = HistoricalRecords(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["food__name"]

    def __str__(self) -> str:
        return self.food.name

    def clean(self) -> None:
        """Seaweeds differ 500-fold in iodine (Teas et al. 2004, Thyroid 14:836): only assayed ones."""
        if not self.food_id or self.food.group != "seaweed supplement":
            return
        if not self.assay:
            raise ValidationError({"assay": "Kelp and other seaweeds need an assay of their iodine."})
        if self.pk and not self.label_amounts.filter(nutrient__key="iodine").exists():
            raise ValidationError("Enter the assayed iodine of this seaweed as a line of its label.")
