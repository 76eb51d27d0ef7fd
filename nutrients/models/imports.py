"""Imports of USDA downloads that run in the background, as their page shows them."""

from datetime import timedelta

from django.conf import settings
from django.core.files.storage import FileSystemStorage
from django.db import models
from django.urls import reverse
from django.utils import timezone

# A running import says so every few seconds, but for the time in which it writes.
SILENT_FOR = timedelta(minutes=3)


def import_storage() -> FileSystemStorage:
    """The folder of uploaded downloads, beside the database and never served."""
    return FileSystemStorage(location=settings.DATA_DIR / "imports")


class FoodImportQuerySet(models.QuerySet):
    def stopped_short(self) -> "FoodImportQuerySet":
        """Runs that are said to go on and have not been heard of: the program was ended under them."""
        return self.filter(state=FoodImport.State.RUNNING, seen_at__lt=timezone.now() - SILENT_FOR)


class FoodImport(models.Model):
    """One run: who started it, from which file, how far it is, and what came of it."""

    class State(models.TextChoices):
        RUNNING = "running"
        DONE = "done"
        FAILED = "failed", "not possible"
        INTERRUPTED = "interrupted"

    class Step(models.TextChoices):
        READING = "reading"
        WRITING = "writing", "comparing and writing"

    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.SET_NULL, null=True, related_name="+")
    started_at = models.DateTimeField(default=timezone.now)
    seen_at = models.DateTimeField(default=timezone.now)
    finished_at = models.DateTimeField(null=True, blank=True)
    name = models.CharField(max_length=200, help_text="The file's name as it was given.")
    file = models.FileField(storage=import_storage, blank=True)
    groups = models.JSONField(default=list, blank=True, help_text="Only these; all when empty.")
    dry_run = models.BooleanField(default=False)
    state = models.CharField(max_length=12, choices=State, default=State.RUNNING)
    step = models.CharField(max_length=8, choices=Step, default=Step.READING)
    rows = models.PositiveIntegerField(default=0)
    percent = models.PositiveSmallIntegerField(default=0, help_text="How much of the file has been read.")
    report = models.JSONField(default=dict, blank=True)
    message = models.TextField(blank=True)

    objects = FoodImportQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["state"], condition=models.Q(state="running"), name="one_import_at_a_time"
            )
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.started_at:%Y-%m-%d %H:%M}"

    def get_absolute_url(self) -> str:
        return reverse("nutrients:import-detail", args=[self.pk])

    @property
    def may_start_again(self) -> bool:
        """Is the file still there, and was it not brought in: a dry run, or cut short?"""
        tried = self.state == self.State.DONE and self.dry_run
        return bool(self.file) and (tried or self.state == self.State.INTERRUPTED)
