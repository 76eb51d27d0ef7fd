"""What the practice pays for foods and supplements, for its shopping lists."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from nutrients.models.foods import Food

DEAREST, LARGEST_PACK = 100_000, 100_000  # common practice, no source: beyond, a typing error


class Price(models.Model):
    """The price of one pack, in the practice's own currency. No row: not known."""

    class PackIn(models.TextChoices):
        GRAMS = "g", "grams"
        DOSES = "dose", "dose units"

    food = models.OneToOneField(Food, models.CASCADE, related_name="price")
    amount = models.FloatField(
        "price of a pack", validators=[MinValueValidator(0.01), MaxValueValidator(DEAREST)]
    )
    pack = models.FloatField(
        "in a pack", validators=[MinValueValidator(0.1), MaxValueValidator(LARGEST_PACK)]
    )
    pack_in = models.CharField("of", max_length=4, choices=PackIn, default=PackIn.GRAMS)
    bought_at = models.CharField("where", max_length=120, blank=True)
    as_of = models.DateField("as of", default=timezone.localdate)
    history = HistoricalRecords()

    class Meta:
        ordering = ["food__name"]

    def __str__(self) -> str:
        return f"{self.food}: {self.amount:.2f}"

    @property
    def pack_g(self) -> float:
        """What a pack weighs [g]; of a product in tablets, drops or capsules, by the weight of one."""
        if self.pack_in == self.PackIn.GRAMS:
            return self.pack
        return self.pack * self.food.supplement.grams_per_dose_unit
