"""What labels state, and what the compounds and units on them stand for."""

from django.core.validators import MinValueValidator
from django.db import models

from nutrients.models.standards import Certainty


class LabelAmount(models.Model):
    """One line of a supplement's label and how it was read."""

    supplement = models.ForeignKey("nutrients.Supplement", models.CASCADE, related_name="label_amounts")
    nutrient = models.ForeignKey("nutrients.Nutrient", models.PROTECT, related_name="+")
    amount = models.FloatField(validators=[MinValueValidator(0)], help_text="Per dose unit, in `unit`.")
    unit = models.CharField(max_length=12)
    compound = models.CharField(
        max_length=120, blank=True, help_text="The form that is stated, or the compound that is weighed."
    )
    conversion = models.CharField(
        max_length=300, blank=True, help_text="The conversion that was made, in words."
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["supplement", "nutrient"], name="one_label_line_per_nutrient")
        ]

    def __str__(self) -> str:
        return f"{self.supplement}: {self.amount:g} {self.unit} {self.nutrient}"


class ElementFraction(models.Model):
    """What a compound holds, such as 0.4004 g calcium per g calcium carbonate."""

    compound = models.CharField(max_length=120)
    formula = models.CharField(max_length=60, blank=True)
    nutrient = models.ForeignKey("nutrients.Nutrient", models.PROTECT, related_name="+")
    fraction = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    unit = models.CharField(max_length=60)
    low = models.FloatField(null=True, blank=True)
    high = models.FloatField(null=True, blank=True)
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["compound", "nutrient"], name="one_fraction_per_compound")
        ]

    def __str__(self) -> str:
        return f"{self.nutrient} in {self.compound}"


class LabelForm(models.Model):
    """A form in which labels state a nutrient: `labelled` of `unit` equal `equals` of `to_unit`.

    Such as vitamin E as dl-alpha-tocopheryl acetate: 1 mg = 1 IU. Without `equals` the form cannot be turned
    into an amount, and `note` says why and what to do.
    """

    nutrient = models.ForeignKey("nutrients.Nutrient", models.PROTECT, related_name="+")
    form = models.CharField(max_length=120)
    unit = models.CharField(max_length=12)
    labelled = models.FloatField(default=1, validators=[MinValueValidator(0.0001)])
    equals = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    to_unit = models.CharField(max_length=12, blank=True)
    counts_as = models.CharField(max_length=80, blank=True, help_text="What the amount is an amount of.")
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["nutrient", "form", "unit"], name="one_label_form")]

    def __str__(self) -> str:
        return f"{self.nutrient} as {self.form}, {self.unit}"
