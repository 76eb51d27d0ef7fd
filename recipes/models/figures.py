"""What is kept with each version for the library to search by, and how the keeping goes on."""

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import F
from django.urls import reverse
from django.utils import timezone

from nutrients.models import Profile
from recipes.models.versions import RecipeVersion


class VersionFiguresQuerySet(models.QuerySet):
    def stale(self) -> "VersionFiguresQuerySet":
        return self.filter(done__lt=F("due"))

    def mark_stale(self) -> int:
        """What these figures rest on has changed: they are not shown again before they are renewed."""
        return self.update(due=F("due") + 1)


class VersionFigures(models.Model):
    """The figures of one version. A figure that is not wholly known is empty.

    due counts the changes of what the figures rest on, done those that they know of: they are fresh while
    both are the same. A change made while they are worked out is so never lost.
    kcal_per_100g: of the cooked food; the percentages: of the energy; the nutrients: per 1000 kcal, in each
    one's unit.
    """

    version = models.OneToOneField(RecipeVersion, models.CASCADE, primary_key=True, related_name="figures")
    due = models.PositiveIntegerField(default=1)
    done = models.PositiveIntegerField(default=0)
    has_energy = models.BooleanField(default=False)
    cooked_is_estimate = models.BooleanField(default=True)
    kcal_per_100g = models.FloatField(null=True)
    protein_percent = models.FloatField(null=True)
    fat_percent = models.FloatField(null=True)
    nfe_percent = models.FloatField(null=True)
    protein = models.FloatField(null=True)
    fat = models.FloatField(null=True)
    nfe = models.FloatField(null=True)
    fiber = models.FloatField(null=True)
    calcium = models.FloatField(null=True)
    phosphorus = models.FloatField(null=True)
    sodium = models.FloatField(null=True)
    copper = models.FloatField(null=True)

    objects = VersionFiguresQuerySet.as_manager()

    class Meta:
        default_permissions = ()
        indexes = [
            models.Index(fields=["version"], condition=models.Q(done__lt=F("due")), name="figures_to_renew")
        ]

    def __str__(self) -> str:
        return f"Figures of {self.version}"

    @property
    def fresh(self) -> bool:
        return self.done == self.due


class VersionAnswers(models.Model):
    """How many limits of a profile a version has with each answer; each limit counts once, by its worst."""

    version = models.ForeignKey(RecipeVersion, models.CASCADE, related_name="answers")
    profile = models.ForeignKey(Profile, models.CASCADE, related_name="+")
    meets = models.PositiveSmallIntegerField()
    below = models.PositiveSmallIntegerField()
    above = models.PositiveSmallIntegerField()
    cannot_confirm = models.PositiveSmallIntegerField()

    class Meta:
        default_permissions = ()
        constraints = [
            models.UniqueConstraint(fields=["version", "profile"], name="one_count_per_version_and_profile")
        ]

    def __str__(self) -> str:
        return f"{self.version} against {self.profile}"

    @property
    def counts(self) -> dict[str, int]:
        return {answer: getattr(self, answer) for answer in ("meets", "below", "above", "cannot_confirm")}


class FiguresRenewal(models.Model):
    """One renewal of the library's figures in the background: how far it is, and what came of it."""

    class State(models.TextChoices):
        RUNNING = "running"
        DONE = "done"
        FAILED = "failed", "not possible"
        INTERRUPTED = "interrupted"

    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.SET_NULL, null=True, related_name="+")
    started_at = models.DateTimeField(default=timezone.now)
    seen_at = models.DateTimeField(default=timezone.now)
    finished_at = models.DateTimeField(null=True)
    state = models.CharField(max_length=12, choices=State, default=State.RUNNING)
    renewed = models.PositiveIntegerField(default=0)
    percent = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(100)])
    message = models.TextField(blank=True)

    class Meta:
        ordering = ["-started_at", "-pk"]
        default_permissions = ()
        constraints = [
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="running"), name="one_renewal_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"Renewal of {self.started_at:%Y-%m-%d %H:%M}"

    def get_absolute_url(self) -> str:
        return reverse("recipes:figures-renewal")
