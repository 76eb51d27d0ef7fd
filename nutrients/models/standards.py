"""Published profiles and their limits, and how sure we are of each number."""

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from nutrients.models.history import WholeHistory


class Certainty(models.TextChoices):
    VERIFIED = "verified", "seen in a stored copy of its source"
    CROSS_CHECKED = "cross-checked", "agrees with a value that was seen"
    MEMORY = "memory", "from memory: check against the publication"
    ESTIMATE = "estimate", "calculated: weigh instead"


class Standard(models.Model):
    name = models.CharField(max_length=40, unique=True)
    edition = models.CharField(max_length=60)
    source = models.TextField()
    arginine_per_g_protein = models.FloatField(
        default=0,
        help_text="Grams of arginine added to the minimum per gram of protein above the profile's.",
    )

    def __str__(self) -> str:
        return f"{self.name} {self.edition}"


class Profile(models.Model):
    class Basis(models.TextChoices):
        PER_1000_KCAL = "per_1000_kcal", "per 1000 kcal"
        PER_MBW = "per_mbw", "per kg^0.75 a day"

    key = models.SlugField(unique=True)
    standard = models.ForeignKey(Standard, models.PROTECT, related_name="profiles")
    life_stage = models.CharField(max_length=80)
    basis = models.CharField(max_length=16, choices=Basis)
    inherits = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="+")
    growth = models.BooleanField(default=False, help_text="For growing, pregnant or nursing dogs.")
    assumed_kcal_per_mbw = models.FloatField(
        null=True,
        blank=True,
        validators=[MinValueValidator(1)],
        help_text="Energy in kcal per kg^0.75 a day that the profile assumes; empty when it states none.",
    )
    order = models.PositiveSmallIntegerField(default=0)
    note = models.TextField(blank=True)
    own = models.BooleanField(default=False, help_text="Made by the practice as a copy of another.")
    copied_from = models.ForeignKey("self", models.SET_NULL, null=True, blank=True, related_name="+")
    targets_by = models.CharField(
        max_length=200, blank=True, help_text="Whose targets: the veterinarian and the clinic."
    )
    arginine_per_g_protein = models.FloatField(
        null=True, blank=True, help_text="Of an own profile; empty: as its standard says."
    )
    history = HistoricalRecords(history_change_reason_field=models.TextField(null=True))

    class Meta:
        ordering = ["order", "pk"]

    def __str__(self) -> str:
        return f"{self.standard.name} {self.life_stage}"

    def get_absolute_url(self) -> str:
        return reverse("nutrients:profile-detail", args=[self.key])

    @property
    def edition(self) -> str:
        """The standard's edition; for targets of somebody's own, whose they are."""
        return f"{self.standard.edition} of {self.targets_by}" if self.targets_by else self.standard.edition

    @property
    def arginine_rise(self) -> float:
        """Grams of arginine added to the minimum per gram of protein above the profile's."""
        own = self.arginine_per_g_protein
        return self.standard.arginine_per_g_protein if own is None else own


class ChangeableQuerySet(models.QuerySet):
    def with_changed(self) -> "ChangeableQuerySet":
        """Each row says as `changed` whether the practice changed it: only then it has a history."""
        history = self.model.history.filter(id=models.OuterRef("pk"))
        return self.annotate(changed=models.Exists(history))


class Limit(models.Model):
    """A minimum, a maximum or both, in the unit and basis in which they were published."""

    class Kind(models.TextChoices):
        NONE = "", "no maximum"
        NUTRITIONAL = "nutritional", "nutritional maximum"
        LEGAL = "legal", "legal maximum"
        SAFE_UPPER = "safe upper", "safe upper limit"

    profile = models.ForeignKey(Profile, models.CASCADE, related_name="limits")
    nutrient = models.ForeignKey("nutrients.Nutrient", models.PROTECT, related_name="+")
    unit = models.CharField(max_length=12)
    minimum = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    maximum = models.FloatField(null=True, blank=True, validators=[MinValueValidator(0)])
    kind = models.CharField("kind of maximum", max_length=12, choices=Kind, blank=True)
    source = models.TextField()
    certainty = models.CharField(max_length=14, choices=Certainty)
    maximum_certainty = models.CharField(max_length=14, choices=Certainty, blank=True)
    note = models.TextField(blank=True)
    history = WholeHistory(history_change_reason_field=models.TextField(null=True))
    objects = ChangeableQuerySet.as_manager()

    class Meta:
        ordering = ["profile__order", "nutrient__order"]
        constraints = [
            models.UniqueConstraint(fields=["profile", "nutrient", "kind"], name="one_limit_of_a_kind"),
        ]

    def __str__(self) -> str:
        return f"{self.profile}: {self.nutrient}"

    def get_absolute_url(self) -> str:
        return reverse("nutrients:limit-detail", args=[self.pk])


class Negligible(models.Model):
    """A food group that cannot carry a nutrient in an amount that matters, with the reason."""

    nutrient = models.ForeignKey("nutrients.Nutrient", models.CASCADE, related_name="+")
    food_group = models.CharField(max_length=40)
    reason = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["nutrient", "food_group"], name="one_reason")]

    def __str__(self) -> str:
        return f"{self.nutrient} in {self.food_group}"


class WatchLevel(models.Model):
    """An amount above which a note is shown although the chosen profile sets no maximum."""

    nutrient = models.OneToOneField("nutrients.Nutrient", models.CASCADE, related_name="+")
    per_1000_kcal = models.FloatField(validators=[MinValueValidator(0)])
    text = models.TextField()
    source = models.CharField(max_length=300)
    certainty = models.CharField(max_length=14, choices=Certainty)

    def __str__(self) -> str:
        return f"{self.nutrient} above {self.per_1000_kcal:g}"
