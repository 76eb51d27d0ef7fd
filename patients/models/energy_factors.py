"""Published rules for daily energy, as data."""

from django.db import models

from nutrients.models import Certainty
from patients.energy_methods import PER_100_G, PER_132, PER_MBW, PER_MER, PER_NRC, PER_RER


class EnergyFactor(models.Model):
    """A published rule for daily energy: `patients.energy_methods` says what its columns do."""

    class Unit(models.TextChoices):
        RER = PER_RER, PER_RER
        MBW = PER_MBW, PER_MBW
        NRC_MAINTENANCE = PER_NRC, "x 130 kcal per kg^0.75"
        OTHER_MAINTENANCE = PER_132, "x 132 kcal per kg^0.75"
        MER = PER_MER, "x maintenance of the dog"
        WEIGHT = PER_100_G, PER_100_G
        OTHER = "other", "see the formula"

    class Stage(models.TextChoices):
        ADULT = "adult"
        WORKING = "working"
        PUPPY = "puppy"
        GESTATION = "gestation"
        LACTATION = "lactation"

    class HoldsBy(models.TextChoices):
        MONTHS = "months", "months of age"
        WEEKS = "weeks", "week of pregnancy or nursing"
        PUPPIES = "puppies", "puppies nursing"
        PERCENT = "percent", "percent of the adult weight"

    key = models.SlugField(unique=True)
    rule = models.CharField(max_length=80)
    label = models.CharField(max_length=120)
    formula = models.CharField(max_length=160)
    low = models.FloatField(null=True, blank=True)
    usual = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=20, choices=Unit)
    stage = models.CharField(max_length=10, choices=Stage, blank=True, help_text="Blank: any.")
    suits = models.CharField(
        max_length=40, blank=True, help_text="What speaks for it, or the goal it is for; or a breed."
    )
    at_ideal = models.BooleanField(default=False, help_text="Worked out at the weight aimed at.")
    holds_by = models.CharField(max_length=8, choices=HoldsBy, blank=True)
    holds_from = models.FloatField(null=True, blank=True)
    holds_until = models.FloatField(null=True, blank=True, help_text="From here on it no longer holds.")
    choosable = models.BooleanField(default=False, help_text="Offered when a plan is made.")
    order = models.PositiveSmallIntegerField(default=0)
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ["order"]

    def __str__(self) -> str:
        return self.label
