"""What a dog ate at the time of a visit."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models

from nutrients.models import Food
from patients.diet_energy import LABEL_PER, MEASURES
from patients.energy import HIGHEST_KCAL
from patients.models.visits import Visit


def _named(names) -> list[tuple[str, str]]:
    return [(name, name) for name in names]


def _percent(label: str) -> models.FloatField:
    valid = [MinValueValidator(0), MaxValueValidator(100)]
    return models.FloatField(label, null=True, blank=True, validators=valid)


class DietItem(models.Model):
    """One thing the dog ate. An empty energy is unknown. worked: how the energy was worked out, if it was."""

    class Kind(models.TextChoices):
        COMPLETE_FOOD = "complete", "complete food"
        HOME_MADE = "home_made", "cooked or raw, made at home"
        TREAT = "treat", "treat or topper"
        TABLE_FOOD = "table", "food from the table"
        CHEW = "chew", "chew"
        WRAPPER = "wrapper", "to hide medicine in"

    class Complete(models.TextChoices):
        YES = "yes", "known to be complete"
        NO = "no", "known not to be"

    EXTRAS = (Kind.TREAT, Kind.TABLE_FOOD, Kind.CHEW, Kind.WRAPPER)

    visit = models.ForeignKey(Visit, models.CASCADE, related_name="diet_items")
    what = models.CharField(max_length=200)
    kind = models.CharField(max_length=10, choices=Kind, blank=True)
    complete = models.CharField("complete by itself", max_length=3, choices=Complete, blank=True)
    amount = models.FloatField(
        "amount at a time",
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(100_000)],
    )
    measure = models.CharField("measured in", max_length=10, choices=_named(MEASURES), blank=True)
    times_a_day = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(24)]
    )
    label_kcal = models.FloatField(
        "kcal on the label",
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(HIGHEST_KCAL)],
    )
    label_per = models.CharField("per", max_length=6, choices=_named(LABEL_PER), blank=True)
    food = models.ForeignKey(Food, models.SET_NULL, null=True, blank=True, related_name="+")
    protein = _percent("protein (%)")
    fat = _percent("fat (%)")
    fiber = _percent("fibre (%)")
    moisture = _percent("moisture (%)")
    ash = _percent("ash (%)")
    kcal_per_day = models.FloatField(
        null=True, blank=True, validators=[MinValueValidator(0), MaxValueValidator(HIGHEST_KCAL)]
    )
    worked = models.CharField(max_length=300, blank=True, editable=False)

    class Meta:
        verbose_name_plural = "diet history items"

    def __str__(self) -> str:
        return self.what

    @property
    def is_extra(self) -> bool:
        """A treat, topper, chew or pill wrapper, or food from the table."""
        return self.kind in self.EXTRAS
