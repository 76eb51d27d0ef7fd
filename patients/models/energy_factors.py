"""Published rules for daily energy, as data."""

from django.db import models

from nutrients.models import Certainty


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
