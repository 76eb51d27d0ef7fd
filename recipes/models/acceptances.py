"""Limits of a version that are open and were accepted by a person, with the reason."""

from django.conf import settings
from django.db import models

from nutrients.models import Nutrient, Profile
from recipes.models.versions import Line, RecipeVersion


class AcceptedLimit(Line):
    """One open limit, as it stood when it was accepted.

    answer: of nutrients.adequacy (below, above, cannot_confirm); amount: what was known per 1000 kcal in the
    limit's unit, None when nothing was. The veterinarian's fields are filled where a sign-off is needed.
    """

    class Side(models.TextChoices):
        MINIMUM = "minimum"
        MAXIMUM = "maximum"

    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="accepted_limits")
    profile = models.ForeignKey(Profile, models.PROTECT, related_name="+")
    nutrient = models.ForeignKey(Nutrient, models.PROTECT, related_name="+")
    side = models.CharField(max_length=8, choices=Side)
    answer = models.CharField(max_length=16)
    amount = models.FloatField(null=True, blank=True)
    reason = models.CharField(max_length=500)
    veterinarian = models.CharField(max_length=120, blank=True)
    clinic = models.CharField(max_length=120, blank=True)
    agreed_on = models.DateField("agreed on", null=True, blank=True)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    accepted_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["nutrient__order", "side"]
        constraints = [
            models.UniqueConstraint(
                fields=["version", "profile", "nutrient", "side"], name="one_acceptance_per_limit"
            )
        ]

    def __str__(self) -> str:
        return f"{self.version}: {self.nutrient}, {self.side}"
