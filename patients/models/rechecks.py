"""What the owner tells between visits and at a re-check: weigh-ins at home, tablets left."""

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

from patients.energy import HEAVIEST_KG
from patients.models.dogs import Patient
from patients.models.visits import Visit
from patients.weigh_ins import LIGHTEST_KG

MOST_TABLETS = 5_000  # common practice, no source: more is a typing error


class HomeWeighIn(models.Model):
    """A weight that the owner took. `left_out`: kept on record, but not believed."""

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="home_weigh_ins")
    date = models.DateField()
    weight_kg = models.FloatField(validators=[MinValueValidator(LIGHTEST_KG), MaxValueValidator(HEAVIEST_KG)])
    note = models.CharField(max_length=200, blank=True)
    left_out = models.BooleanField("left out of the curve", default=False)
    history = HistoricalRecords()

    class Meta:
        verbose_name_plural = "weigh-ins at home"
        ordering = ["-date", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["patient", "date"], name="one_home_weigh_in_a_day"),
        ]

    def __str__(self) -> str:
        return f"{self.patient}, at home, {self.date}"

    def clean(self) -> None:
        if self.date and self.date > timezone.localdate():
            raise ValidationError({"date": "This date lies in the future: enter the day of the weigh-in."})


class TabletCount(models.Model):
    """How many of a supplement's tablets the owner had at the last count, and has now."""

    visit = models.ForeignKey(Visit, models.CASCADE, related_name="tablet_counts")
    what = models.CharField(max_length=200)
    had = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(MOST_TABLETS)])
    left = models.FloatField(validators=[MinValueValidator(0), MaxValueValidator(MOST_TABLETS)])

    class Meta:
        verbose_name_plural = "counts of tablets"

    def __str__(self) -> str:
        return f"{self.what}: {self.left:g} of {self.had:g} left"
