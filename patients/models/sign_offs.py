"""What a dog's veterinarian agreed to, as a practitioner recorded it. Never changed: withdrawn, and kept."""

from datetime import timedelta

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone
from simple_history.models import HistoricalRecords

from nutrients.models import Nutrient
from nutrients.units import convert
from patients.energy import HIGHEST_KCAL
from patients.models.dogs import Patient

OLD_AFTER = timedelta(days=365)  # common practice, no source


class SignOffQuerySet(models.QuerySet):
    def standing(self) -> "SignOffQuerySet":
        return self.filter(withdrawn_at__isnull=True)


class SignOff(models.Model):
    """The veterinarian's agreement to one caution for one dog. subject: the caution's.

    lowest_kcal [kcal a day]: the least energy the veterinarian allows, where it is below what else holds.
    """

    patient = models.ForeignKey(Patient, models.CASCADE, related_name="sign_offs")
    subject = models.CharField(max_length=200)
    veterinarian = models.CharField(max_length=120)
    clinic = models.CharField(max_length=120)
    agreed_on = models.DateField("agreed on")
    agreed = models.TextField("what was agreed", max_length=2000)
    lowest_kcal = models.FloatField(
        "least energy (kcal a day)",
        null=True,
        blank=True,
        validators=[MinValueValidator(20), MaxValueValidator(HIGHEST_KCAL)],
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_reason = models.CharField("reason", max_length=300, blank=True)
    history = HistoricalRecords()
    objects = SignOffQuerySet.as_manager()

    class Meta:
        verbose_name = "sign-off"
        verbose_name_plural = "sign-offs"
        ordering = ["-agreed_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["patient", "subject"],
                condition=Q(withdrawn_at__isnull=True),
                name="one_standing_sign_off_per_caution",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at__isnull=True, withdrawn_reason="")
                | (Q(withdrawn_at__isnull=False) & ~Q(withdrawn_reason="")),
                name="sign_off_withdrawn_with_a_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.subject}: {self.veterinarian}, {self.clinic}"

    @property
    def is_old(self) -> bool:
        """Agreed to so long ago that it wants asking again; it stands until it is withdrawn."""
        return timezone.localdate() - self.agreed_on > OLD_AFTER

    def clean(self) -> None:
        if self.agreed_on and self.agreed_on > timezone.localdate():
            raise ValidationError({"agreed_on": "This day lies in the future."})


class AgreedNumber(models.Model):
    """A limit that the veterinarian sets for this dog's food, in `unit` per 1000 kcal."""

    class Bound(models.TextChoices):
        AT_MOST = "at_most", "at most"
        AT_LEAST = "at_least", "at least"

    sign_off = models.ForeignKey(SignOff, models.CASCADE, related_name="numbers")
    nutrient = models.ForeignKey(Nutrient, models.PROTECT, related_name="+")
    bound = models.CharField(max_length=8, choices=Bound, default=Bound.AT_MOST)
    per_1000_kcal = models.FloatField(validators=[MinValueValidator(0)])
    unit = models.CharField(max_length=12)

    class Meta:
        verbose_name_plural = "numbers agreed in sign-offs"
        ordering = ["nutrient__order", "bound"]
        constraints = [
            models.UniqueConstraint(fields=["sign_off", "nutrient", "bound"], name="one_agreed_number_a_side")
        ]

    def __str__(self) -> str:
        return f"{self.nutrient} {self.get_bound_display()} {self.per_1000_kcal:g} {self.unit}"

    @property
    def factor(self) -> float:
        """The nutrient's own unit in that of the number. Raises ValueError for a unit of another kind."""
        return convert(1, self.nutrient.unit, self.unit, self.nutrient.key)

    def clean(self) -> None:
        if not self.nutrient_id or not self.unit:
            return
        try:
            _ = self.factor
        except ValueError as problem:
            raise ValidationError({"unit": str(problem)}) from None


class SignOffLetter(models.Model):
    """The veterinarian's letter as it was uploaded: kept in the database, and so in every backup."""

    class Kind(models.TextChoices):
        PDF = "application/pdf", "PDF"
        PNG = "image/png", "PNG"
        JPEG = "image/jpeg", "JPEG"

    sign_off = models.OneToOneField(SignOff, models.CASCADE, related_name="letter")
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=20, choices=Kind)
    size = models.PositiveIntegerField(help_text="In bytes.")
    content = models.BinaryField()

    class Meta:
        verbose_name_plural = "veterinarians' letters"

    def __str__(self) -> str:
        return self.name
