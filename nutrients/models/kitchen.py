"""What cooking does to a batch, and what never goes into one."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse

from nutrients.language import later
from nutrients.models.history import WholeHistory
from nutrients.models.standards import Certainty, ChangeableQuerySet


class Method(models.TextChoices):
    """What happens to a batch in the kitchen; the names of the retention table's columns."""

    SIMMERED_KEPT = "simmered_liquid_kept", later("simmered, liquid kept")
    SIMMERED_DRAINED = "simmered_drained", later("simmered, drained")
    SLOW_COOKED_KEPT = "slow_cooked_liquid_kept", later("slow-cooked, liquid kept")
    BAKED = "baked", later("baked")
    PAN_COOKED = "pan_cooked", later("pan-cooked")
    STEAMED = "steamed", later("steamed")
    BOILED_DRAINED = "boiled_drained", later("boiled, drained")
    POACHED = "poached", later("poached")
    REHEATED = "reheated", later("re-heated")
    NOT_HEATED = "not_heated", later("not heated")


class Retention(models.Model):
    food_group = models.CharField(max_length=40)
    method = models.CharField(max_length=30, choices=Method)
    nutrient = models.ForeignKey("nutrients.Nutrient", models.PROTECT, related_name="+")
    percent = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(100)])
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    note = models.CharField(max_length=300, blank=True)
    history = WholeHistory(history_change_reason_field=models.TextField(null=True))
    objects = ChangeableQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["food_group", "method", "nutrient"], name="one_factor_per_group_method_nutrient"
            )
        ]

    def __str__(self) -> str:
        return f"{self.food_group}, {self.get_method_display()}: {self.nutrient} {self.percent:g} %"

    def get_absolute_url(self) -> str:
        return reverse("nutrients:retention-detail", args=[self.pk])


class CookingYield(models.Model):
    """Cooked weight as a percentage of raw weight."""

    food_group = models.CharField(max_length=60)
    food = models.CharField(max_length=250)
    method = models.CharField(max_length=80)
    percent = models.FloatField(validators=[MinValueValidator(1)])
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    samples = models.PositiveIntegerField(null=True, blank=True)
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["food_group", "food", "method"]

    def __str__(self) -> str:
        return f"{self.food}, {self.method}: {self.percent:g} %"


class BatchYield(models.Model):
    """Which yield a whole batch is estimated with, by retention group and method."""

    retention_group = models.CharField(max_length=40)
    method = models.CharField(max_length=30, choices=Method)
    percent = models.FloatField(validators=[MinValueValidator(1)])
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    history = WholeHistory(history_change_reason_field=models.TextField(null=True))
    objects = ChangeableQuerySet.as_manager()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["retention_group", "method"], name="one_batch_yield")]

    def __str__(self) -> str:
        return f"{self.retention_group}, {self.get_method_display()}: {self.percent:g} %"

    def get_absolute_url(self) -> str:
        return reverse("nutrients:batch-yield-detail", args=[self.pk])


class Caution(models.Model):
    class Action(models.TextChoices):
        BLOCK = "block", "never"
        WARN = "warn", "take care"
        SIGN_OFF = "sign-off", "veterinarian's sign-off"

    kind = models.CharField(max_length=40)
    subject = models.CharField(max_length=200)
    words = models.TextField(
        blank=True,
        help_text="Words, one per line, that name the food when they stand in an ingredient's name.",
    )
    action = models.CharField(max_length=10, choices=Action)
    text = models.TextField(help_text="Why.")
    detail = models.TextField(blank=True, help_text="What to do.")
    source = models.TextField()
    certainty = models.CharField(max_length=14, choices=Certainty)

    class Meta:
        ordering = ["kind", "subject"]
        constraints = [models.UniqueConstraint(fields=["kind", "subject"], name="one_caution_per_subject")]

    def __str__(self) -> str:
        return self.subject
